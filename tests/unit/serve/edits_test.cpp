#include "sim/serve/edits.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/import/leave_out.h"
#include "sim/serve/questions.h"
#include "tests/support/street.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

/// One node, one house, one lamp, one tree: each from a record of its own.
ImportedSite small_site() {
  ImportedSite site = test::isotropic_site();
  site.site.folder = "/somewhere/site";
  site.middle = {1000.0, 2000.0, 0.0};
  site.nodes[0].place = {1000.0, 2000.0};
  site.buildings.push_back(test::box_building("house", 1020, 1990, 1040, 2010, 9));
  site.buildings.back().source = {"/somewhere/site/houses.geojson", "houses", 0};
  site.poles.push_back(
      {.id = "lamp", .place = {1005, 2005}, .source = {"/elsewhere/lamps.csv", "lamps", 3}});
  site.trees.push_back(
      {.id = "tree", .place = {1010, 1995}, .source = {"/somewhere/site/trees.geojson", "t", 12}});
  return site;
}

std::vector<Edit> edits_of(const std::string& list) {
  return read_site_question(R"({"edits":)" + list + "}").edits;
}

TEST(Edits, MoveRaiseAndTurnNodes) {
  const ImportedSite site =
      edited_site(small_site(), edits_of(R"([{"do":"move_node","node":0,"x_m":-3.5,"y_m":12},
                         {"do":"raise_node","node":0,"height_agl_m":9.25},
                         {"do":"turn_sector","node":0,"sector":0,"azimuth_deg":75,"downtilt_deg":4}])"));
  EXPECT_DOUBLE_EQ(site.nodes[0].place.x, 996.5);  // scene metres about the middle of the area
  EXPECT_DOUBLE_EQ(site.nodes[0].place.y, 2012.0);
  EXPECT_DOUBLE_EQ(site.nodes[0].height_agl_m, 9.25);
  EXPECT_NEAR(site.nodes[0].sectors[0].azimuth.degrees(), 75.0, 1e-12);
  EXPECT_NEAR(site.nodes[0].sectors[0].downtilt.degrees(), 4.0, 1e-12);
}

TEST(Edits, TheLastWordOnANumberStands) {
  const ImportedSite site =
      edited_site(small_site(), edits_of(R"([{"do":"rain","mm_per_h":5},{"do":"leaf_on","on":false},
                                       {"do":"rain","mm_per_h":0.5}])"));
  EXPECT_DOUBLE_EQ(site.site.rain_mm_per_h, 0.5);
  EXPECT_FALSE(site.site.leaf_on);
}

TEST(Edits, AddedThingsHaveTheUsualSizesUnlessTold) {
  const ImportedSite site = edited_site(
      small_site(),
      edits_of(R"([{"do":"add","what":"lorry","x_m":10,"y_m":0,"heading_deg":90,"height_m":null},
                   {"do":"add","what":"tree","x_m":-10,"y_m":0,"heading_deg":0,"height_m":11},
                   {"do":"add","what":"pole","x_m":-20,"y_m":0,"heading_deg":0,"height_m":null}])"));
  ASSERT_EQ(site.objects.size(), 1U);
  // Council Directive 96/53/EC Annex I, as assets/objects.csv has it.
  EXPECT_EQ(site.objects[0].kind, ObjectKind::truck);
  EXPECT_DOUBLE_EQ(site.objects[0].length_m, 12.0);
  EXPECT_DOUBLE_EQ(site.objects[0].width_m, 2.55);
  EXPECT_DOUBLE_EQ(site.objects[0].height_m, 4.0);
  EXPECT_NEAR(site.objects[0].heading.degrees(), 90.0, 1e-12);
  EXPECT_DOUBLE_EQ(site.objects[0].place->x, 1010.0);
  ASSERT_EQ(site.trees.size(), 2U);
  EXPECT_DOUBLE_EQ(site.trees[1].height_m, 11.0);
  ASSERT_EQ(site.poles.size(), 2U);
  EXPECT_DOUBLE_EQ(site.poles[1].height_m, PoleLayer{}.default_height_m);
}

TEST(Edits, AShorterListIsAnUndo) {
  const ImportedSite before = small_site();
  const auto all = edits_of(R"([{"do":"remove","source":"trees.geojson:t:12"},
      {"do":"add","what":"bus","x_m":10,"y_m":0,"heading_deg":0,"height_m":null}])");
  EXPECT_EQ(edited_site(before, all).objects.size(), 1U);
  const std::vector<Edit> shorter(all.begin(), all.end() - 1);
  EXPECT_TRUE(edited_site(before, shorter).objects.empty());
  EXPECT_TRUE(edited_site(before, shorter).trees.empty());
  EXPECT_EQ(edited_site(before, {}).trees.size(), 1U);
}

TEST(Edits, RemoveByTheNameThatThePageKnows) {
  const ImportedSite site = small_site();
  // Below the site's folder by its path from there, elsewhere by its name alone.
  EXPECT_EQ(source_in_site(site.site, site.buildings[0].source), "houses.geojson:houses:0");
  EXPECT_EQ(source_in_site(site.site, site.poles[0].source), "lamps.csv:lamps:3");
  EXPECT_TRUE(edited_site(site, edits_of(R"([{"do":"remove","source":"houses.geojson:houses:0"}])"))
                  .buildings.empty());
  EXPECT_TRUE(edited_site(site, edits_of(R"([{"do":"remove","source":"lamps.csv:lamps:3"}])"))
                  .poles.empty());
}

