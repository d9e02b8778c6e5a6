// kerbray fit on the demo through the program.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/scenes/demo_prediction.h"

namespace sim {
namespace {

using Json = nlohmann::json;

/// The demo with a word of its site file changed.
fs::path demo_with(const std::string& name, const std::string& old, const std::string& now) {
  const fs::path site = fresh(name);
  fs::copy(scenes / "demo_hill_town", site, fs::copy_options::recursive);
  std::string toml = test::text_of(site / "site.toml");
  const auto at = toml.find(old);
  EXPECT_NE(at, std::string::npos) << old;
  toml.replace(at, old.size(), now);
  std::ofstream(site / "site.toml") << toml;
  return site;
}

Json fit(const fs::path& site, const fs::path& out, const std::string& more = "") {
  const test::Run run =
      test::run_program(site, "fit . --json -q -o '" + out.string() + "' " + more);
  EXPECT_EQ(run.exit_code, 0) << run.err;
  return Json::parse(run.out);
}

TEST(FitCommand, ARightSiteIsSaidToGainNothing) {
  const Json answer = fit(scenes / "demo_hill_town", fresh("fit_right"));
  EXPECT_FALSE(answer["errors"]["improves"]);
  EXPECT_THAT(answer["sentences"][0].get<std::string>(), testing::HasSubstr("no clear gain"));
  EXPECT_GE(answer["measure"].size(), 2U);
  EXPECT_FALSE(fs::exists(scenes / "demo_hill_town/fitted.toml"));
}

TEST(FitCommand, AWrongEirpIsFoundAndTheNewSiteIsBetter) {
  // n1 said 12 dB too strong; the rest of the demo as it is.
  const fs::path site = demo_with("fit_site", "eirp_dbm = 47", "eirp_dbm = 59");
  std::string toml = test::text_of(site / "site.toml");
  for (int i = 0; i < 2; ++i) toml.replace(toml.find("eirp_dbm = 47"), 13, "eirp_dbm = 59");
  std::ofstream(site / "site.toml") << toml;
  const std::string before = test::text_of(site / "site.toml");
  const fs::path out = fresh("fit_out");
  const Json answer = fit(site, out);
  EXPECT_EQ(test::text_of(site / "site.toml"), before) << "the original is never written";
  EXPECT_TRUE(answer["errors"]["improves"]);
  EXPECT_LT(answer["errors"]["unseen_after"]["mean_abs_db"],
            answer["errors"]["unseen_before"]["mean_abs_db"]);
  for (const Json& value : answer["values"]) {
    if (value["name"] != "EIRP of n1") continue;
    EXPECT_LE(value["low"], -12.0);
    EXPECT_GE(value["high"], -12.0);
  }
  // The new file loads from its own folder, and fitted once more there is nothing left to gain.
  const fs::path prediction = fresh("fit_predicted");
  const test::Run predict =
      test::run_program(out, "predict fitted.toml -q --at '" + (site / "points.csv").string() +
                                 "' -o '" + prediction.string() + "'");
  EXPECT_EQ(predict.exit_code, 0) << predict.err;
  const fs::path again = fresh("fit_again");
  const test::Run second =
      test::run_program(out, "fit fitted.toml --json -q -o '" + again.string() + "'");
  ASSERT_EQ(second.exit_code, 0) << second.err;
  const Json better = Json::parse(second.out);
  EXPECT_FALSE(better["errors"]["improves"]);
  EXPECT_NEAR(better["errors"]["before"]["mean_abs_db"], answer["errors"]["after"]["mean_abs_db"],
              0.25)
      << "what the fit foretold is what the new site gives";
}

TEST(FitCommand, TheSameBytesWhateverTheThreads) {
  const fs::path one = fresh("fit_one"), many = fresh("fit_many");
  fit(scenes / "demo_hill_town", one, "--threads 1");
  fit(scenes / "demo_hill_town", many, "--threads 4");
  for (const char* file : {"fit.csv", "fit.json", "summary.json", "fitted.toml", "measure.csv"}) {
    EXPECT_EQ(test::text_of(one / file), test::text_of(many / file)) << file;
    EXPECT_FALSE(test::text_of(one / file).empty()) << file;
  }
}

TEST(FitCommand, EveryRowOfTheTableHasEveryColumn) {
  const fs::path out = fresh("fit_table");
  fit(scenes / "demo_hill_town", out);
  std::istringstream table(test::text_of(out / "fit.csv"));
  std::string line;
  std::getline(table, line);
  const auto columns = std::count(line.begin(), line.end(), ',');
  std::size_t rows = 0;
  while (std::getline(table, line)) {
    const std::string cells = line.substr(0, line.find('"'));  // the reason alone may be quoted
    EXPECT_EQ(std::count(cells.begin(), cells.end(), ','), columns) << line;
    ++rows;
  }
  EXPECT_EQ(rows, 97U);  // 88 of walk.csv and 9 of notebook.csv
}

TEST(FitCommand, MeasureFileIsReadByPredict) {
  const fs::path out = fresh("fit_measure"), predicted = fresh("fit_measure_predicted");
  fit(scenes / "demo_hill_town", out);
  const test::Run run = test::run_program(scenes, "predict demo_hill_town -q --at '" +
                                                      (out / "measure.csv").string() + "' -o '" +
                                                      predicted.string() + "'");
  EXPECT_EQ(run.exit_code, 0) << run.err;
}

TEST(FitCommand, LooksForTheNodeOnTheLamps) {
  const Json answer = fit(scenes / "demo_hill_town", fresh("fit_poles"), "--search-position n3");
  EXPECT_EQ(answer["position"]["places"], "mapped poles");
  EXPECT_EQ(answer["position"]["node"], "n3");
  EXPECT_GT(answer["position"]["tried"], 3);
  EXPECT_FALSE(answer["position"]["moved"]) << "it hangs where the site has it";
}

}  // namespace
}  // namespace sim
