// A folder of one test, for files that the test writes itself.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "sim/base/input_error.h"

namespace sim {

/// Made empty, removed with everything in it at the end of the test.
class TempFolder {
 public:
  TempFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "kerbray_test_XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
    path_ = pattern;
  }
  ~TempFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;

  std::string path() const { return path_; }
  std::string file(const std::string& name) const { return path_ + "/" + name; }
  /// Writes the text as it stands and returns where.
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(file(name), std::ios::binary) << text;
    return file(name);
  }
  std::string read(const std::string& name) const {
    std::ostringstream text;
    text << std::ifstream(file(name), std::ios::binary).rdbuf();
    return text.str();
  }

 private:
  std::string path_;
};

/// One folder for all tests of this process, removed when it ends. ctest runs each test as a
/// process of its own and several at once, so a name that they share is one that they overwrite.
inline const std::filesystem::path& own_folder() {
  static const TempFolder own;
  static const std::filesystem::path path = own.path();
  return path;
}

/// The one line that is printed when `run` refuses its input; empty when it does not.
template <class Run>
std::string refusal(Run run) {
  try {
    run();
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace sim
