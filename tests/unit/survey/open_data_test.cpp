// Real walks and tracks: what their description counts is what arrives.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "sim/survey/measured_drops.h"
#include "sim/survey/survey.h"
#include "tests/places.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

class OpenWalks : public testing::Test {
 protected:
  Survey read(const std::string& path, const std::string& settings = "") {
    return read_surveys(import_site(
        read_site(folder_.write("site.toml", "[[survey]]\nfile = \"" + path + "\"\n" + settings))));
  }
  static std::string open_data(const std::string& name) {
    return (fs::path(KERBRAY_OPEN_DATA) / name).lexically_normal().string();
  }
  TempFolder folder_;
};

#define NEED_OPEN_DATA(name)                                                      \
  if (!fs::exists(open_data(name))) {                                             \
    GTEST_SKIP() << "open data " << open_data(name) << " is not on this machine"; \
  }

// SOURCE.md of the folder: six walks of a loop of about 1.8 km at 1 Hz, about 60 % connected, the
// level empty where not connected, lat 44.97193..44.97538, lon -93.22707..-93.22013. Rows: lines
// of each file less the header.
TEST_F(OpenWalks, PhoneLogsOfACampusLoopAreReadRowByRow) {
  NEED_OPEN_DATA("mmwave_walks");
  const std::map<std::string, std::size_t> rows{{"run131", 950}, {"run133", 1037}, {"run151", 1126},
                                                {"run157", 937}, {"run63", 1270},  {"run64", 1180}};
  std::size_t all = 0, connected = 0, lone_levels = 0;
  for (const auto& [run, expected] : rows) {
    const Survey survey =
        read(open_data("mmwave_walks/" + run + ".csv"), "time_zone = \"America/Chicago\"\n");
    EXPECT_EQ(survey.measurements.size(), expected) << run;
    EXPECT_TRUE(survey.set_aside.empty()) << run << ": " << survey.set_aside.front().why;
    ASSERT_EQ(survey.issues.size(), 1U) << run << ": " << survey.issues.back().message;
    EXPECT_EQ(survey.issues[0].code, "accuracy_assumed");
    EXPECT_EQ("run" + survey.measurements[0].run, run);
    for (const Measurement& m : survey.measurements) {
      ++all;
      ASSERT_TRUE(m.place && m.connected) << run << " " << m.row;
      EXPECT_GE(*m.lat_deg, 44.97193 - 1e-5);
      EXPECT_LE(*m.lat_deg, 44.97538 + 1e-5);
      connected += *m.connected ? 1U : 0U;
      lone_levels += !*m.connected && m.rsrp_dbm ? 1U : 0U;
    }
    EXPECT_FALSE(find_measured_drops(survey.measurements, -112.0).empty()) << run;
  }
  EXPECT_NEAR(static_cast<double>(connected) / static_cast<double>(all), 0.6, 0.05);
  EXPECT_LT(lone_levels, (all - connected) / 50) << "a second's lag at the edge, no more";
}

// SOURCE.md: 184, 104, 296 and 871 track points; with them the waypoints, as the files' text has
// them. The clock of one receiver was not set: its times lie in 1901.
TEST_F(OpenWalks, GpxPointsAreRowsAndTheirTimesAreKept) {
  NEED_OPEN_DATA("gpx_tracks");
  const std::map<std::string, std::size_t> points{{"Mojstrovka", 184},
                                                  {"around-visnjan-with-car", 104},
                                                  {"cerknicko-jezero", 296},
                                                  {"korita-zbevnica", 871}};
  for (const auto& [name, track_points] : points) {
    const std::string path = open_data("gpx_tracks/" + name + ".gpx");
    std::ostringstream text;
    text << std::ifstream(path).rdbuf();
    const auto count = [&](const std::string& word) {
      std::size_t found = 0;
      for (std::size_t i = text.str().find(word); i != std::string::npos;
           i = text.str().find(word, i + 1)) {
        ++found;
      }
      return found;
    };
    const Survey survey = read(path);
    const std::vector<Measurement>& rows = survey.measurements;
    EXPECT_EQ(rows.size(), track_points + count("<wpt ")) << name;
    const auto timed = static_cast<std::size_t>(std::count_if(
        rows.begin(), rows.end(), [](const Measurement& m) { return m.place && !m.time.empty(); }));
    // One <time> is that of the file or of a waypoint without a place in the track.
    const std::size_t unset = count("<time>1901");
    EXPECT_NEAR(static_cast<double>(timed), static_cast<double>(count("<time>") - unset), 1.0)
        << name;
    std::size_t aside = 0;
    for (const SetAside& one : survey.set_aside) {
      EXPECT_EQ(one.code, "time_not_possible") << one.why;
      aside += one.rows.size();
    }
    EXPECT_EQ(aside, unset) << name;
  }
}

