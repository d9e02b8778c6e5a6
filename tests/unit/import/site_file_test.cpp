// What may be written in a site file: contract, section 3.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/import/site.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::ElementsAre;
using testing::Pair;

const std::string everything = R"(
[site]
name = "All of it"
crs = "EPSG:32625"
bounds = [-33.01, 39.99, -32.99, 40.01]
time = "leaf-off"
rain_mm_per_h = 12.5
[ground]
file = "dtm.tif"
band = 2
[surface]
file = "dsm.tif"
canopy_file = "crowns.tif"
[[buildings]]
file = "map.gpkg"
layer = "houses"
where = "kind = 'house'"
height_field = "h"
levels_field = "floors"
base_field = "z"
default_height_m = 7
material = "brick"
[[buildings]]
file = "more.gpkg"
[[poles]]
file = "lamps.csv"
height_field = "h"
diameter_field = "d"
default_height_m = 6.5
default_diameter_m = 0.15
[[trees]]
file = "trees.csv"
height_field = "h"
crown_diameter_field = "c"
species_field = "s"
default_height_m = 9
default_crown_diameter_m = 4
species_class = "conifer"
[[objects]]
file = "cars.csv"
kind = "truck"
length_m = 8
width_m = "broad"
height_m = 3.5
heading_deg = "course"
[[meshes]]
file = "arch.ply"
lon = -33
lat = 40
material = "metal"
[[point_clouds]]
file = "scan.ply"
offset_x_m = 500000
voxel_m = 0.25
[streets]
file = "streets.gpkg"
name_field = "street"
[[node]]
id = "corner"
lon = -33.0
lat = 40.0
height_agl_m = 7
[[node.sector]]
sector = "north"
azimuth_deg = 10
downtilt_deg = 4
frequency_ghz = 39
bandwidth_mhz = 400
carriers = 2
eirp_dbm = 52
pattern = "isotropic"
polarization = "slant"
[[node.sector]]
azimuth_deg = 130
[receiver]
height_agl_m = 1.2
gain_dbi = 6
noise_figure_db = 9
context = "behind_glass"
[[survey]]
file = "walk.csv"
columns = { rsrp_dbm = "level", lon = "X" }
context = "in_vehicle"
time_zone = "+02:00"
node = "corner"
note = "rain"
track = "walk.gpx"
[predict]
spacing_m = 5
radius_m = 250
models = { foliage = "weissberger" }
thresholds = { hold_rsrp_dbm = -100 }
confidence = 0.8
[plan]
step_m = 25
count = 8
reach_m = 300
control_points = [[-33.0, 40.0], [-33.001, 40.001]]
route_start = [[-33.0, 40.0]]
)";

class SiteFile : public testing::Test {
 protected:
  TempFolder folder_;
};

TEST_F(SiteFile, EverySectionIsRead) {
  const Site s = read_site(folder_.write("site.toml", everything));
  EXPECT_EQ(s.name, "All of it");
  EXPECT_EQ(s.crs, "EPSG:32625");
  ASSERT_TRUE(s.bounds);
  EXPECT_DOUBLE_EQ(s.bounds->north_deg, 40.01);
  EXPECT_FALSE(s.leaf_on);
  EXPECT_DOUBLE_EQ(s.rain_mm_per_h, 12.5);
  EXPECT_EQ(s.ground.file, folder_.file("dtm.tif")) << "paths are taken from the site file";
  EXPECT_EQ(s.ground.band, 2);
  ASSERT_TRUE(s.surface);
  EXPECT_EQ(s.surface->canopy_file, folder_.file("crowns.tif"));
  ASSERT_TRUE(s.streets);
  EXPECT_EQ(s.streets->name_field, "street");
  EXPECT_DOUBLE_EQ(s.receiver.height_agl_m, 1.2);
  EXPECT_EQ(s.receiver.gain_dbi, 6.0);
  EXPECT_EQ(s.receiver.noise_figure_db, 9.0);
  EXPECT_EQ(s.receiver.context, ReceiverContext::behind_glass);
  EXPECT_DOUBLE_EQ(s.predict.spacing_m, 5.0);
  EXPECT_DOUBLE_EQ(s.predict.radius_m, 250.0);
  EXPECT_THAT(s.predict.models, ElementsAre(Pair("foliage", "weissberger")));
  EXPECT_THAT(s.predict.thresholds, ElementsAre(Pair("hold_rsrp_dbm", -100.0)));
  EXPECT_EQ(s.predict.confidence, 0.8);
  EXPECT_DOUBLE_EQ(s.plan.step_m, 25.0);
  EXPECT_EQ(s.plan.count, 8);
  EXPECT_THAT(s.plan.control_points, ElementsAre(Pair(-33.0, 40.0), Pair(-33.001, 40.001)));
  EXPECT_EQ(s.plan.route_start.size(), 1U);
}

