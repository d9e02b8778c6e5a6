// `kerbray compare` through the program, on invented sites and on open data.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "sim/base/quantile.h"
#include "sim/gis/csv_file.h"
#include "tests/places.h"
#include "tests/scenes/program.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;
using testing::HasSubstr;

struct Compared {
  fs::path folder;
  test::Run run;
  Json summary;
};

Compared compare(const std::string& name, const fs::path& from, const std::string& arguments) {
  Compared c{.folder = own_folder() / ("compared_" + name), .run = {}, .summary = {}};
  fs::remove_all(c.folder);
  c.run = test::run_program(from, "compare " + arguments + " -o '" + c.folder.string() + "'");
  if (c.run.exit_code == 0) c.summary = Json::parse(test::text_of(c.folder / "summary.json"));
  return c;
}

std::string cell(const CsvTable& table, std::size_t row, const std::string& column) {
  return table.rows.at(row).at(table.column(column).value());
}

const Compared& two_sites() {
  static const Compared once = compare("two", KERBRAY_SCENES, "demo_hill_town in_and_out");
  return once;
}

TEST(CompareSites, CountsAreThoseOfTheSurveys) {
  ASSERT_EQ(two_sites().run.exit_code, 0) << two_sites().run.err;
  std::map<std::string, std::size_t> rows;
  for (const Json& group : two_sites().summary["groups"]) rows[group["label"]] = group["rows"];
  const fs::path scenes = KERBRAY_SCENES;
  EXPECT_EQ(rows["Quillmere (invented)"],
            read_csv(scenes / "demo_hill_town" / "walk.csv").rows.size() +
                read_csv(scenes / "demo_hill_town" / "notebook.csv").rows.size());
  EXPECT_EQ(rows["in_and_out"], read_csv(scenes / "in_and_out" / "notebook.csv").rows.size());
}

TEST(CompareSites, TidyTableHoldsWhatTheSummarySays) {
  const CsvTable table = read_csv(two_sites().folder / "compare.csv");
  std::size_t measured = 0, predicted = 0;
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const std::string enough = cell(table, r, "enough");
    if (cell(table, r, "source") == "predicted") {
      ++predicted;
      EXPECT_EQ(cell(table, r, "low"), "") << "a prediction of all places has no sampling interval";
      continue;
    }
    ++measured;
    // Below six samples no interval, and the table says why.
    EXPECT_EQ(enough, std::stoi(cell(table, r, "samples")) < 6 ? "too_few" : "yes") << r;
    EXPECT_EQ(cell(table, r, "low").empty(), enough == "too_few");
  }
  EXPECT_GT(measured, 50U);
  EXPECT_GT(predicted, 50U);
}

TEST(CompareSites, ADifferenceIsToldOnlyWhereItsIntervalExcludesZero) {
  const CsvTable table = read_csv(two_sites().folder / "differences.csv");
  ASSERT_GT(table.rows.size(), 5U);
  std::size_t shown = 0, few = 0;
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const std::string verdict = cell(table, r, "verdict");
    if (verdict == "too_few") {
      ++few;
      EXPECT_EQ(cell(table, r, "low"), "");
      continue;
    }
    const bool excludes =
        std::stod(cell(table, r, "low")) > 0.0 || std::stod(cell(table, r, "high")) < 0.0;
    EXPECT_EQ(verdict == "shown", excludes) << r;
    shown += excludes ? 1 : 0;
  }
  EXPECT_GT(few, 0U);
  EXPECT_GT(shown, 0U);
}

TEST(CompareSites, PageRunsAndLoadsNothing) {
  const std::string page = test::text_of(two_sites().folder / "compare.html");
  EXPECT_THAT(page, HasSubstr("default-src 'none'"));
  for (const char* forbidden : {"<script", "<img", "<link", "style=\"", "url(http", "@import"}) {
    EXPECT_EQ(page.find(forbidden), std::string::npos) << forbidden;
  }
  EXPECT_THAT(page, HasSubstr("<svg"));
  EXPECT_THAT(page, HasSubstr("Never operate a phone while driving"));
  // No id stands twice.
  std::map<std::string, int> ids;
  for (std::size_t at = page.find(" id=\""); at != std::string::npos;
       at = page.find(" id=\"", at + 1)) {
    ++ids[page.substr(at + 5, page.find('"', at + 5) - at - 5)];
  }
  EXPECT_GT(ids.size(), 100U);
  for (const auto& [id, count] : ids) EXPECT_EQ(count, 1) << id;
}