// SOURCE.md: no coordinates.
TEST_F(OpenWalks, TestsWithoutCoordinatesAreRefusedWithTheirColumns) {
  NEED_OPEN_DATA("panel_obstruction_tests");
  const std::string path = open_data("panel_obstruction_tests/orientation.csv");
  const std::string site = folder_.write("site.toml",
                                         "[site]\ncrs = \"EPSG:32625\"\n[[node]]\nlon = -33\nlat "
                                         "= 40\n[[node.sector]]\n[[survey]]\nfile = \"" +
                                             path + "\"\n");
  EXPECT_THAT(refusal([&] { read_surveys(import_site(read_site(site))); }),
              HasSubstr("orientation_angle_in_degrees"));
}

// SOURCE.md: one link at 1 Hz, `obstruction_type` blank, hand or human, dropped when either is put
// in the way. Rows and medians by hand from the file: 71, 14 and 11 rows of 451.21, 143.08 and
// 156.70 Mbps; of the obstructed ones only the first of each is still connected. Data:
// "5Gophers 1.0", CC BY 4.0, of the WWW 2020 paper named in SOURCE.md.
TEST_F(OpenWalks, HandAndBodyBeforeAPanelAreMeasuredPairs) {
  NEED_OPEN_DATA("panel_obstruction_tests");
  const Survey survey = read(open_data("panel_obstruction_tests/nlos_locationC_no_multipath.csv"),
                             "place = \"C\"\n[[node]]\nlon = -33\nlat = 40\n[[node.sector]]\n");
  ASSERT_EQ(survey.measurements.size(), 96U);
  ASSERT_EQ(survey.pairs.size(), 2U);
  const auto expect = [&](const std::string& other, std::size_t rows, double median) {
    for (const MeasuredPair& pair : survey.pairs) {
      if (pair.other != other) continue;
      EXPECT_EQ(pair.reference, "outdoor");
      EXPECT_EQ(pair.name, "C");
      const PairedQuantity& rate = pair.downlink_mbps;
      EXPECT_EQ(rate.reference_count, 71U);
      EXPECT_EQ(rate.other_count, rows);
      EXPECT_NEAR(rate.reference_median, 451.2118974, 1e-6);
      EXPECT_NEAR(rate.other_median, median, 1e-6);
      EXPECT_NEAR(rate.difference, 451.2118974 - median, 1e-6);
      EXPECT_EQ(rate.method, "bootstrap");
      EXPECT_LT(rate.of_difference.low, rate.difference);
      EXPECT_GT(rate.of_difference.high, rate.difference);
      EXPECT_GT(rate.of_difference.low, 200.0) << "the obstruction is beyond doubt";
      EXPECT_LT(rate.of_ratio.high, 0.5);
      EXPECT_TRUE(rate.repeats_needed);
      EXPECT_EQ(pair.reference_connected, 71U);
      EXPECT_EQ(pair.other_known, rows);
      EXPECT_EQ(pair.other_connected, 1U);
      EXPECT_EQ(pair.rsrp_dbm.reference_count, 0U) << "no level was logged";
      return;
    }
    ADD_FAILURE() << "no pair with " << other;
  };
  expect("hand", 14, 143.0781607);
  expect("body", 11, 156.6982092);
}

// The same source: 246 rows each at 0, 45 and 90 degrees between panel and phone; medians by hand.
TEST_F(OpenWalks, TurningFromAPanelIsAPair) {
  NEED_OPEN_DATA("panel_obstruction_tests");
  const Survey survey =
      read(open_data("panel_obstruction_tests/orientation.csv"),
           "place = \"panel\"\ncolumns = { facing = \"orientation_angle_in_degrees\" }\n"
           "[[node]]\nlon = -33\nlat = 40\n[[node.sector]]\n");
  ASSERT_EQ(survey.pairs.size(), 2U);
  EXPECT_EQ(survey.pairs[0].reference, "facing 0");
  EXPECT_EQ(survey.pairs[0].other, "facing 45");
  EXPECT_EQ(survey.pairs[1].other, "facing 90");
  const PairedQuantity& quarter = survey.pairs[1].downlink_mbps;
  EXPECT_EQ(quarter.other_count, 246U);
  EXPECT_NEAR(quarter.reference_median, 2034.20, 0.01);
  EXPECT_NEAR(quarter.other_median, 1236.75, 0.01);
  EXPECT_NEAR(quarter.ratio, 1236.7451644823045 / 2034.201065650424, 1e-9);
}

}  // namespace
}  // namespace sim
