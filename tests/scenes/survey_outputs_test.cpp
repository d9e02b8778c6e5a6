// What `explain` writes of the survey itself: repeats, pairs, and what was set aside.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <filesystem>
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

/// scenes/in_and_out explained, once.
struct Explained {
  fs::path folder = own_folder() / "in_and_out_explained";
  test::Run run;
  Explained() {
    fs::remove_all(folder);
    run = test::run_program(KERBRAY_SCENES, "explain in_and_out -o '" + folder.string() + "'");
  }
};
const Explained& explained() {
  static const Explained once;
  return once;
}

std::string cell(const CsvTable& table, std::size_t row, const std::string& column) {
  return table.rows.at(row).at(table.column(column).value());
}

TEST(SurveyOutputs, PairsOfEachPlaceWithIntervalAndLedger) {
  ASSERT_EQ(explained().run.exit_code, 0) << explained().run.err;
  const CsvTable pairs = read_csv(explained().folder / "pairs.csv");
  // Two places of the car by level and downlink, one of turning away by both.
  ASSERT_EQ(pairs.rows.size(), 6U);
  std::size_t cars = 0;
  for (std::size_t r = 0; r < pairs.rows.size(); ++r) {
    if (cell(pairs, r, "other") != "in_vehicle" || cell(pairs, r, "quantity") != "rsrp_dbm") {
      continue;
    }
    ++cars;
    // TR 38.901 section 7.4.3.2: a car of plain windows takes 9 dB in the mean; the notebook was
    // made with 9.5 and 10 dB.
    EXPECT_NEAR(std::stod(cell(pairs, r, "predicted_db")), 9.0, 1e-9);
    EXPECT_NEAR(std::stod(cell(pairs, r, "difference")), 9.75, 1.5);
    EXPECT_EQ(cell(pairs, r, "method"), "bootstrap");
    EXPECT_LT(std::stod(cell(pairs, r, "difference_low")), 9.75);
    EXPECT_GT(std::stod(cell(pairs, r, "difference_high")), 9.75);
  }
  EXPECT_EQ(cars, 2U);
  const Json summary = Json::parse(test::text_of(explained().folder / "summary.json"));
  EXPECT_EQ(summary["pairs"].size(), 3U);
  EXPECT_THAT(explained().run.err + explained().run.out,
              testing::HasSubstr("in_vehicle against outdoor at spot 80: "));
}

// From the notebook itself: its rows of one name, held alike.
TEST(SurveyOutputs, RepeatsOfEachPlace) {
  const CsvTable rows = read_csv(fs::path(KERBRAY_SCENES) / "in_and_out" / "notebook.csv");
  const CsvTable repeats = read_csv(explained().folder / "repeats.csv");
  const std::map<std::string, std::array<std::string, 3>> held{
      {"spot 80, facing node", {"spot 80", "outside", "node"}},
      {"spot 80, in_vehicle, facing node", {"spot 80", "in car", "node"}},
      {"spot 80, facing away", {"spot 80", "outside", "away"}},
      {"spot 150, facing node", {"spot 150", "outside", "node"}},
      {"spot 150, in_vehicle, facing node", {"spot 150", "in car", "node"}}};
  ASSERT_EQ(repeats.rows.size(), held.size());
  for (std::size_t r = 0; r < repeats.rows.size(); ++r) {
    const auto& [spot, context, facing] = held.at(cell(repeats, r, "name"));
    std::vector<double> levels;
    std::size_t count = 0;
    for (std::size_t i = 0; i < rows.rows.size(); ++i) {
      if (cell(rows, i, "place") != spot || cell(rows, i, "context") != context ||
          cell(rows, i, "facing") != facing) {
        continue;
      }
      ++count;
      const double level = std::stod(cell(rows, i, "RSRP (dBm)"));
      if (level < 0.0) levels.push_back(level);
    }
    EXPECT_EQ(std::stoul(cell(repeats, r, "count")), count);
    EXPECT_EQ(std::stoul(cell(repeats, r, "rsrp_dbm_count")), levels.size());
    EXPECT_NEAR(std::stod(cell(repeats, r, "rsrp_dbm_median")), quantile(levels, 0.5), 0.01);
  }
}

TEST(SurveyOutputs, WhatWasSetAsideIsCountedAndItsRowsStay) {
  const Json summary = Json::parse(test::text_of(explained().folder / "summary.json"));
  std::map<std::string, std::string> rows;
  for (const Json& aside : summary["set_aside"]) {
    rows[aside["what"].get<std::string>() + " " + aside["code"].get<std::string>()] =
        aside["rows"].get<std::string>();
  }
  const std::map<std::string, std::string> expected{{"position no_fix", "8"},
                                                    {"rsrp_dbm no_value", "16"},
                                                    {"downlink_mbps not_possible", "16"},
                                                    {"accuracy_m accuracy_unknown", "16"}};
  EXPECT_EQ(rows, expected);
  const CsvTable answers = read_csv(explained().folder / "explained.csv");
  const CsvTable notebook = read_csv(fs::path(KERBRAY_SCENES) / "in_and_out" / "notebook.csv");
  ASSERT_EQ(answers.rows.size(), notebook.rows.size());
  for (std::size_t r = 0; r < answers.rows.size(); ++r) {
    EXPECT_EQ(cell(answers, r, "row"), std::to_string(r + 1));
    EXPECT_EQ(cell(answers, r, "predicted_rsrp_dbm").empty(), r == 7) << r;
  }
  EXPECT_EQ(cell(answers, 7, "set_aside"), "no_fix");
  EXPECT_EQ(cell(answers, 0, "facing"), "node");
}

}  // namespace
}  // namespace sim