TEST(CompareSites, SameInputSameBytesWhateverTheThreads) {
  const Compared one = compare("one", KERBRAY_SCENES, "demo_hill_town in_and_out --threads 1 -q");
  ASSERT_EQ(one.run.exit_code, 0);
  for (const auto& entry : fs::directory_iterator(two_sites().folder)) {
    const fs::path name = entry.path().filename();
    EXPECT_EQ(test::text_of(entry.path()), test::text_of(one.folder / name)) << name;
  }
}

TEST(CompareSites, OneWithoutSurveyShowsItsPrediction) {
  const Compared c = compare("predicted", KERBRAY_SCENES, "flat_ground demo_hill_town");
  ASSERT_EQ(c.run.exit_code, 0) << c.run.err;
  ASSERT_EQ(c.summary["groups"].size(), 2U);
  EXPECT_THAT(c.run.err, HasSubstr("has no measurement: only its prediction is shown"));
}

/// A site without a node, its survey as given.
fs::path written_site(const std::string& name, const std::string& csv) {
  const fs::path folder = own_folder() / ("compare_site_" + name);
  fs::create_directories(folder);
  std::ofstream(folder / "site.toml")
      << "[site]\nname = \"notebook\"\ncrs = \"EPSG:32625\"\n\n[[survey]]\nfile = \"log.csv\"\n"
         "place = \"here\"\ntime_zone = \"America/Chicago\"\n";
  std::ofstream(folder / "log.csv") << csv;
  return folder;
}

TEST(CompareColumns, GroupsAreTheCellsAndDistancesTheirOwnColumn) {
  std::string csv = "Operator,away_ft,run,downlink_mbps\n";
  for (int i = 0; i < 24; ++i) {
    csv += std::string(i % 2 == 0 ? "blue" : "green") + ",100," + std::to_string(i) + "," +
           std::to_string(i % 2 == 0 ? 400 + i : 200 + i) + "\n";
  }
  csv += ",100,99,300\n";
  const Compared c =
      compare("operator", written_site("operator", csv), ". --by operator --distance away_ft");
  ASSERT_EQ(c.run.exit_code, 0) << c.run.err;
  EXPECT_EQ(c.summary["rows_without_group"], 1);
  const Json& blue = c.summary["groups"][0];
  EXPECT_EQ(blue["label"], "blue");
  // The international foot is 0.3048 m exactly.
  EXPECT_NEAR(blue["distance_m"]["median"].get<double>(), 30.48, 0.03);
  const Json& d = c.summary["differences"][0]["downlink_mbps"];
  EXPECT_TRUE(d["shown"].get<bool>());
  EXPECT_NEAR(d["difference"].get<double>(), 199.0, 1e-9);  // 400 + i less 201 + i
}

TEST(CompareColumns, DatesAreThoseOfTheClockThatWrote) {
  std::string csv = "time,downlink_mbps\n";
  // 23:30 in Chicago is the next day in UTC.
  csv += "2026-05-01 23:30:00,400\n2026-05-02 00:30:00,300\n";
  const Compared c = compare("date", written_site("date", csv), ". --by date");
  ASSERT_EQ(c.run.exit_code, 0) << c.run.err;
  ASSERT_EQ(c.summary["groups"].size(), 2U);
  EXPECT_EQ(c.summary["groups"][0]["label"], "2026-05-01");
  EXPECT_THAT(c.run.err, HasSubstr("too few measurements to say"));
}

fs::path open_data(const std::string& folder) { return fs::path(KERBRAY_OPEN_DATA) / folder; }

