// The page's document about an invented town.
#include "sim/view/answers.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

using Document = nlohmann::json;

/// With a street from the node to the east.
ImportedSite town_with_a_street() {
  ImportedSite site = test::town(5, {.blocks = 4});
  const Xy foot = site.nodes.at(0).place;
  site.streets.push_back({.id = "s1",
                          .name = "Tarn Street",
                          .line = {{foot.x - 20.0, foot.y}, {foot.x + 100.0, foot.y}},
                          .source = {"streets.geojson", "", 1},
                          .highway = "",
                          .width_m = {},
                          .lanes = {}});
  return site;
}

struct Answered : testing::Test {
  ImportedSite site = town_with_a_street();
  ImportReport report;
  Scene scene = build_scene(site, report);
  RayCaster caster{scene};
  LinkSettings settings = link_settings(scene);
  PredictOptions options{.spacing_m = 5.0, .radius_m = 120.0};
  PredictionGrid grid = predict_grid(caster, settings, options);
  std::vector<StreetWalk> walks = walk_streets(caster, settings, options);
  StreetVerdicts streets = judge_walks(scene, walks, settings);

  PageAnswers answers() {
    PageAnswers all{.imported = site,
                    .scene = scene,
                    .options = options,
                    .stamp = {.version = "0", .site_name = "invented"}};
    all.grid = &grid;
    all.walks = &walks;
    all.streets = &streets;
    return all;
  }
  Document document() { return Document::parse(answers_json(answers())); }
};

TEST_F(Answered, TrianglesBelongToThingsAndAllAreThere) {
  const Document scene_view = document()["scene"];
  std::map<std::string, std::size_t> triangles;
  for (const auto& thing : scene_view["things"]) {
    triangles[thing["kind"].get<std::string>()] += thing["triangles"].get<std::size_t>();
  }
  ASSERT_GT(scene_view["meshes"].size(), 3U);
  for (const auto& mesh : scene_view["meshes"]) {
    EXPECT_EQ(mesh["indices"]["count"].get<std::size_t>(),
              3 * triangles[mesh["kind"].get<std::string>()]);
  }
  EXPECT_EQ(scene_view["outlines"].size(), site.buildings.size());
  EXPECT_EQ(scene_view["nodes"].size(), scene.nodes.size());
}

TEST_F(Answered, EveryBandCoversTheGrid) {
  const Document prediction = document()["prediction"];
  const std::size_t cells = prediction["grid"]["columns"].get<std::size_t>() *
                            prediction["grid"]["rows"].get<std::size_t>();
  EXPECT_EQ(cells, grid.spec.size());
  EXPECT_EQ(prediction["bands"].size(), 18U) << "as answers.ts has it";
  for (const auto& [name, band] : prediction["bands"].items()) {
    EXPECT_EQ(band["count"].get<std::size_t>(), cells) << name;
  }
}

// The middle of the grid's first cell is the south-western one, in scene axes.
TEST_F(Answered, TheGridLiesWhereItsCellsDo) {
  const Document cells = document()["prediction"]["grid"];
  EXPECT_NEAR(cells["x0_m"].get<double>(), grid.spec.center_x_m(0) - scene.frame.origin.x_m, 1e-9);
  EXPECT_NEAR(cells["y0_m"].get<double>(),
              grid.spec.center_y_m(grid.spec.rows - 1) - scene.frame.origin.y_m, 1e-9);
}

TEST_F(Answered, LonLatFollowsTheProjection) {
  // PROJ, by way of the same transform that writes receivers.csv, at the corner of the town.
  const Document l = document()["scene"]["lonlat"];
  const CrsTransform to_degrees(site.crs, Crs::wgs84());
  const double x = 120.0, y = -90.0;
  const auto exact = to_degrees({scene.frame.origin.x_m + x, scene.frame.origin.y_m + y}).value();
  constexpr double metre_deg = 1.0 / 111'000.0;
  EXPECT_NEAR(l[0].get<double>() + l[1].get<double>() * x + l[2].get<double>() * y, exact.x,
              metre_deg);
  EXPECT_NEAR(l[3].get<double>() + l[4].get<double>() * x + l[5].get<double>() * y, exact.y,
              metre_deg);
}

