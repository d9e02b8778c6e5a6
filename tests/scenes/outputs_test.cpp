// The demo through the program, and its files read back with foreign libraries.
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <nlohmann/json.hpp>
#include <set>

#include "tests/scenes/demo_prediction.h"

namespace sim {
namespace {

using Json = nlohmann::json;

std::string first_line(const fs::path& file) {
  const std::string text = test::text_of(file);
  return text.substr(0, text.find('\n'));
}

TEST(Outputs, CoverageIsACloudOptimisedGeoTiffOfTheContractsBands) {
  const Dataset tif(prediction() / "coverage.tif", GDAL_OF_RASTER);
  ASSERT_NE(tif.handle, nullptr);
  const std::vector<std::string> names{"sight",       "best_sector", "path_loss_db",
                                       "rsrp_dbm",    "snr_db",      "downlink_mbps",
                                       "uplink_mbps", "p_hold",      "state"};
  ASSERT_EQ(tif.handle->GetRasterCount(), static_cast<int>(names.size()));
  for (std::size_t i = 0; i < names.size(); ++i) {
    EXPECT_EQ(tif.handle->GetRasterBand(static_cast<int>(i) + 1)->GetDescription(), names[i]);
  }
  EXPECT_STREQ(tif.handle->GetMetadataItem("LAYOUT", "IMAGE_STRUCTURE"), "COG");
  EXPECT_STREQ(tif.handle->GetSpatialRef()->GetAuthorityCode(nullptr), "32625");
  double transform[6];
  ASSERT_EQ(tif.handle->GetGeoTransform(transform), CE_None);
  EXPECT_NEAR(std::remainder(transform[0] + 0.5 * transform[1], 6.0), 0.0, 1e-6);
}

std::set<std::string> layers_of(const fs::path& path) {
  const Dataset gpkg(path, GDAL_OF_VECTOR);
  std::set<std::string> names;
  EXPECT_NE(gpkg.handle, nullptr);
  for (OGRLayer* layer : gpkg.handle->GetLayers()) names.insert(layer->GetName());
  return names;
}

TEST(Outputs, StudyHasTheContractsLayers) {
  using testing::IsSupersetOf;
  EXPECT_THAT(layers_of(prediction() / "study.gpkg"),
              IsSupersetOf(std::set<std::string>{"buildings", "poles", "trees", "nodes", "sectors",
                                                 "receivers", "edge", "drops"}));
  const Dataset gpkg(prediction() / "study.gpkg", GDAL_OF_VECTOR);
  EXPECT_EQ(gpkg.handle->GetLayerByName("nodes")->GetFeatureCount(), 3);
  EXPECT_EQ(gpkg.handle->GetLayerByName("poles")->GetFeatureCount(), 25);
  EXPECT_GT(gpkg.handle->GetLayerByName("edge")->GetFeatureCount(), 0);
}

TEST(Outputs, PictureHasAWorldFileThatFits) {
  // The node's place on the map and in the picture's frame by the six numbers of the world file.
  const Dataset png(prediction() / "coverage.png", GDAL_OF_RASTER);
  ASSERT_NE(png.handle, nullptr);
  double t[6];
  ASSERT_EQ(png.handle->GetGeoTransform(t), CE_None) << "GDAL finds coverage.pgw beside it";
  const double col = (559826.0 - t[0]) / t[1], row = (4470013.1 - t[3]) / t[5];
  EXPECT_GT(col, 0.0);
  EXPECT_LT(col, png.handle->GetRasterXSize());
  EXPECT_GT(row, 0.0);
  EXPECT_LT(row, png.handle->GetRasterYSize());
}

TEST(Outputs, SummaryCountsWhatTheMapShows) {
  const Json summary = Json::parse(test::text_of(prediction() / "summary.json"));
  const auto& coverage = summary["coverage"];
  double by_state = 0.0, by_sight = 0.0;
  for (const auto& area : coverage["area_by_state_m2"]) by_state += area.get<double>();
  for (const auto& area : coverage["area_by_sight_m2"]) by_sight += area.get<double>();
  EXPECT_NEAR(by_state, by_sight, 1e-6);
  EXPECT_NEAR(by_state, 36.0 * coverage["cells_answered"].get<double>(), 1e-6);
  EXPECT_FALSE(summary["cautions"].empty());
  // The demo traces none, which says little of what lies round a corner.
  EXPECT_NE(summary["cautions"].back().get<std::string>().find("Reflections were not traced"),
            std::string::npos);
  EXPECT_FALSE(summary["defaults"].empty());
  bool verdict = false;
  for (const auto& street : summary["streets"]) {
    verdict = verdict || street["verdict"].get<std::string>().rfind("holds to ", 0) == 0;
  }
  EXPECT_TRUE(verdict);
  EXPECT_FALSE(summary["drops"].empty());
}

TEST(Outputs, ReceiversHaveTheContractsColumns) {
  const fs::path out = fresh("receivers");
  ASSERT_EQ(
      test::run_program(scenes, "predict demo_hill_town --at demo_hill_town/points.csv -q -o '" +
                                    out.string() + "'")
          .exit_code,
      0);
  EXPECT_EQ(first_line(out / "receivers.csv"),
            "point_id,node,sector,lon,lat,x_m,y_m,elevation_m,height_agl_m,distance_2d_m,"
            "distance_3d_m,azimuth_deg,elevation_deg,sight,cause,cause_id,clearance_m,"
            "clearance_fresnel,free_space_db,diffraction_db,foliage_db,penetration_db,gas_rain_db,"
            "pattern_db,reflection_gain_db,path_loss_db,rsrp_dbm,snr_db,downlink_mbps,uplink_mbps,"
            "p_hold,state,foliage_low_db,foliage_high_db,downlink_low_mbps,downlink_high_mbps,"
            "uplink_low_mbps,uplink_high_mbps");
}

TEST(Outputs, ExplainedHasARowPerSurveyRowAndSuspectsTheUnmappedVan) {
  const fs::path out = fresh("explained");
  ASSERT_EQ(
      test::run_program(scenes, "explain demo_hill_town -q -o '" + out.string() + "'").exit_code,
      0);
  const auto rows = [](const fs::path& file) {
    const std::string text = test::text_of(file);
    return std::count(text.begin(), text.end(), '\n');
  };
  EXPECT_EQ(rows(out / "explained.csv") - 1, rows(scenes / "demo_hill_town/walk.csv") - 1 +
                                                 rows(scenes / "demo_hill_town/notebook.csv") - 1);
  const std::string header = first_line(out / "explained.csv");
  EXPECT_EQ(header.rfind("survey,row,lon,lat,", 0), 0U);
  EXPECT_NE(header.find("residual_db,cause,cause_id,confidence,terms,step_east_m,step_north_m,"
                        "step_distance_m,sentence"),
            std::string::npos);
  EXPECT_THAT(layers_of(out / "explained.gpkg"),
              testing::IsSupersetOf(std::set<std::string>{"explained", "suspects"}));
  const Json summary = Json::parse(test::text_of(out / "summary.json"));
  double nearest = 1e9;  // the van of the invented walk stood at 559916, 4470034
  for (const auto& suspect : summary["suspects"]) {
    nearest = std::min(nearest, std::hypot(suspect["place"]["x_m"].get<double>() - 559916.0,
                                           suspect["place"]["y_m"].get<double>() - 4470034.0));
  }
  // Two weak rays of one node: they tell the bearing, and not enough to say how far out.
  EXPECT_LT(nearest, 10.0);
  for (const auto& suspect : summary["suspects"]) {
    EXPECT_FALSE(suspect["enough_evidence"].get<bool>());
  }
}

TEST(Outputs, SceneIsAGlbWithItsCounts) {
  const fs::path out = fresh("scene");
  ASSERT_EQ(
      test::run_program(scenes, "build demo_hill_town -q -o '" + out.string() + "'").exit_code, 0);
  // glTF 2.0 specification, binary container: magic, version, length, JSON chunk.
  const std::string glb = test::text_of(out / "scene.glb");
  ASSERT_GT(glb.size(), 20U);
  std::uint32_t words[5];
  std::memcpy(words, glb.data(), sizeof words);
  EXPECT_EQ(words[0], 0x46546C67U);
  EXPECT_EQ(words[1], 2U);
  EXPECT_EQ(words[2], glb.size());
  const Json gltf = Json::parse(glb.substr(20, words[3]));
  EXPECT_FALSE(gltf["meshes"].empty());
  EXPECT_EQ(gltf["asset"]["version"], "2.0");
  const std::string ply = test::text_of(out / "scene.ply");
  EXPECT_EQ(ply.rfind("ply\n", 0), 0U);
  const Json report = Json::parse(test::text_of(out / "import_report.json"));
  EXPECT_EQ(report["obstacles"]["building"], 92);
  EXPECT_THAT(layers_of(out / "scene.gpkg"), testing::Contains("buildings"));
}

TEST(Outputs, SameBytesOnAnyNumberOfThreads) {
  const fs::path one = fresh("one"), two = fresh("two");
  const std::string command = "predict demo_hill_town --at demo_hill_town/points.csv -q --threads ";
  test::run_program(scenes, command + "1 -o '" + one.string() + "'");
  test::run_program(scenes, command + "2 -o '" + two.string() + "'");
  for (const char* file : {"receivers.csv", "study.gpkg", "summary.json"}) {
    EXPECT_EQ(test::text_of(one / file), test::text_of(two / file)) << file;
    EXPECT_FALSE(test::text_of(one / file).empty()) << file;
  }
}

TEST(Outputs, AFolderThatKerbrayDidNotMakeIsLeftAlone) {
  const fs::path theirs = fresh("theirs");
  fs::create_directories(theirs);
  std::ofstream(theirs / "thesis.txt") << "mine";
  const std::string command = "build flat_ground -q --overwrite -o '" + theirs.string() + "'";
  EXPECT_EQ(test::run_program(scenes, command).exit_code, 2);
  EXPECT_EQ(test::text_of(theirs / "thesis.txt"), "mine");
}

TEST(Outputs, AnExistingResultIsReplacedOnlyWhenAsked) {
  const fs::path out = fresh("again");
  const std::string command = "build flat_ground -q -o '" + out.string() + "'";
  EXPECT_EQ(test::run_program(scenes, command).exit_code, 0);
  const std::string before = test::text_of(out / "import_report.json");
  EXPECT_EQ(test::run_program(scenes, command).exit_code, 2);
  EXPECT_EQ(test::text_of(out / "import_report.json"), before);
  EXPECT_EQ(test::run_program(scenes, command + " --overwrite").exit_code, 0);
}

}  // namespace
}  // namespace sim
