// Ground, canopy seen by the surface, and points to answer for.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

double at(const HeightGrid& grid, double x, double y) {
  return grid.sample(origin_x_m + x, origin_y_m + y);
}

class Ground : public testing::Test {
 protected:
  InventedSite site_;
};

TEST_F(Ground, CellsWithoutDataAreFilledAndCounted) {
  site_.raster("dtm", {-250, 250}, 10.0, 50, 50, [](double x, double y) {
    return std::abs(x - 5) < 1 && std::abs(y - 5) < 1 ? -9999.0 : 42.0;
  });
  const auto imported = site_.import("[ground]\nfile = \"dtm.asc\"\n");
  EXPECT_EQ(imported.report.ground_cells_filled, 1U);
  EXPECT_EQ(counted(imported.report, "ground").repaired, 1U);
  EXPECT_EQ(issues(imported.report, "nodata_filled"), 1U);
  EXPECT_NEAR(at(imported.ground, 5, 5), 42.0, 1e-4);
  EXPECT_DOUBLE_EQ(imported.middle.z_m, 42.0) << "mean ground";
}

TEST_F(Ground, WithoutRasterItIsFlat) {
  const auto imported = site_.import("[ground]\nelevation_m = 12\n");
  EXPECT_TRUE(imported.ground.empty());
  EXPECT_DOUBLE_EQ(imported.middle.z_m, 12.0);
}

TEST_F(Ground, NothingIsKnownBeyondTheRaster) {
  site_.raster("dtm", {-50, 50}, 5.0, 20, 20, [](double, double) { return 5.0; });
  const auto imported = site_.import("[ground]\nfile = \"dtm.asc\"\n");
  EXPECT_TRUE(std::isnan(at(imported.ground, 80, 0)));
}

/// Crowns of 6 m on x 20..30, a hedge of 1 m on x 40..50, a roof of 9 m on x 0..10; ground at 100.
double surface(double x, double y) {
  if (y < 0 || y > 10) return 100.0;
  if (x > 20 && x < 30) return 106.0;
  if (x > 40 && x < 50) return 101.0;
  return x > 0 && x < 10 ? 109.0 : 100.0;
}

class Canopy : public Ground {
 protected:
  const CanopyRecord& import(const std::string& more = "") {
    site_.raster("dsm", {-250, 250}, 1.0, 500, 500, surface);
    site_.layer("houses.geojson", {feature(rectangle(0, 0, 10, 10))});
    imported_ = site_.import(
        "[ground]\nelevation_m = 100\n[surface]\nfile = \"dsm.asc\"\n"
        "[[buildings]]\nfile = \"houses.geojson\"\n" +
        more);
    return imported_.canopies.at(0);
  }
  double top(const CanopyRecord& canopy, double x, double y) {
    const GridSpec& s = canopy.top.spec;
    const auto col = static_cast<int>((origin_x_m + x - s.west_m) / s.cell_x_m);
    const auto row = static_cast<int>((s.north_m - origin_y_m - y) / s.cell_y_m);
    return static_cast<double>(canopy.top.values[s.index(col, row)]);
  }
  ImportedSite imported_;
};

TEST_F(Canopy, StandsWhereTheSurfaceIsHighAndNothingIsMapped) {
  const CanopyRecord& canopy = import();
  EXPECT_NEAR(top(canopy, 25, 5), 6.0, 1e-4) << "above ground";
  EXPECT_TRUE(std::isnan(top(canopy, 5, 5))) << "a roof is no crown";
  EXPECT_TRUE(std::isnan(top(canopy, 10.5, 5))) << "nor is its smeared edge";
  EXPECT_TRUE(std::isnan(top(canopy, 45, 5))) << "nor a hedge";
  EXPECT_TRUE(std::isnan(top(canopy, -20, 5)));
  EXPECT_EQ(issues(imported_.report, "canopy_cells"), 1U);
  const auto cells = std::count_if(canopy.top.values.begin(), canopy.top.values.end(),
                                   [](float v) { return !std::isnan(v); });
  EXPECT_EQ(cells, 100) << "10 m x 10 m of 1 m cells";
}

TEST_F(Canopy, LeavesOutTheCrownsOfMappedTrees) {
  site_.layer("trees.geojson", {feature(point(25, 5), R"({"height":6,"diameter_crown":4})")});
  const CanopyRecord& canopy = import("[[trees]]\nfile = \"trees.geojson\"\n");
  EXPECT_TRUE(std::isnan(top(canopy, 25, 5)));
  EXPECT_NEAR(top(canopy, 29, 5), 6.0, 1e-4);
}

TEST_F(Canopy, CrownsAloneMayComeFromARasterOfTheirOwn) {
  site_.raster("crowns", {-250, 250}, 1.0, 500, 500,
               [](double x, double y) { return x > 60 && x < 65 && y > 0 && y < 5 ? 7.5 : 0.0; });
  site_.raster("dsm", {-250, 250}, 1.0, 500, 500, surface);
  const auto imported = site_.import(
      "[ground]\nelevation_m = 100\n"
      "[surface]\nfile = \"dsm.asc\"\ncanopy_file = \"crowns.asc\"\n");
  EXPECT_NEAR(top(imported.canopies.at(0), 62, 2), 7.5, 1e-4);
  EXPECT_TRUE(std::isnan(top(imported.canopies[0], 25, 5)));
}

TEST_F(Ground, PointsAreReadWithHeightAndContext) {
  const auto points = read_points(
      site_.folder.write("p.csv",
                         "id,x_m,y_m,height_agl_m,context\na,500001,4428236,1.8,in_vehicle\n"
                         "b,500002,4428236,,\n"),
      Crs::parse("EPSG:32625", {}));
  ASSERT_EQ(points.size(), 2U);
  EXPECT_EQ(points[0].id, "a");
  EXPECT_EQ(points[0].height_agl_m, 1.8);
  EXPECT_EQ(points[0].context, ReceiverContext::in_vehicle);
  EXPECT_EQ(points[1].height_agl_m, std::nullopt);
  EXPECT_EQ(points[1].context, std::nullopt);
}

TEST_F(Ground, PointsThatCannotBeUsedAreRefusedByRow) {
  const auto refused = [&](const std::string& csv) {
    const std::string path = site_.folder.write("p.csv", csv);
    return refusal([&] { read_points(path, Crs::parse("EPSG:32625", {})); });
  };
  EXPECT_THAT(refused("id,x_m,y_m\na,500001,4428236\nb,,\n"),
              HasSubstr("p.csv:2: has no usable position"));
  EXPECT_THAT(refused("x_m,y_m,height_agl_m\n500001,4428236,-2\n"),
              HasSubstr("p.csv:1: height_agl_m is '-2', but must be a height between 0 and 500 m"));
  EXPECT_THAT(refused("x_m,y_m,context\n500001,4428236,car\n"), HasSubstr("context is 'car'"));
  EXPECT_THAT(refused("x_m,y_m\n"), HasSubstr("holds no points"));
}

TEST_F(Ground, PointsWithoutIdAreNumberedByRow) {
  const auto points =
      read_points(site_.folder.write("p.csv", "x_m,y_m\n500001,4428236\n500002,4428236\n"),
                  Crs::parse("EPSG:32625", {}));
  EXPECT_EQ(points.at(1).id, "2");
}

}  // namespace
}  // namespace sim
