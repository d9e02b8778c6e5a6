// Real open data: what its description counts is what arrives.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "sim/import/map_geometry.h"
#include "tests/places.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

namespace fs = std::filesystem;

std::string open_data(const std::string& name) {
  return (fs::path(KERBRAY_OPEN_DATA) / name).lexically_normal().string();
}

class OpenData : public testing::Test {
 protected:
  /// A site of the sections with an isotropic node at a place, everything within the bounds.
  ImportedSite import(const std::string& node_place, const std::string& bounds,
                      const std::string& sections) {
    return import_site(
        read_site(folder_.write("site.toml", "[site]\nbounds = " + bounds + "\n[[node]]\n" +
                                                 node_place + "\n[[node.sector]]\n" + sections)));
  }
  TempFolder folder_;
};

#define NEED_OPEN_DATA(name)                                                      \
  if (!fs::exists(open_data(name))) {                                             \
    GTEST_SKIP() << "open data " << open_data(name) << " is not on this machine"; \
  }

double area_of(const BuildingRecord& building) {
  double sum = 0.0;
  for (const MapPolygon& p : building.polygons) {
    sum += area_m2(p.shell);
    for (const MapRing& hole : p.holes) sum += area_m2(hole);
  }
  return sum;
}

// SOURCE.md of the folder: the GeoJSON was converted from the PBF without changing a value; 1568
// polygons of which 46 parts, 1557 with height, highest 69.4 m.
TEST_F(OpenData, WestVillagePbfAndGeoJsonGiveTheSameBuildings) {
  NEED_OPEN_DATA("nyc_west_village");
  const auto read = [&](const std::string& file) {
    return import("lon = -74.0066\nlat = 40.7364", "[-74.02, 40.72, -73.98, 40.78]",
                  "[[buildings]]\nfile = \"" + open_data("nyc_west_village/" + file) + "\"\n");
  };
  const ImportedSite pbf = read("nyc_west_village_2015.osm.pbf");
  const ImportedSite json = read("buildings.geojson");
  EXPECT_EQ(counted(json.report, "buildings").read, 1568U);
  EXPECT_EQ(pbf.buildings.size(), json.buildings.size());
  // The GeoJSON names areas by "a" and twice the way's id, or twice the relation's id plus one.
  std::map<std::string, const BuildingRecord*> by_id;
  for (const BuildingRecord& b : json.buildings) by_id[b.id] = &b;
  std::size_t matched = 0, tagged = 0;
  double highest_m = 0.0;
  for (const BuildingRecord& b : pbf.buildings) {
    const bool way = b.id.starts_with("way/");
    const long long number = std::stoll(b.id.substr(b.id.find('/') + 1));
    const auto twin = by_id.find("a" + std::to_string(2 * number + (way ? 0 : 1)));
    if (twin == by_id.end()) continue;
    ++matched;
    EXPECT_NEAR(b.height_m, twin->second->height_m, 1e-9) << b.id;
    EXPECT_EQ(b.height_source, twin->second->height_source) << b.id;
    EXPECT_NEAR(area_of(b), area_of(*twin->second), 1e-3 * area_of(b)) << b.id;
    if (b.height_source == HeightSource::tagged) {
      ++tagged;
      highest_m = std::max(highest_m, b.height_m);
    }
  }
  EXPECT_EQ(matched, json.buildings.size());
  EXPECT_GT(tagged, 1500U);
  EXPECT_DOUBLE_EQ(highest_m, 69.4);
}

// SOURCE.md: 586 street lamps, 649 trees, none with a height.
TEST_F(OpenData, HelsinkiHasItsLampsAndTrees) {
  NEED_OPEN_DATA("helsinki_lamps_trees");
  const std::string file = open_data("helsinki_lamps_trees/helsinki_2019.osm.pbf");
  const ImportedSite site =
      import("lon = 24.944\nlat = 60.172", "[24.90, 60.15, 24.98, 60.19]",
             "[[poles]]\nfile = \"" + file + "\"\n[[trees]]\nfile = \"" + file +
                 "\"\nlayer = \"points\"\nwhere = \"natural = 'tree'\"\n");
  EXPECT_EQ(counted(site.report, "poles").read, 586U);
  EXPECT_EQ(site.poles.size(), 586U);
  EXPECT_EQ(counted(site.report, "poles").defaulted, 586U);
  EXPECT_EQ(site.trees.size(), 649U);
}

