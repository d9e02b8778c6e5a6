// `kerbray plan` on the demo town: its files, read by others.
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "sim/gis/csv_file.h"
#include "sim/gis/gdal_session.h"
#include "tests/places.h"
#include "tests/scenes/program.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;
using testing::Not;
namespace fs = std::filesystem;

struct DemoPlan {
  explicit DemoPlan(const std::string& options, const std::string& name)
      : folder(own_folder() / ("plan_" + name)) {
    fs::remove_all(folder);
    fs::create_directories(folder);
    run = test::run_program(
        folder,
        "plan '" + (fs::path(KERBRAY_SCENES) / "demo_hill_town").string() + "' -o out " + options);
  }
  std::string text(const std::string& file) const { return test::text_of(folder / "out" / file); }
  CsvTable table(const std::string& file) const {
    return read_csv((folder / "out" / file).string());
  }
  fs::path folder;
  test::Run run;
};

const DemoPlan& with_controls() {
  static const DemoPlan plan("--controls", "controls");
  return plan;
}

TEST(PlanCommand, WritesEveryFileOfTheContract) {
  const DemoPlan& plan = with_controls();
  ASSERT_EQ(plan.run.exit_code, 0) << plan.run.err;
  for (const char* file : {"positions.csv", "to_fill.csv", "route.gpx", "route.geojson",
                           "sheet.html", "summary.json"}) {
    EXPECT_TRUE(fs::exists(plan.folder / "out" / file)) << file;
  }
  const CsvTable positions = plan.table("positions.csv");
  ASSERT_GT(positions.rows.size(), 15U);
  for (const auto& row : positions.rows) {
    for (const char* column : {"place", "kind", "node", "lon", "lat", "on_street", "distance_2d_m",
                               "face_deg", "repeats", "repeats_why", "why"}) {
      EXPECT_FALSE(row[*positions.column(column)].empty()) << row[0] << " has no " << column;
    }
    for (const char* blank : {"time", "rsrp_dbm", "downlink_mbps", "connected"}) {
      EXPECT_TRUE(row[*positions.column(blank)].empty());
    }
  }
}

TEST(PlanCommand, GpxHasItsWaypointsAndTrackWhereGdalFindsThem) {
  const DemoPlan& plan = with_controls();
  start_gdal();
  const std::unique_ptr<GDALDataset> gpx(
      GDALDataset::Open((plan.folder / "out/route.gpx").c_str(), GDAL_OF_VECTOR));
  ASSERT_TRUE(gpx);
  OGRLayer* points = gpx->GetLayerByName("waypoints");
  OGRLayer* tracks = gpx->GetLayerByName("track_points");
  const CsvTable positions = plan.table("positions.csv");
  ASSERT_EQ(points->GetFeatureCount(), static_cast<GIntBig>(positions.rows.size()));
  std::size_t i = 0;
  for (const auto& feature : *points) {
    const auto& row = positions.rows[i++];
    const OGRPoint* at = feature->GetGeometryRef()->toPoint();
    EXPECT_EQ(feature->GetFieldAsString("name"), row[0]);
    EXPECT_NEAR(at->getX(), std::stod(row[*positions.column("lon")]), 1e-7);
    EXPECT_NEAR(at->getY(), std::stod(row[*positions.column("lat")]), 1e-7);
    EXPECT_NEAR(feature->GetFieldAsDouble("ele"), std::stod(row[*positions.column("elevation_m")]),
                1e-3);
  }
  EXPECT_GT(tracks->GetFeatureCount(), 10);
  for (const auto& feature : *tracks) {
    EXPECT_GT(feature->GetFieldAsDouble("ele"), 1.0) << "the demo's ground lies above the sea";
  }
  // GPX 1.1 (topografix.com): metadata, then wpt, then trk.
  const std::string text = plan.text("route.gpx");
  EXPECT_THAT(text, HasSubstr("version=\"1.1\""));
  EXPECT_LT(text.rfind("<wpt"), text.find("<trk>"));
}

TEST(PlanCommand, GeoJsonIsWhatRfc7946Asks) {
  const auto json = nlohmann::json::parse(with_controls().text("route.geojson"));
  EXPECT_EQ(json["type"], "FeatureCollection");
  EXPECT_FALSE(json.contains("crs")) << "RFC 7946 section 4: WGS 84 and nothing else";
  std::size_t points = 0, lines = 0;
  for (const auto& feature : json["features"]) {
    const std::string type = feature["geometry"]["type"];
    points += type == "Point" ? 1U : 0U;
    lines += type == "LineString" ? 1U : 0U;
    const auto& first = type == "Point" ? feature["geometry"]["coordinates"]
                                        : feature["geometry"]["coordinates"][0];
    EXPECT_LT(std::abs(first[1].get<double>()), 90.0);
  }
  EXPECT_EQ(lines, 1U);
  EXPECT_EQ(points, with_controls().table("positions.csv").rows.size());
}

