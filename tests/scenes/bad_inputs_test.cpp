// Every broken site of scenes/bad_inputs through the program itself: exit code 2, one clear line
// (the exact one in message.txt), and nothing written.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "tests/places.h"
#include "tests/scenes/program.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

namespace fs = std::filesystem;
const fs::path folder = fs::path(KERBRAY_SCENES) / "bad_inputs";

std::vector<std::string> case_names() {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) names.push_back(entry.path().filename());
  std::sort(names.begin(), names.end());
  return names;
}

class BadInput : public testing::TestWithParam<std::string> {};

TEST_P(BadInput, GetsOneClearLine) {
  const fs::path here = folder / GetParam();
  const fs::path output = own_folder() / ("bad_" + GetParam());
  fs::remove_all(output);
  std::string command =
      fs::exists(here / "command.txt") ? test::text_of(here / "command.txt") : "build .";
  command.erase(std::remove(command.begin(), command.end(), '\n'), command.end());
  const test::Run run = test::run_program(here, command + " -q -o '" + output.string() + "'");
  EXPECT_EQ(run.exit_code, 2);
  EXPECT_EQ(run.err, test::text_of(here / "message.txt"));
  EXPECT_FALSE(fs::exists(output)) << "a refused run must write nothing";
}

INSTANTIATE_TEST_SUITE_P(Scenes, BadInput, testing::ValuesIn(case_names()),
                         [](const auto& scene) { return scene.param; });

}  // namespace
}  // namespace sim
