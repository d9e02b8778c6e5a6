// Slips on the command line: one clear line, exit code 2, nothing written.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/scenes/program.h"

namespace sim::test {
namespace {

using testing::HasSubstr;
using testing::Not;

Run refused(const std::string& arguments) {
  const std::filesystem::path folder = own_folder() / "usage";
  std::filesystem::create_directories(folder);
  const Run run = run_program(folder, arguments);
  EXPECT_EQ(run.exit_code, 2) << arguments;
  EXPECT_EQ(run.out, "") << arguments;
  EXPECT_TRUE(std::filesystem::is_empty(folder)) << arguments;
  return run;
}

TEST(Usage, AMissingArgumentIsNamed) {
  const std::string said = refused("build").err;
  EXPECT_THAT(said, HasSubstr("kerbray build: "));
  EXPECT_THAT(said, HasSubstr("required"));
  EXPECT_THAT(said, Not(HasSubstr("there is no command")));
}

TEST(Usage, ACommandThatIsNotThereIsRefusedWithTheNearest) {
  EXPECT_THAT(refused("bulid x -o y").err, HasSubstr("no command 'bulid'; did you mean 'build'?"));
}

TEST(Usage, UnitsAreNamed) {
  EXPECT_THAT(refused("predict x -o y --units furlong").err,
              HasSubstr("--units: is 'furlong'; it is metric or imperial"));
}

TEST(Usage, AnOutputWithoutANameIsRefusedBeforeAnyWork) {
  EXPECT_EQ(refused("build x -o ''").err,
            "kerbray: the output has no name; name a folder with -o DIR\n");
}

}  // namespace
}  // namespace sim::test
