// The live view's words, plots and tables of the site as edited.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <mutex>
#include <set>
#include <thread>

#include "sim/serve/live_site.h"
#include "tests/support/invented_site.h"
#include "tests/support/street.h"
#include "tests/unit/serve/frames_read.h"

namespace sim {
namespace {

using nlohmann::json;
using testing::HasSubstr;

LiveSettings settings() {
  return {.options = {.spacing_m = 2.0, .radius_m = 100.0}, .stamp = {"0", "test"}};
}

/// The house, a street past it, and a walk along the street.
ImportedSite site_with_a_survey(const InventedSite& files) {
  files.layer("houses.geojson", {feature(rectangle(20, -10, 20, 20), R"({"height":9})")});
  files.layer("streets.geojson", {feature(line({{-90, 0}, {15, 0}}), R"({"name":"Tarn Street"})"),
                                  feature(line({{60, -80}, {60, 80}}), R"({"name":"Alder Row"})")});
  std::string csv = "point_id,x_m,y_m,rsrp_dbm\n";
  for (const int x : {-80, -40, -10, 60}) {
    csv += fmt::format("p{},{},{},-85\n", x, origin_x_m + x, origin_y_m);
  }
  files.folder.write("walk.csv", csv);
  return files.import(
      "frequency_ghz = 28\npattern = \"isotropic\"\neirp_dbm = 55\n"
      "[[buildings]]\nfile = \"houses.geojson\"\nheight_field = \"height\"\n"
      "[streets]\nfile = \"streets.geojson\"\n"
      "[[survey]]\nfile = \"walk.csv\"\n",
      false);
}

// The outside source is a fresh run on the site as edited, which knows nothing of edits.
TEST(EditedAnswers, AreThoseOfTheSiteAsEditedForEveryListOfEdits) {
  const InventedSite files;
  const ImportedSite imported = site_with_a_survey(files);
  LiveSite site(imported, settings());
  const std::vector<std::vector<Edit>> lists{
      {MoveNode{0, -12.0, 7.0}, RaiseNode{0, 4.0}},
      {RemoveThing{"houses.geojson:houses:0"}},
      {AddThing{AddedKind::bus, -30.0, 0.0, 0.0, std::nullopt}, RainRate{30.0}},
      {}};
  std::set<std::string> different;
  for (const auto& edits : lists) {
    LiveSite fresh(edited_site(imported, edits), settings());
    const json whole = json::parse(fresh.answers());
    for (const bool map_before : {false, true}) {
      if (map_before) test::frames_of(site, edits);
      const json edited = json::parse(site.edited_answers({edits}).value());
      for (const char* key : {"verdicts", "about", "sources", "points", "measured_drops"}) {
        EXPECT_EQ(edited[key], whole[key]) << key;
      }
      EXPECT_EQ(edited["drops"], whole["prediction"]["drops"]);
      EXPECT_EQ(edited["runs"], whole["prediction"]["runs"]);
      EXPECT_EQ(edited["points"].size(), 4U);
      different.insert(edited.dump());
    }
  }
  EXPECT_EQ(different.size(), lists.size());
}

TEST(EditedAnswers, AreEndedByANewerQuestion) {
  const InventedSite files;
  LiveSite* asked = nullptr;
  std::once_flag once;
  LiveSettings live = settings();
  live.options.progress = [&](std::size_t, std::size_t) {  // in the midst of the work
    std::call_once(once, [&] {
      std::thread([&] { asked->scene({{RemoveThing{"houses.geojson:houses:0"}}}); }).join();
    });
  };
  LiveSite site(site_with_a_survey(files), live);
  asked = &site;
  const std::vector<Edit> edits{RainRate{1.0}};
  EXPECT_FALSE(site.edited_answers({edits}).has_value());
  EXPECT_TRUE(site.edited_answers({edits}).has_value()) << "asked again";
}

TEST(EditedAnswers, AreThereWithoutNodesToo) {
  ImportedSite bare = test::empty_site();
  bare.nodes.clear();
  LiveSite site(bare, settings());
  const json edited = json::parse(site.edited_answers({{LeafOn{false}}}).value());
  EXPECT_EQ(edited["runs"], json::array());
  EXPECT_THAT(edited["verdicts"][0]["text"]["metric"].get<std::string>(), HasSubstr("No node"));
  const auto frames = test::read_frames(test::frames_of(site, {LeafOn{false}}));
  ASSERT_EQ(frames.size(), 1U);
  EXPECT_TRUE(frames[0].header["bands"].empty());
}

}  // namespace
}  // namespace sim
