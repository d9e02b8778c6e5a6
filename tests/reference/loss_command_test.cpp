// `kerbray loss` as a person or a script meets it: what it prints and with which exit code.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>

#include "sim/loss/formula_book.h"
#include "tests/places.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;
using testing::Not;

struct Ended {
  int code = -1;
  std::string text;  ///< stdout and stderr
};

Ended run_loss(const std::string& arguments) {
  const std::string command = std::string(KERBRAY_PROGRAM) + " loss " + arguments + " 2>&1";
  Ended run;
  FILE* pipe = popen(command.c_str(), "r");
  std::array<char, 4096> part{};
  while (std::fgets(part.data(), part.size(), pipe) != nullptr) run.text += part.data();
  run.code = WEXITSTATUS(pclose(pipe));
  return run;
}

class LossCommand : public testing::Test {
 protected:
  void SetUp() override {
    if (!std::filesystem::exists(KERBRAY_PROGRAM)) GTEST_SKIP() << "kerbray is not built";
  }

  /// One line, with this in it, and exit code 2.
  static void expect_refused(const std::string& arguments, const std::string& said) {
    const Ended run = run_loss(arguments);
    EXPECT_EQ(run.code, 2) << arguments;
    EXPECT_THAT(run.text, HasSubstr(said)) << arguments;
    EXPECT_EQ(run.text.find('\n'), run.text.size() - 1) << run.text;
  }
};

std::string written(const std::string& name, const std::string& text) {
  const std::string path = (own_folder() / name).string();
  std::ofstream(path) << text;
  return path;
}

TEST_F(LossCommand, ListsAndExplainsEveryModel) {
  const Ended list = run_loss("");
  EXPECT_EQ(list.code, 0);
  for (const BookModel& model : formula_book()) {
    EXPECT_THAT(list.text, HasSubstr(model.name + " "));
    EXPECT_THAT(list.text, HasSubstr("source: " + model.source));
    const Ended help = run_loss(model.name + " --help");
    EXPECT_EQ(help.code, 0);
    for (const BookKey& key : model.keys) EXPECT_THAT(help.text, HasSubstr("  " + key.name));
    EXPECT_THAT(help.text, HasSubstr("kerbray loss " + model.name + " " + model.example));
  }
}

TEST_F(LossCommand, AnswersInJsonBeforeAndAfterTheKeys) {
  const std::string keys = "rsrp_report rsrp_dbm=-100.4";
  // TS 38.133 section 10.1.6: n for n - 157 <= level < n - 156.
  const std::string expected =
      R"({"model":"rsrp_report","index":56,"source":"3GPP TS 38.133 section 10.1.6","in_range":true})"
      "\n";
  EXPECT_EQ(run_loss("--json " + keys).text, expected);
  EXPECT_EQ(run_loss(keys + " --json").text, expected);
}

TEST_F(LossCommand, SaysWhenItIsOutsideTheRange) {
  const Ended run = run_loss("clutter f_ghz=28 d_km=0.1 percent=50 --json");
  EXPECT_EQ(run.code, 0);
  EXPECT_THAT(run.text, HasSubstr(R"("in_range":false,"why":"d_km is below 0.25")"));
  EXPECT_THAT(run.text, Not(HasSubstr("null")));
  const Ended undefined =
      run_loss("street_canyon f_ghz=28 d_2d_m=0 h_node_m=10 h_receiver_m=10 --json");
  EXPECT_EQ(undefined.code, 0);
  EXPECT_THAT(undefined.text, HasSubstr(R"("los_db":null)"));
}

TEST_F(LossCommand, ReadsItsFiles) {
  const std::string profile = written("profile.csv", "d_km;h_m\n0;10\n1,5;40\n3;10\n");
  const std::string asked =
      " h_tx_m=10 h_rx_m=10 f_ghz=28 effective_radius_km=8500 polarization=horizontal";
  EXPECT_EQ(run_loss("delta_bullington profile=" + profile + asked).code, 0);
  expect_refused("delta_bullington profile=/none.csv" + asked, "/none.csv: ");
  expect_refused(
      "delta_bullington profile=" + written("back.csv", "d_km,h_m\n0,1\n0,2\n1,3\n") + asked,
      "d_km of the profile must rise");
  expect_refused("delta_bullington profile=" + written("odd.csv", "d,h_m\n0,1\n1,2\n") + asked,
                 "odd.csv:0: needs a column 'd_km' [km] for profile=");
  expect_refused("delta_bullington profile=" + written("gap.csv", "d_km,h_m\n0,1\n1,\n") + asked,
                 "gap.csv:2: h_m is empty");
  expect_refused(
      "silhouette f_ghz=28 d1_m=5 d2_m=5 outline=" + written("line.csv", "x_m,y_m\n0,0\n1,1\n"),
      "outline needs three points");
}

TEST_F(LossCommand, RefusesInOneLine) {
  expect_refused("knfe_edge", "no model is called 'knfe_edge'; did you mean 'knife_edge'?");
  expect_refused("gas f_gz=2", "gas: has no key 'f_gz'; did you mean 'f_ghz'?");
  expect_refused("gas", "gas: needs f_ghz= (frequency, GHz)");
  expect_refused("gas f_ghz=nan", "f_ghz must be a finite number");
  expect_refused("gas f_ghz=-2", "f_ghz is -2; it must be above 0");
  expect_refused("gas f_ghz=two", "f_ghz is 'two', which is not a number");
  expect_refused("gas 28", "'28' is not of the form key=value");
  expect_refused("gas f_ghz=2 f_ghz=3", "f_ghz is given twice");
  expect_refused("material name=concrte f_ghz=28",
                 "name cannot be 'concrte'; did you mean 'concrete'?");
  expect_refused(
      "screen_blockage f_ghz=28 d_m=5 h_node_m=1 h_receiver_m=1 screen_at_m=5 "
      "width_m=1 height_m=1",
      "screen_at_m must be less than d_m");
}

TEST_F(LossCommand, PrintsWhatAReaderShouldKnow) {
  EXPECT_THAT(run_loss("exposure_distance eirp_dbm=60 f_ghz=28 limit=fcc_public").text,
              HasSubstr("a free-space screening figure, not a compliance assessment"));
  EXPECT_THAT(run_loss("foliage_decay f_ghz=28 depth_m=5").text, HasSubstr("5.8 to 31.6 dB"));
}

}  // namespace
}  // namespace sim
