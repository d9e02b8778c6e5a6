// Runs the built program in a test.
#pragma once

#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "tests/places.h"
#include "tests/support/temp_folder.h"

namespace sim::test {

inline std::string text_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

struct Run {
  int exit_code = -1;
  std::string out, err;
};

/// `kerbray ARGUMENTS` from a folder.
inline Run run_program(const std::filesystem::path& folder, const std::string& arguments) {
  const std::string base = (own_folder() / "run").string();
  const std::string line = "cd '" + folder.string() + "' && '" KERBRAY_PROGRAM "' " + arguments +
                           " > '" + base + ".out' 2> '" + base + ".err'";
  const int status = std::system(line.c_str());
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, text_of(base + ".out"),
          text_of(base + ".err")};
}

}  // namespace sim::test
