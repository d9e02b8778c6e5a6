// Frames of a map read back, as the page reads them.
#pragma once

#include <gtest/gtest.h>

#include <cstring>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sim/serve/live_site.h"

namespace sim::test {

struct ReadFrame {
  nlohmann::json header;
  std::map<std::string, std::string> bands;  ///< bytes without filling
};

/// Throws where the bytes are no whole frames.
inline std::vector<ReadFrame> read_frames(const std::string& bytes) {
  std::vector<ReadFrame> frames;
  std::size_t at = 0;
  const auto take = [&](std::size_t count) {
    if (bytes.size() - at < count) throw std::runtime_error("a frame is cut off");
    at += count;
    return bytes.substr(at - count, count);
  };
  while (at < bytes.size()) {
    const std::string prefix = take(4);
    std::uint32_t length = 0;
    for (int i = 3; i >= 0; --i) {
      length = length << 8U | static_cast<unsigned char>(prefix[static_cast<std::size_t>(i)]);
    }
    ReadFrame frame{nlohmann::json::parse(take(length)), {}};
    for (const auto& band : frame.header["bands"]) {
      const std::string type = band["type"];
      const std::size_t each = type == "u8" ? 1U : type == "u32" ? 4U : 2U;
      const std::size_t size = band["count"].get<std::size_t>() * each;
      frame.bands[band["name"]] = take(size);
      take((4 - size % 4) % 4);
    }
    frames.push_back(std::move(frame));
  }
  return frames;
}

/// All frames of the map of a site with edits, as sent.
inline std::string frames_of(LiveSite& site, const std::vector<Edit>& edits) {
  std::string bytes;
  const auto map = site.map({edits});
  EXPECT_TRUE(map->send([&](std::string_view part) {
    bytes += part;
    return true;
  }));
  return bytes;
}

}  // namespace sim::test
