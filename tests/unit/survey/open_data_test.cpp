// Real walks and tracks: what their description counts is what arrives.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "sim/survey/measured_drops.h"
#include "sim/survey/survey.h"
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
        read(open_data("mmwave_walks/" + run + ".csv"), "time_zone = \"-06:00\"\n");
    EXPECT_EQ(survey.measurements.size(), expected) << run;
    EXPECT_TRUE(survey.issues.empty()) << run << ": " << survey.issues.front().message;
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

// SOURCE.md: 184, 296 and 871 track points; with them the waypoints, as the files' text has them.
TEST_F(OpenWalks, GpxPointsAreRowsAndTheirTimesAreKept) {
  NEED_OPEN_DATA("gpx_tracks");
  const std::map<std::string, std::size_t> points{
      {"Mojstrovka", 184}, {"cerknicko-jezero", 296}, {"korita-zbevnica", 871}};
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
    const std::vector<Measurement> rows = read(path).measurements;
    EXPECT_EQ(rows.size(), track_points + count("<wpt ")) << name;
    const auto timed = static_cast<std::size_t>(std::count_if(
        rows.begin(), rows.end(), [](const Measurement& m) { return m.place && !m.time.empty(); }));
    // One <time> is that of the file or of a waypoint without a place in the track.
    EXPECT_NEAR(static_cast<double>(timed), static_cast<double>(count("<time>")), 1.0) << name;
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

}  // namespace
}  // namespace sim
