// The demo through the program, once for all tests that read its files.
#pragma once

#include <gdal_priv.h>
#include <gtest/gtest.h>

#include "tests/places.h"
#include "tests/scenes/program.h"
#include "tests/support/temp_folder.h"

namespace sim {

namespace fs = std::filesystem;

inline const fs::path scenes = KERBRAY_SCENES;

inline fs::path fresh(const std::string& name) {
  const fs::path path = own_folder() / name;
  fs::remove_all(path);
  return path;
}

/// The demo coarsened, to be quick; predicted once for all tests.
inline const fs::path& prediction() {
  static const fs::path folder = [] {
    const fs::path site = fresh("site"), out = fresh("prediction");
    fs::copy(scenes / "demo_hill_town", site, fs::copy_options::recursive);
    std::string toml = test::text_of(site / "site.toml");
    const auto spacing = toml.find("spacing_m = 1");
    EXPECT_NE(spacing, std::string::npos);
    toml.replace(spacing, 13, "spacing_m = 6");
    std::ofstream(site / "site.toml") << toml;
    EXPECT_EQ(test::run_program(site, "predict . -q -o '" + out.string() + "'").exit_code, 0);
    return out;
  }();
  return folder;
}

struct Dataset {
  explicit Dataset(const fs::path& path, unsigned flags) {
    GDALAllRegister();
    handle = GDALDataset::Open(path.c_str(), flags);
  }
  ~Dataset() { GDALClose(handle); }
  Dataset(const Dataset&) = delete;
  Dataset& operator=(const Dataset&) = delete;
  GDALDataset* handle;
};

}  // namespace sim