TEST(PlanCommand, TheSheetStandsAlone) {
  const std::string sheet = with_controls().text("sheet.html");
  for (const char* outside : {"<script", "src=", "href=", "url(", "@import"}) {
    EXPECT_THAT(sheet, Not(HasSubstr(outside)));
  }
  EXPECT_THAT(sheet, HasSubstr("Never operate a phone while driving"));
  EXPECT_THAT(sheet, HasSubstr("antenna"));
  EXPECT_THAT(sheet, HasSubstr("private land"));
  EXPECT_THAT(sheet, HasSubstr("<svg"));
  for (const auto& row : with_controls().table("positions.csv").rows) {
    EXPECT_THAT(sheet, HasSubstr("<b>" + row[0] + "</b>"));
  }
}

TEST(PlanCommand, EightAreEightAndSayWhy) {
  const DemoPlan plan("--count 8", "eight");
  ASSERT_EQ(plan.run.exit_code, 0) << plan.run.err;
  const CsvTable positions = plan.table("positions.csv");
  ASSERT_EQ(positions.rows.size(), 8U);
  std::size_t beyond = 0;
  for (const auto& row : positions.rows) {
    EXPECT_THAT(row[*positions.column("why")], HasSubstr("one of the 8"));
    beyond += std::stod(row[*positions.column("p_hold")]) < 0.5 ? 1U : 0U;
  }
  EXPECT_GE(beyond, 1U);
}

/// The table filled in as a tester would: what was predicted, and a link everywhere.
std::string filled(const CsvTable& table, const std::map<std::string, std::string>& rsrp_by_place) {
  std::string text;
  for (const std::string& field : table.header) text += (text.empty() ? "" : ",") + field;
  text += "\n";
  for (auto row : table.rows) {
    row[*table.column("rsrp_dbm")] = rsrp_by_place.at(row[*table.column("place")]);
    row[*table.column("connected")] = "yes";
    std::string line;
    for (const std::string& cell : row) line += csv_field(cell) + ",";
    line.pop_back();
    text += line + "\n";
  }
  return text;
}

TEST(PlanCommand, FilledInTheTablesGoStraightBackIntoTheSurvey) {
  const DemoPlan plan("--count 8", "filled");
  ASSERT_EQ(plan.run.exit_code, 0) << plan.run.err;
  const CsvTable positions = plan.table("positions.csv");
  std::map<std::string, std::string> rsrp;
  for (const auto& row : positions.rows) {
    rsrp[row[0]] = row[*positions.column("predicted_rsrp_dbm")];
  }
  fs::copy(fs::path(KERBRAY_SCENES) / "demo_hill_town", plan.folder / "site",
           fs::copy_options::recursive);
  std::string toml = test::text_of(plan.folder / "site/site.toml");
  toml.erase(toml.find("[[survey]]"));
  for (const char* file : {"positions.csv", "to_fill.csv"}) {
    const CsvTable table = plan.table(file);
    std::ofstream(plan.folder / "site" / file) << filled(table, rsrp);
    std::ofstream(plan.folder / "site/site.toml")
        << toml << "[[survey]]\nfile = \"" << file << "\"\n";
    const test::Run explained =
        test::run_program(plan.folder, "explain site -o explained --overwrite");
    ASSERT_EQ(explained.exit_code, 0) << explained.err;
    const CsvTable rows = read_csv((plan.folder / "explained/explained.csv").string());
    ASSERT_EQ(rows.rows.size(), table.rows.size()) << file;
    for (const auto& row : rows.rows) {
      // Measured as predicted, at the place and turned as planned: nothing is left to explain.
      ASSERT_FALSE(row[*rows.column("residual_db")].empty());
      EXPECT_NEAR(std::stod(row[*rows.column("residual_db")]), 0.0, 0.2) << file;
    }
  }
}

TEST(PlanCommand, SameBytesWhateverTheThreads) {
  const DemoPlan one("--controls --threads 1", "one"), two("--controls --threads 2", "two");
  for (const char* file : {"positions.csv", "to_fill.csv", "route.gpx", "route.geojson",
                           "sheet.html", "summary.json"}) {
    EXPECT_EQ(one.text(file), two.text(file)) << file;
  }
}

}  // namespace
}  // namespace sim