// Six walks of one loop (SIGCOMM 2021, see SOURCE.md): the same stretches drop walk after walk, so
// hardly a walk differs from another; and some 60 % of the rows are connected.
TEST(CompareOpenData, SixWalksOfOneLoopAreAlike) {
  if (!fs::exists(open_data("mmwave_walks"))) GTEST_SKIP() << "open data mmwave_walks is not here";
  const fs::path folder = own_folder() / "compare_walks";
  fs::create_directories(folder);
  std::ofstream site(folder / "site.toml");
  site << "[site]\nname = \"loop\"\ncrs = \"EPSG:32615\"\n";
  for (const int run : {63, 64, 131, 133, 151, 157}) {
    site << "[[survey]]\nfile = \""
         << (open_data("mmwave_walks") / ("run" + std::to_string(run) + ".csv")).string()
         << "\"\ntime_zone = \"America/Chicago\"\n";
  }
  site.close();
  const Compared c = compare("walks", folder, ". --by run");
  ASSERT_EQ(c.run.exit_code, 0) << c.run.err;
  ASSERT_EQ(c.summary["groups"].size(), 6U);
  EXPECT_EQ(c.summary["groups"][0]["label"], "63") << "in order of number";
  double linked = 0.0;
  for (const Json& group : c.summary["groups"]) {
    linked += group["measured"][0]["link_share"]["share"].get<double>() / 6.0;
  }
  EXPECT_NEAR(linked, 0.6, 0.08);
  std::size_t told = 0, shown = 0;
  for (const Json& contrast : c.summary["differences"]) {
    for (const char* what : {"downlink_mbps", "rsrp_dbm", "link_share"}) {
      if (!contrast.contains(what) || contrast[what]["method"].is_null()) continue;
      ++told;
      shown += contrast[what]["shown"].get<bool>() ? 1 : 0;
    }
  }
  EXPECT_EQ(told, 45U);
  EXPECT_LE(shown, 6U);
}

// One panel, twelve runs at each distance (WWW 2020, see SOURCE.md): rows of a run are one sample,
// and the medians are those of the runs' medians.
TEST(CompareOpenData, PanelAgainstDistance) {
  const fs::path file = open_data("panel_obstruction_tests") / "distance.csv";
  if (!fs::exists(file)) GTEST_SKIP() << "open data panel_obstruction_tests is not here";
  const fs::path folder = own_folder() / "compare_panel";
  fs::create_directories(folder);
  std::ofstream(folder / "site.toml")
      << "[site]\nname = \"panel\"\ncrs = \"EPSG:32616\"\n"
      << "[[survey]]\nplace = \"panel\"\nfile = \"" << file.string() << "\"\n";
  const Compared c = compare("panel", folder, ". --distance distance_in_meters --bin 25");
  ASSERT_EQ(c.run.exit_code, 0) << c.run.err;
  std::map<double, std::map<std::string, std::vector<double>>> runs;  // by distance and run
  const CsvTable rows = read_csv(file);
  for (std::size_t r = 0; r < rows.rows.size(); ++r) {
    runs[std::stod(cell(rows, r, "distance_in_meters"))][cell(rows, r, "run_num")].push_back(
        std::stod(cell(rows, r, "throughput_mbps")));
  }
  ASSERT_EQ(runs.size(), 5U);
  std::size_t met = 0;
  for (const auto& [distance, by_run] : runs) {
    std::vector<double> medians;
    for (const auto& [run, values] : by_run) medians.push_back(quantile(values, 0.5));
    for (const Json& cell_of : c.summary["groups"][0]["measured"]) {
      if (cell_of["from_m"].is_null() || cell_of["situation"] != "any") continue;
      if (distance < cell_of["from_m"] || distance >= cell_of["to_m"]) continue;
      ++met;
      EXPECT_EQ(cell_of["downlink_mbps"]["stretches"], by_run.size());
      EXPECT_NEAR(cell_of["downlink_mbps"]["median"].get<double>(), quantile(medians, 0.5), 0.006);
    }
  }
  EXPECT_EQ(met, 5U);
}

}  // namespace
}  // namespace sim
