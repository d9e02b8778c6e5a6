#include "sim/serve/saved_site.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>

#include "sim/predict/prediction.h"
#include "tests/support/invented_site.h"
#include "tests/support/street.h"

namespace sim {
namespace {

using testing::HasSubstr;
using testing::Not;
namespace fs = std::filesystem;

/// Two houses, a lamp and a tree, and a node that a file of nodes or the site file itself names.
struct Files {
  Files() {
    site.layer("houses.geojson", {feature(rectangle(20, -10, 20, 20), R"({"height":9})"),
                                  feature(rectangle(-40, -10, 15, 20), R"({"height":7})")});
    site.layer("lamps.geojson", {feature(point(-8, 3)), feature(point(-8, 30))});
    site.layer("trees.geojson", {feature(point(5, 25))});
  }
  static std::string layers() {
    return "frequency_ghz = 28\neirp_dbm = 50\nazimuth_deg = 10  # north by east\n"
           "[[buildings]]\nfile = \"houses.geojson\"\nheight_field = \"height\"\n"
           "[[poles]]\nfile = \"lamps.geojson\"\n"
           "[[trees]]\nfile = \"trees.geojson\"\n";
  }
  InventedSite site;
};

const PredictOptions options{.spacing_m = 4.0, .radius_m = 90.0};

PredictionGrid predicted(const ImportedSite& site) {
  const test::Street street(site);
  return predict_grid(street.caster, street.settings, options);
}

void expect_same_answer(const ImportedSite& edited, const ImportedSite& opened) {
  // Node places are written to the millimetre, so the answers agree to a hundredth of a decibel.
  const PredictionGrid a = predicted(edited), b = predicted(opened);
  ASSERT_EQ(a.spec.size(), b.spec.size());
  std::size_t other_sight = 0;
  for (std::size_t i = 0; i < a.spec.size(); ++i) {
    const float x = a.band("sight").values[i], y = b.band("sight").values[i];
    ASSERT_EQ(std::isnan(x), std::isnan(y)) << i;
    other_sight += !std::isnan(x) && x != y ? 1U : 0U;
    const float u = a.band("rsrp_dbm").values[i], v = b.band("rsrp_dbm").values[i];
    if (!std::isnan(u)) {
      EXPECT_NEAR(u, v, 0.01) << i;
    }
  }
  EXPECT_EQ(other_sight, 0U);
}

const std::vector<Edit> everything{MoveNode{0, 3.0, -14.0},
                                   RaiseNode{0, 7.5},
                                   TurnSector{0, 0, 135.0, 6.0},
                                   AddThing{AddedKind::lorry, 12.0, 25.0, 40.0, std::nullopt},
                                   AddThing{AddedKind::car, 0.0, 40.0, 0.0, std::nullopt},
                                   UnaddThing{1},
                                   AddThing{AddedKind::tree, -20.0, 30.0, 0.0, 12.0},
                                   AddThing{AddedKind::pole, 10.0, -30.0, 0.0, std::nullopt},
                                   RemoveThing{"houses.geojson:houses:1"},
                                   RemoveThing{"lamps.geojson:lamps:1"},
                                   LeafOn{false},
                                   RainRate{4.5}};

TEST(SavedSite, OpensAsTheEditedSite) {
  const Files files;
  const ImportedSite before = files.site.import(Files::layers());
  const SavedSite saved = save_site(before, everything, "with_a_lorry");
  EXPECT_EQ(saved.file, files.site.folder.file("with_a_lorry.toml"));
  EXPECT_EQ(saved.things, files.site.folder.file("with_a_lorry_things.geojson"));
  const ImportedSite edited = edited_site(before, everything);
  const ImportedSite opened = import_site(read_site(saved.file));
  EXPECT_EQ(opened.buildings.size(), 1U);
  EXPECT_EQ(opened.objects.size(), 1U);
  EXPECT_EQ(opened.trees.size(), 2U);
  EXPECT_EQ(opened.poles.size(), 2U);
  EXPECT_FALSE(opened.site.leaf_on);
  EXPECT_DOUBLE_EQ(opened.site.rain_mm_per_h, 4.5);
  EXPECT_NEAR(opened.nodes[0].place.x, edited.nodes[0].place.x, 1e-3);
  EXPECT_NEAR(opened.objects[0].heading.degrees(), 40.0, 1e-9);
  expect_same_answer(edited, opened);
  const std::string text = files.site.folder.read("with_a_lorry.toml");
  EXPECT_THAT(text, HasSubstr("# north by east")) << "comments stay";
  EXPECT_THAT(text, HasSubstr("file = \"houses.geojson\"")) << "and so do paths";
}

TEST(SavedSite, CanBeEditedAndSavedAgain) {
  const Files files;
  const ImportedSite before = files.site.import(Files::layers());
  save_site(before, everything, "first");
  const ImportedSite first = import_site(read_site(files.site.folder.file("first.toml")));
  const std::vector<Edit> more{RemoveThing{"houses.geojson:houses:0"},
                               RemoveThing{"first_things.geojson:first_things:0"}};
  const SavedSite second = save_site(first, more, "second");
  EXPECT_FALSE(second.things) << "nothing was added this time";
  const ImportedSite opened = import_site(read_site(second.file));
  EXPECT_TRUE(opened.buildings.empty());
  expect_same_answer(edited_site(first, more), opened);
}

TEST(SavedSite, NodesOfAFileAreWrittenOutWhereOneChanges) {
  const Files files;
  files.site.folder.write("nodes.csv",
                          "node,x_m,y_m,height_agl_m,sector,azimuth_deg,frequency_ghz,eirp_dbm\n"
                          "one,500000,4428236,6,a,0,28,50\none,500000,4428236,6,b,180,28,50\n"
                          "two,500010,4428296,8,a,90,28,50\n");
  const std::string file = files.site.folder.write(
      "site.toml",
      "[site]\ncrs = \"EPSG:32625\"\nbounds = [-33.003, 39.997, -32.997, 40.006]\n"
      "[predict]\nradius_m = 100\n[nodes]\nfile = \"nodes.csv\"\n" +
          Files::layers().substr(Files::layers().find("[[buildings]]")));
  const ImportedSite before = import_site(read_site(file));
  const Xy was = before.nodes[1].place;
  const std::vector<Edit> edits{
      RaiseNode{1, 5.0}, TurnSector{0, 1, 200.0, 0.0},
      MoveNode{1, was.x - before.middle.x_m + 4.0, was.y - before.middle.y_m}};
  const SavedSite saved = save_site(before, edits, "moved");
  const ImportedSite opened = import_site(read_site(saved.file));
  ASSERT_EQ(opened.nodes.size(), 2U);
  EXPECT_DOUBLE_EQ(opened.nodes[1].height_agl_m, 5.0);
  EXPECT_NEAR(opened.nodes[1].place.x, was.x + 4.0, 1e-3);
  EXPECT_NEAR(opened.nodes[0].sectors[1].azimuth.degrees(), 200.0, 1e-9);
}

TEST(SavedSite, NothingIsEverReplaced) {
  const Files files;
  const ImportedSite before = files.site.import(Files::layers());
  const std::string old = files.site.folder.read("site.toml");
  EXPECT_THAT(refusal([&] { save_site(before, everything, "site"); }),
              HasSubstr("is there already"));
  EXPECT_EQ(files.site.folder.read("site.toml"), old);
  EXPECT_FALSE(fs::exists(files.site.folder.file("site_things.geojson"))) << "nothing half done";
  save_site(before, everything, "once");
  EXPECT_THAT(refusal([&] { save_site(before, {}, "once"); }), HasSubstr("is there already"));
  for (const auto& entry : fs::directory_iterator(files.site.folder.path())) {
    EXPECT_THAT(entry.path().string(), Not(HasSubstr(".part")));
  }
}

TEST(SavedSite, NamesAreNoPaths) {
  const Files files;
  const ImportedSite before = files.site.import(Files::layers());
  for (const char* name : {"", "../up", "a/b", "/tmp/x", "a.b", "a b", "\xc3\xa4", ".."}) {
    EXPECT_THAT(refusal([&] { save_site(before, {}, name); }), HasSubstr("letters, digits"))
        << name;
  }
  EXPECT_THAT(refusal([&] { save_site(before, {}, std::string(65, 'a')); }), HasSubstr("1 to 64"));
}

TEST(SavedSite, AnEditThatCannotBeMadeSavesNothing) {
  const Files files;
  const ImportedSite before = files.site.import(Files::layers());
  const std::vector<Edit> wrong{AddThing{AddedKind::car, 0, 40, 0, std::nullopt},
                                RemoveThing{"houses.geojson:houses:9"}};
  EXPECT_THAT(refusal([&] { save_site(before, wrong, "wrong"); }), HasSubstr("edits[1]"));
  EXPECT_FALSE(fs::exists(files.site.folder.file("wrong.toml")));
  EXPECT_FALSE(fs::exists(files.site.folder.file("wrong_things.geojson")));
}

}  // namespace
}  // namespace sim