TEST_F(SiteFile, EveryLayerIsRead) {
  const Site s = read_site(folder_.write("site.toml", everything));
  ASSERT_EQ(s.buildings.size(), 2U);
  EXPECT_EQ(s.buildings[0].layer, "houses");
  EXPECT_EQ(s.buildings[0].filter, "kind = 'house'");
  EXPECT_EQ(s.buildings[0].base_field, "z");
  EXPECT_EQ(s.buildings[0].default_height_m, 7.0);
  EXPECT_EQ(s.buildings[0].material, "brick");
  EXPECT_EQ(s.buildings[1].default_height_m, std::nullopt);
  EXPECT_DOUBLE_EQ(s.poles.at(0).default_diameter_m, 0.15);
  EXPECT_EQ(s.trees.at(0).species_class, "conifer");
  EXPECT_DOUBLE_EQ(s.trees[0].default_crown_diameter_m, 4.0);
  EXPECT_EQ(s.objects.at(0).kind, "truck");
  EXPECT_EQ(std::get<double>(s.objects[0].length_m), 8.0) << "a value";
  EXPECT_EQ(std::get<std::string>(s.objects[0].width_m), "broad") << "or the name of a field";
  EXPECT_EQ(s.meshes.at(0).lat, 40.0);
  EXPECT_DOUBLE_EQ(s.point_clouds.at(0).voxel_m, 0.25);
  const SurveySettings& survey = s.surveys.at(0);
  EXPECT_THAT(survey.columns, ElementsAre(Pair("lon", "X"), Pair("rsrp_dbm", "level")));
  EXPECT_EQ(survey.context, ReceiverContext::in_vehicle);
  EXPECT_EQ(survey.track, folder_.file("walk.gpx"));
}

TEST_F(SiteFile, InlineNodeHasItsSectors) {
  const Site s = read_site(folder_.write("site.toml", everything));
  const NodeSettings& node = s.nodes.inline_nodes.at(0);
  EXPECT_EQ(node.id, "corner");
  EXPECT_DOUBLE_EQ(node.height_agl_m, 7.0);
  ASSERT_EQ(node.sectors.size(), 2U);
  EXPECT_EQ(node.sectors[0].sector, "north");
  EXPECT_DOUBLE_EQ(node.sectors[0].frequency_ghz, 39.0);
  EXPECT_EQ(node.sectors[0].carriers, 2);
  EXPECT_EQ(node.sectors[0].pattern, "isotropic");
  EXPECT_EQ(node.sectors[1].sector, "b") << "unnamed sectors are lettered by position";
}

// Defaults: contract, section 3.
TEST_F(SiteFile, DefaultsAreThoseOfTheContract) {
  const Site s = read_site(folder_.write(
      "site.toml",
      "[[node]]\nlon = -33\nlat = 40\n[[node.sector]]\n[[poles]]\nfile = \"p.csv\"\n"));
  EXPECT_EQ(s.crs, "auto");
  EXPECT_TRUE(s.leaf_on);
  EXPECT_TRUE(s.ground.file.empty());
  EXPECT_DOUBLE_EQ(s.ground.elevation_m, 0.0);
  EXPECT_DOUBLE_EQ(s.poles.at(0).default_height_m, 8.0);
  EXPECT_DOUBLE_EQ(s.poles[0].default_diameter_m, 0.2);
  EXPECT_DOUBLE_EQ(s.receiver.height_agl_m, 1.5);
  EXPECT_EQ(s.receiver.context, ReceiverContext::outdoor);
  EXPECT_EQ(s.nodes.inline_nodes.at(0).id, "n1");
  EXPECT_EQ(s.nodes.inline_nodes[0].sectors.at(0).pattern, "3gpp-element");
  EXPECT_EQ(s.name, std::filesystem::path(folder_.path()).filename());
}

TEST_F(SiteFile, FolderThatHoldsSiteTomlStandsForIt) {
  folder_.write("site.toml", everything);
  const Site s = read_site(folder_.path());
  EXPECT_EQ(s.file, folder_.file("site.toml"));
  EXPECT_EQ(s.folder, folder_.path());
}

TEST_F(SiteFile, NodesMayBeAFileOrTablesWithinNodes) {
  const Site by_file = read_site(folder_.write("site.toml", "[nodes]\nfile = \"nodes.csv\"\n"));
  EXPECT_EQ(by_file.nodes.file, folder_.file("nodes.csv"));
  const Site within =
      read_site(folder_.write("site.toml",
                              "[nodes]\n[[nodes.node]]\nid = \"x\"\nlon = -33\nlat = 40\n"
                              "[[nodes.node.sector]]\nazimuth_deg = 45\n"));
  EXPECT_EQ(within.nodes.inline_nodes.at(0).id, "x");
  EXPECT_DOUBLE_EQ(within.nodes.inline_nodes[0].sectors.at(0).azimuth_deg, 45.0);
}

TEST_F(SiteFile, AbsolutePathsStayAsTheyAre) {
  const Site s = read_site(folder_.write(
      "site.toml", "[ground]\nfile = \"/data/dtm.tif\"\n[nodes]\nfile = \"../n.csv\"\n"));
  EXPECT_EQ(s.ground.file, "/data/dtm.tif");
  EXPECT_EQ(s.nodes.file, (std::filesystem::path(folder_.path()).parent_path() / "n.csv").string());
}

}  // namespace
}  // namespace sim