// SOURCE.md: 75 with height, highest 170 m; 618 trees, 29 lamps; most buildings have neither
// height nor levels, so the count of guesses must be large and shown.
TEST_F(OpenData, MonacoCountsItsGuesses) {
  NEED_OPEN_DATA("monaco_hilly");
  const std::string file = open_data("monaco_hilly/monaco_2026.osm.pbf");
  const ImportedSite site = import("lon = 7.42\nlat = 43.735", "[7.38, 43.70, 7.46, 43.77]",
                                   "[ground]\nfile = \"" + open_data("monaco_hilly/N43E007.hgt") +
                                       "\"\n[[buildings]]\nfile = \"" + file +
                                       "\"\n[[poles]]\nfile = \"" + file + "\"\n");
  EXPECT_EQ(site.poles.size(), 29U);
  const LayerCount& count = counted(site.report, "buildings");
  EXPECT_EQ(count.used + count.dropped + count.outside, count.read);
  EXPECT_EQ(count.used, site.buildings.size());
  EXPECT_GT(2 * count.defaulted, count.used);
  double highest_m = 0.0;
  for (const BuildingRecord& b : site.buildings) highest_m = std::max(highest_m, b.height_m);
  EXPECT_DOUBLE_EQ(highest_m, 170.0);
  EXPECT_FALSE(site.ground.empty());
}

// SOURCE.md: 137 polygons without any height column; DSM minus DEM gives it, 0..58 m over 0..23 m.
TEST_F(OpenData, GoteborgBuildingsTakeTheirHeightFromTheSurface) {
  NEED_OPEN_DATA("goteborg_block");
  const auto file = [](const char* name) {
    return "\"" + open_data(std::string("goteborg_block/") + name) + "\"";
  };
  const ImportedSite site = import_site(read_site(folder_.write(
      "site.toml", "[site]\ncrs = \"EPSG:3007\"\n[ground]\nfile = " + file("DEM_KRbig.tif") +
                       "\n[surface]\nfile = " + file("DSM_KRbig.tif") + "\ncanopy_file = " +
                       file("CDSM_KRbig.tif") + "\n[[buildings]]\nfile = " + file("buildings.shp") +
                       "\n[[node]]\nx_m = 147837\ny_m = 6398668\n[[node.sector]]\n")));
  EXPECT_EQ(counted(site.report, "buildings").read, 137U);
  std::size_t within = 0;
  for (const BuildingRecord& b : site.buildings) {
    const MapBounds box = bounds_of(b.polygons);
    // The raster: 147720..147954 by 6398557..6398780.
    if (box.west < 147720 || box.east > 147954 || box.south < 6398557 || box.north > 6398780 ||
        area_of(b) < 20.0) {
      continue;
    }
    ++within;
    EXPECT_EQ(b.height_source, HeightSource::surface) << b.id;
    EXPECT_LE(b.height_m, 58.0) << b.id;
  }
  EXPECT_GT(within, 10U);
  EXPECT_EQ(site.canopies.size(), 1U);
  EXPECT_EQ(site.ground.spec.cols, 234);
  EXPECT_EQ(site.ground.spec.rows, 223);
}

// SOURCE.md: 864 x 648 cells of 1/3 arc second in EPSG:4269, 0..328 m.
TEST_F(OpenData, PortlandTerrainIsWarpedWithinItsHeights) {
  NEED_OPEN_DATA("portland_terrain");
  const ImportedSite site =
      import("lon = -122.67\nlat = 45.52", "[-122.69, 45.51, -122.65, 45.53]",
             "[ground]\nfile = \"" + open_data("portland_terrain/portland-ned.tif") + "\"\n");
  EXPECT_EQ(site.crs.epsg(), "EPSG:32610");
  // A third of an arc second is 10.3 m of latitude and 7.2 m of longitude there.
  EXPECT_GT(site.ground.spec.cell_x_m, 7.0);
  EXPECT_LT(site.ground.spec.cell_x_m, 10.5);
  for (const float value : site.ground.values) {
    if (std::isnan(value)) continue;
    ASSERT_GE(value, -1.0F);
    ASSERT_LE(value, 329.0F);
  }
}

// SOURCE.md: 160 building polygons, 57 walls and fences (SpatiaLite).
TEST_F(OpenData, DelftBuildingsComeFromSpatiaLite) {
  NEED_OPEN_DATA("delft_lidar");
  std::string buildings;
  for (const auto& entry : fs::directory_iterator(open_data("delft_lidar/bgt"))) {
    const std::string name = entry.path().filename();
    if (name.find("pand") != std::string::npos) buildings = entry.path();
  }
  ASSERT_NE(buildings, "");
  const ImportedSite site = import_site(read_site(folder_.write(
      "site.toml",
      "[site]\ncrs = \"EPSG:28992\"\n[ground]\nfile = \"" +
          open_data("delft_lidar/dtm_ground_0p5m_derived.tif") + "\"\n[surface]\nfile = \"" +
          open_data("delft_lidar/dsm_max_0p5m_derived.tif") + "\"\n[[buildings]]\nfile = \"" +
          buildings + "\"\n[[node]]\nx_m = 84940\ny_m = 447527\n[[node.sector]]\n")));
  const LayerCount& count = counted(site.report, "buildings");
  EXPECT_EQ(count.read, 160U);
  EXPECT_EQ(count.used + count.dropped + count.outside, 160U);
}

}  // namespace
}  // namespace sim