TEST_F(Answered, ALedgerAddsUpToItsLevel) {
  const auto point = receiver_point(
      scene, "p", scene.frame.map_from_scene(scene.nodes[0].position + ScenePoint{40.0, 25.0, 0.0}),
      1.5, ReceiverContext::outdoor);
  ASSERT_TRUE(point);
  const ReceiverAnswers rows = predict_points(caster, {*point}, settings, options);
  ASSERT_FALSE(rows.rows.empty());
  for (const ReceiverRow& row : rows.rows) {
    const Document ledger = Document::parse(ledger_json(scene, row));
    double level = ledger["eirp_dbm"].get<double>() + ledger["pattern_db"].get<double>() +
                   ledger["receiver_gain_db"].get<double>() +
                   ledger["reflection_gain_db"].get<double>() +
                   ledger["broadcast_db"].get<double>() + ledger["per_element_db"].get<double>();
    for (const auto& term : ledger["terms"]) level -= term["loss_db"].get<double>();
    EXPECT_NEAR(level, ledger["rsrp_dbm"].get<double>(), 0.01);
    EXPECT_NEAR(std::stod(ledger["row"]["rsrp_dbm"].get<std::string>()), level, 0.01);
    EXPECT_EQ(ledger["row"]["point_id"], "p");
  }
}

TEST_F(Answered, SaysWhereItHoldsInBothUnits) {
  PageAnswers all = answers();
  const Document verdicts = Document::parse(verdicts_json(all));
  ASSERT_FALSE(verdicts.empty());
  const std::string metric = verdicts[0]["text"]["metric"],
                    imperial = verdicts[0]["text"]["imperial"];
  EXPECT_THAT(metric, testing::HasSubstr("Tarn Street"));
  EXPECT_THAT(metric, testing::HasSubstr(" m "));
  EXPECT_THAT(imperial, testing::HasSubstr(" ft)"));
  EXPECT_EQ(verdict_lines(all)[0], metric);
}

// A name in another encoding than UTF-8 must not stop the report.
TEST_F(Answered, ABrokenNameStaysReadable) {
  scene.obstacles[1].id = "caf\xe9";
  const Document things = document()["scene"]["things"];
  EXPECT_EQ(things[1]["id"], "caf\uFFFD");
}

TEST_F(Answered, TheAuthorsFoldersStayPrivate) {
  site.site.folder = "/home/somebody/street";
  for (Obstacle& o : scene.obstacles) o.source.path = "/home/somebody/street/data/map.osm";
  scene.obstacles[1].source.path = "/mnt/disk/other.geojson";
  const std::string text = scene_json(scene, site);
  EXPECT_THAT(text, testing::Not(testing::HasSubstr("somebody")));
  EXPECT_THAT(text, testing::Not(testing::HasSubstr("/mnt")));
  EXPECT_THAT(text, testing::HasSubstr("data/map.osm"));
  EXPECT_THAT(text, testing::HasSubstr("other.geojson"));
}

TEST_F(Answered, OpenStreetMapIsCredited) {
  EXPECT_TRUE(document()["attribution"].empty());
  scene.streets[0].id = "way/42";
  const Document credits = document()["attribution"];
  ASSERT_EQ(credits.size(), 1U);
  EXPECT_THAT(credits[0].get<std::string>(), testing::HasSubstr("OpenStreetMap contributors"));
}

TEST_F(Answered, WhomTheSiteNamesIsCredited) {
  site.site.credits = {"Terrain: Quillmere Survey Office, 2025"};
  EXPECT_EQ(document()["attribution"], Document({"Terrain: Quillmere Survey Office, 2025"}));
}

}  // namespace
}  // namespace sim