TEST(Edits, UnaddTakesBackWhatThatAddPutThere) {
  const ImportedSite site = edited_site(
      small_site(),
      edits_of(R"([{"do":"add","what":"car","x_m":1,"y_m":0,"heading_deg":0,"height_m":null},
                         {"do":"add","what":"van","x_m":9,"y_m":0,"heading_deg":0,"height_m":null},
                         {"do":"unadd","add":0},
                         {"do":"add","what":"bus","x_m":-9,"y_m":0,"heading_deg":0,"height_m":null},
                         {"do":"unadd","add":2}])"));
  ASSERT_EQ(site.objects.size(), 1U);
  EXPECT_EQ(site.objects[0].kind, ObjectKind::van);
}

struct Refused {
  std::string edits, message;
};

class RefusedEdits : public testing::TestWithParam<Refused> {};

TEST_P(RefusedEdits, SayWhichAndWhy) {
  const ImportedSite site = small_site();
  const std::string message = refusal([&] { edited_site(site, edits_of(GetParam().edits)); });
  EXPECT_THAT(message, StartsWith(GetParam().message));
  EXPECT_EQ(message.find('\n'), std::string::npos);
}

INSTANTIATE_TEST_SUITE_P(
    Edits, RefusedEdits,
    testing::Values(
        Refused{R"([{"do":"rain","mm_per_h":1},{"do":"move_node","node":1,"x_m":0,"y_m":0}])",
                "edits[1]: node 1 of 1: they count from 0"},
        Refused{R"([{"do":"turn_sector","node":0,"sector":4,"azimuth_deg":0,"downtilt_deg":0}])",
                "edits[0]: sector 4 of the 1 of node"},
        Refused{R"([{"do":"raise_node","node":0,"height_agl_m":-2}])",
                "edits[0]: height_agl_m is -2, but must lie between 0.5 and 500"},
        Refused{R"([{"do":"raise_node","node":0}])", "edits[0]: needs 'height_agl_m'"},
        Refused{R"([{"do":"remove","source":"trees.geojson:t:13"}])",
                "edits[0]: nothing in the site comes from 'trees.geojson:t:13'; did you mean "
                "'trees.geojson:t:12'?"},
        Refused{R"([{"do":"unadd","add":0}])",
                "edits[0]: unadd names add 0, and 0 stand before it"},
        Refused{R"([{"do":"add","what":"lory","x_m":0,"y_m":0,"heading_deg":0,"height_m":null}])",
                "edits[0]: cannot add 'lory'; did you mean 'lorry'?"},
        Refused{R"([{"do":"add","what":"car","x_m":1e9,"y_m":0,"heading_deg":0,"height_m":null}])",
                "edits[0]: x_m is 1e+09, but must lie between"},
        Refused{R"([{"do":"rain","mm_per_h":"much"}])",
                "edits[0]: 'mm_per_h' must be a finite number"},
        Refused{R"([{"do":"rain","mm_per_h":1,"per":"day"}])", "edits[0]: unknown key 'per'"},
        Refused{R"([{"do":"leaf_on","on":1}])", "edits[0]: 'on' must be true or false"},
        Refused{R"([{"do":"move_node","node":0.5,"x_m":0,"y_m":0}])",
                "edits[0]: 'node' must be a whole number from 0"},
        Refused{R"([{"do":"explode"}])", "edits[0]: there is no edit 'explode'"},
        Refused{R"([7])", "edits[0]: must be an object"},
        Refused{R"({"do":"rain"})", "request: 'edits' must be a list"}));

TEST(Questions, TextThatIsNoJsonIsOneLine) {
  for (const char* body : {"", "{", "[1,", "\xff\xfe", "{\"edits\":[]", "nul"}) {
    const std::string message = refusal([&] { read_site_question(body); });
    EXPECT_THAT(message, StartsWith("request: is no JSON")) << body;
    EXPECT_EQ(message.find('\n'), std::string::npos);
  }
  EXPECT_EQ(refusal([] { read_site_question("[]"); }), "request: must be an object");
  EXPECT_THAT(refusal([] { read_site_question(R"({"edits":[],"edit":[]})"); }),
              HasSubstr("unknown key 'edit'"));
}

TEST(Questions, ALinkMayNameNodeAndSectorOrNot) {
  const LinkQuestion any =
      read_link_question(R"({"edits":[],"x_m":1,"y_m":-2,"height_agl_m":1.5,"node":null})");
  EXPECT_FALSE(any.node);
  EXPECT_DOUBLE_EQ(any.y_m, -2.0);
  const LinkQuestion one =
      read_link_question(R"({"edits":[],"x_m":1,"y_m":2,"height_agl_m":1.5,"node":1,"sector":2})");
  EXPECT_EQ(one.node, std::optional<std::size_t>(1));
  EXPECT_EQ(one.sector, std::optional<std::size_t>(2));
}

TEST(Questions, AFloodOfEditsIsRefused) {
  std::string list = "[";
  for (std::size_t i = 0; i <= most_edits; ++i) list += R"({"do":"leaf_on","on":true},)";
  list.back() = ']';
  EXPECT_THAT(refusal([&] { edits_of(list); }), HasSubstr("has more than"));
}

TEST(Questions, NestingWithoutEndDoesNotOverflow) {
  EXPECT_THAT(refusal([] { read_site_question(std::string(900'000, '[')); }),
              StartsWith("request: is no JSON"));
}

}  // namespace
}  // namespace sim
