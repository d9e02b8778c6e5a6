#include "sim/serve/live_site.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <thread>

#include "sim/view/band_codes.h"
#include "tests/support/invented_site.h"
#include "tests/support/street.h"
#include "tests/unit/serve/frames_read.h"

namespace sim {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::StartsWith;

constexpr double radius_m = 100.0;

LiveSettings settings() {
  return {.options = {.spacing_m = 2.0, .radius_m = radius_m}, .stamp = {"0", "test"}};
}

/// A house east of the node, a lamp beside it; a node of one sector at the origin.
ImportedSite site_with_a_house(const InventedSite& files) {
  files.layer("houses.geojson", {feature(rectangle(20, -10, 20, 20), R"({"height":9})")});
  files.layer("lamps.geojson", {feature(point(-8, 3)), feature(point(-8, 30))});
  return files.import(
      "frequency_ghz = 28\npattern = \"isotropic\"\neirp_dbm = 55\n"
      "[[buildings]]\nfile = \"houses.geojson\"\nheight_field = \"height\"\n"
      "[[poles]]\nfile = \"lamps.geojson\"\n",
      false);
}

struct Live {
  InventedSite files;
  ImportedSite imported = site_with_a_house(files);
  LiveSite site{imported, settings()};
};

/// What a fresh run of everything says of a site.
PredictionGrid predicted(const ImportedSite& site) {
  const test::Street street(site);
  return predict_grid(street.caster, street.settings, settings().options);
}

void expect_bands(const test::ReadFrame& frame, const PredictionGrid& grid) {
  for (const CodedBand& band : coded_bands(grid)) {
    const std::string bytes(band.bytes.begin(), band.bytes.end());
    EXPECT_TRUE(frame.bands.at(band.name) == bytes) << band.name;
  }
}

TEST(LiveSite, MapOfEveryListOfEditsIsThatOfTheSiteAsEdited) {
  Live live;
  const std::vector<std::vector<Edit>> lists{
      {},
      {MoveNode{0, -12.0, 7.0}},
      {MoveNode{0, -12.0, 7.0}, RaiseNode{0, 4.0}},
      {AddThing{AddedKind::lorry, -10.0, 0.0, 0.0, std::nullopt}},
      {AddThing{AddedKind::lorry, -10.0, 0.0, 0.0, std::nullopt}, MoveNode{0, -30.0, 0.0}},
      {RemoveThing{"houses.geojson:houses:0"}, RainRate{20.0}},
      {AddThing{AddedKind::tree, -10.0, 0.0, 0.0, std::nullopt}, LeafOn{false}},
      {}};  // undone
  for (const auto& edits : lists) {
    const auto frames = test::read_frames(test::frames_of(live.site, edits));
    ASSERT_FALSE(frames.empty());
    ASSERT_TRUE(frames.back().header["final"]);
    expect_bands(frames.back(), predicted(edited_site(live.imported, edits)));
  }
}

TEST(LiveSite, AFrameSaysWhatItIs) {
  Live live;
  const auto frames = test::read_frames(test::frames_of(live.site, {}));
  const json& header = frames.front().header;
  EXPECT_EQ(header["stage"], 1);
  EXPECT_EQ(header["grid"]["step_m"], 2.0);
  EXPECT_EQ(
      header["grid"]["columns"].get<std::size_t>() * header["grid"]["rows"].get<std::size_t>(),
      header["bands"][0]["count"].get<std::size_t>());
  EXPECT_EQ(header["sector_names"], json::array({"n/a"}));
  EXPECT_EQ(header["causes"][0], "none");
  EXPECT_GE(header["ms"].get<double>(), 0.0);
  // The grid is about the node at the origin of the scene's own middle: symmetric to a cell.
  const double west = header["grid"]["x0_m"],
               east = west + 2.0 * (header["grid"]["columns"].get<double>() - 1.0);
  EXPECT_NEAR(west + east, 0.0, 4.0);
  EXPECT_EQ(frames.back().header["edges"].size(), 3U);
}

TEST(LiveSite, AWideSiteHasLargerCells) {
  const Live live;
  LiveSettings wide = settings();
  wide.options = {.spacing_m = 1.0, .radius_m = 600.0};  // 1.44 million cells of a metre
  LiveSite site(live.imported, wide);
  std::string bytes;
  site.map({})->send([&](std::string_view part) {
    bytes += part;
    return bytes.find("}]}") == std::string::npos && bytes.size() < 5000;
  });
  EXPECT_THAT(bytes, HasSubstr("\"step_m\":2.0"));
}

TEST(LiveSite, NodesMoveWithoutTheSceneBeingBuiltAnew) {
  StandingSites sites(Live().imported, 2.0);
  const RayCaster* caster = nullptr;
  {
    const auto held = sites.with({});
    caster = &held->caster();
  }
  {
    const auto held = sites.with({MoveNode{0, 5.0, 5.0}, TurnSector{0, 0, 90.0, 2.0}});
    EXPECT_EQ(&held->caster(), caster);
    EXPECT_DOUBLE_EQ(held->scene().nodes[0].position.x_m, 5.0);
  }
  {
    const auto other = sites.with({RemoveThing{"houses.geojson:houses:0"}});
    EXPECT_NE(&other->caster(), caster);
  }
  EXPECT_EQ(&sites.with({})->caster(), caster) << "kept for an undo";
}

TEST(LiveSite, ANodeMovedToALampHangsOnIt) {
  StandingSites sites(Live().imported, 2.0);
  EXPECT_TRUE(sites.with({})->scene().nodes[0].own_poles.empty());
  const auto held = sites.with({MoveNode{0, -8.0, 3.2}});
  ASSERT_EQ(held->scene().nodes[0].own_poles.size(), 1U);
  EXPECT_EQ(held->scene().obstacles[held->scene().nodes[0].own_poles[0]].source.record, 0);
}

TEST(LiveSite, ANodeInAHouseIsRefusedAndHarmsNothing) {
  Live live;
  const std::vector<Edit> inside{MoveNode{0, 30.0, 0.0}};
  EXPECT_THAT(refusal([&] { live.site.map({inside}); }), HasSubstr("stands inside building"));
  const auto frames = test::read_frames(test::frames_of(live.site, {}));
  expect_bands(frames.back(), predicted(live.imported));
}

TEST(LiveSite, ANewerQuestionEndsTheMapBefore) {
  Live live;
  auto old = live.site.map({{MoveNode{0, 1.0, 1.0}}});
  std::unique_ptr<LiveSite::Map> newer;
  std::thread asking;
  int frames = 0;
  // The newer one waits for the site until the older one sees that it is stale.
  const bool whole = old->send([&](std::string_view) {
    if (frames++ == 0) asking = std::thread([&] { newer = live.site.map({}); });
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
    return true;
  });
  EXPECT_FALSE(whole);
  old.reset();
  asking.join();
  EXPECT_TRUE(newer->send([](std::string_view) { return true; }));
}

TEST(LiveSite, TheBestLinkOfAPlaceOrTheSectorNamed) {
  Live live;
  const json east = json::parse(live.site.link({.edits = {}, .x_m = 60.0, .y_m = 0.0}));
  EXPECT_EQ(east["ledger"]["row"]["sight"], "nlos") << "behind the house";
  const json west = json::parse(live.site.link({.edits = {}, .x_m = -60.0, .y_m = 0.0}));
  EXPECT_EQ(west["ledger"]["row"]["sight"], "los");
  EXPECT_FALSE(west["sentence"]["metric"].get<std::string>().empty());
  const json cleared = json::parse(
      live.site.link({.edits = {RemoveThing{"houses.geojson:houses:0"}}, .x_m = 60.0, .y_m = 0.0}));
  EXPECT_EQ(cleared["ledger"]["row"]["sight"], "los");
  const json far = json::parse(live.site.link({.edits = {}, .x_m = 5000.0, .y_m = 0.0}));
  EXPECT_TRUE(far["ledger"].is_null());
  EXPECT_THAT(refusal([&] { live.site.link({.edits = {}, .node = 3}); }), HasSubstr("node 3 of 1"));
  EXPECT_THAT(refusal([&] { live.site.link({.edits = {}, .height_agl_m = -1.0}); }),
              HasSubstr("height_agl_m must lie between"));
}

TEST(LiveSite, TheSceneHasWhatWasAddedAndNotWhatWasRemoved) {
  Live live;
  const auto things = [&](const std::vector<Edit>& edits) {
    std::vector<std::string> kinds;
    const json scene = json::parse(live.site.scene({edits}));
    for (const auto& thing : scene["things"]) kinds.push_back(thing["kind"]);
    return kinds;
  };
  EXPECT_THAT(things({}), testing::Contains("building"));
  const auto edited = things({RemoveThing{"houses.geojson:houses:0"},
                              AddThing{AddedKind::bus, 9.0, 0.0, 0.0, std::nullopt}});
  EXPECT_THAT(edited, testing::Not(testing::Contains("building")));
  EXPECT_THAT(edited, testing::Contains("vehicle"));
}

TEST(LiveSite, ASurveyIsExplainedAsTheExplainCommandDoes) {
  Live live;
  const std::string csv = "x_m,y_m,rsrp_dbm\n" + std::to_string(origin_x_m - 50) + "," +
                          std::to_string(origin_y_m) + ",-80\n";
  const json answer =
      json::parse(live.site.survey({.edits = {}, .name = "../walk 1.csv", .text = csv}).value());
  ASSERT_EQ(answer["points"].size(), 1U);
  EXPECT_THAT(answer["points"][0]["survey"].get<std::string>(), HasSubstr("walk 1"));
  EXPECT_FALSE(answer["points"][0]["sentence"]["metric"].get<std::string>().empty());
  const std::string message =
      refusal([&] { live.site.survey({.edits = {}, .name = "bad.csv", .text = "a,b\n1,2\n"}); });
  EXPECT_THAT(message, StartsWith("bad.csv")) << "and not the folder it lay in";
}

TEST(LiveSite, AnswersHaveWhatThePageShowsFirst) {
  Live live;
  const json answers = json::parse(live.site.answers());
  EXPECT_EQ(answers["live"], true);
  EXPECT_FALSE(answers["prediction"].is_null());
  EXPECT_FALSE(answers["scene"]["things"].empty());
}

}  // namespace
}  // namespace sim
