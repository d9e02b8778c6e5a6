// Poles, trees, objects and streets as records.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

class StreetThings : public testing::Test {
 protected:
  ImportedSite import(const std::string& section, std::initializer_list<std::string> features,
                      const std::string& settings = "") {
    site_.layer("things.geojson", features);
    return site_.import("[[" + section + "]]\nfile = \"things.geojson\"\n" + settings);
  }
  InventedSite site_;
};

// Contract, section 3: 8 m tall, 0.2 m thick.
TEST_F(StreetThings, PoleWithoutSizesGetsTheDefaults) {
  const auto imported = import("poles", {feature(point(3, 4))});
  const PoleRecord& pole = imported.poles.at(0);
  EXPECT_DOUBLE_EQ(pole.height_m, 8.0);
  EXPECT_DOUBLE_EQ(pole.diameter_m, 0.2);
  EXPECT_TRUE(pole.height_defaulted);
  EXPECT_NEAR(pole.place.x, origin_x_m + 3.0, 1e-6);
  EXPECT_NEAR(pole.place.y, origin_y_m + 4.0, 1e-6);
  EXPECT_EQ(counted(imported.report, "poles").defaulted, 1U);
}

TEST_F(StreetThings, PoleKeepsItsOwnSizes) {
  const auto imported = import("poles", {feature(point(0, 0), R"({"height":"20'","d":0.3})")},
                               "diameter_field = \"d\"\ndefault_height_m = 5\n");
  EXPECT_DOUBLE_EQ(imported.poles.at(0).height_m, 6.096);  // 20 international feet
  EXPECT_DOUBLE_EQ(imported.poles[0].diameter_m, 0.3);
  EXPECT_FALSE(imported.poles[0].height_defaulted);
  EXPECT_EQ(counted(imported.report, "poles").defaulted, 0U);
}

TEST_F(StreetThings, TwoPolesOnOneSpotAreOne) {
  const auto imported =
      import("poles", {feature(point(0, 0)), feature(point(0.01, 0)), feature(point(1, 0))});
  EXPECT_EQ(imported.poles.size(), 2U);
  EXPECT_EQ(counted(imported.report, "poles").dropped, 1U);
  EXPECT_EQ(issues(imported.report, "same_place"), 1U);
}

TEST_F(StreetThings, WhatIsNoPointIsNoPole) {
  const auto imported = import(
      "poles", {feature(line({{0, 0}, {5, 0}})), feature(point(900, 0)), feature(point(1, 1))});
  const LayerCount& count = counted(imported.report, "poles");
  EXPECT_EQ(count.read, 3U);
  EXPECT_EQ(count.used, 1U);
  EXPECT_EQ(count.dropped, 1U);
  EXPECT_EQ(count.outside, 1U);
}

TEST_F(StreetThings, TreesHaveHeightCrownAndKind) {
  const auto imported = import(
      "trees",
      {feature(point(0, 0)),
       feature(point(9, 0), R"({"height":"14 m","diameter_crown":7,"leaf_type":"needleleaved"})")},
      "default_height_m = 10\ndefault_crown_diameter_m = 6\n");
  EXPECT_DOUBLE_EQ(imported.trees.at(0).height_m, 10.0);
  EXPECT_DOUBLE_EQ(imported.trees[0].crown_diameter_m, 6.0);
  EXPECT_EQ(imported.trees[0].species_class, "broadleaf");
  EXPECT_DOUBLE_EQ(imported.trees.at(1).height_m, 14.0);
  EXPECT_DOUBLE_EQ(imported.trees[1].crown_diameter_m, 7.0);
  EXPECT_EQ(imported.trees[1].species_class, "conifer");
  EXPECT_EQ(counted(imported.report, "trees").defaulted, 1U);
}

TEST_F(StreetThings, SpeciesFieldOfTheSiteFileIsRead) {
  const auto imported = import("trees",
                               {feature(point(0, 0), R"({"kind":"conifer"})"),
                                feature(point(9, 0), R"({"kind":"broadleaf"})"),
                                feature(point(18, 0), R"({"kind":"needleleaved"})")},
                               "species_field = \"kind\"\n");
  EXPECT_EQ(imported.trees.at(0).species_class, "conifer");
  EXPECT_EQ(imported.trees.at(1).species_class, "broadleaf");
  EXPECT_EQ(imported.trees.at(2).species_class, "conifer");
  EXPECT_THAT(
      refusal([&] { import("trees", {feature(point(0, 0))}, "species_field = \"nothing\"\n"); }),
      HasSubstr("field 'nothing' is not in"));
}

TEST_F(StreetThings, PolygonOfTreesIsWoodland) {
  const auto imported = import("trees", {feature(rectangle(0, 0, 20, 20), R"({"height":12})")});
  EXPECT_TRUE(imported.trees.empty());
  EXPECT_DOUBLE_EQ(imported.woodlands.at(0).height_m, 12.0);
  EXPECT_EQ(counted(imported.report, "trees").used, 1U);
}

// Sizes: assets/objects.csv.
TEST_F(StreetThings, ObjectsGetTheSizeOfTheirKind) {
  const auto imported = import(
      "objects",
      {feature(point(0, 0), R"({"kind":"car"})"), feature(point(9, 0), R"({"kind":"truck"})"),
       feature(point(18, 0), R"({"kind":"sign"})"), feature(point(27, 0), R"({"kind":"person"})")});
  ASSERT_EQ(imported.objects.size(), 4U);
  const ObjectRecord &car = imported.objects[0], &truck = imported.objects[1],
                     &sign = imported.objects[2];
  EXPECT_EQ(car.kind, ObjectKind::car);
  EXPECT_DOUBLE_EQ(car.length_m, 4.5);
  EXPECT_DOUBLE_EQ(car.height_m, 1.5);
  // Council Directive 96/53/EC Annex I: 12 m, 2.55 m, 4 m.
  EXPECT_DOUBLE_EQ(truck.length_m, 12.0);
  EXPECT_DOUBLE_EQ(truck.width_m, 2.55);
  EXPECT_DOUBLE_EQ(truck.height_m, 4.0);
  EXPECT_DOUBLE_EQ(sign.base_m, 2.0) << "on legs";
  // TR 38.901 Table 7.6.4.2-5, human: 0.3 m wide, 1.7 m high.
  EXPECT_EQ(imported.objects[3].kind, ObjectKind::person);
  EXPECT_DOUBLE_EQ(imported.objects[3].width_m, 0.3);
  EXPECT_DOUBLE_EQ(imported.objects[3].height_m, 1.7);
  EXPECT_EQ(imported.objects[3].material, "skin");
  EXPECT_EQ(counted(imported.report, "objects").defaulted, 4U);
}

TEST_F(StreetThings, ObjectSizesAreValuesOrFields) {
  const auto imported =
      import("objects", {feature(point(0, 0), R"({"tall":3.2,"heading_deg":30,"width_m":2})")},
             "kind = \"van\"\nlength_m = 6\nheight_m = \"tall\"\n");
  const ObjectRecord& van = imported.objects.at(0);
  EXPECT_DOUBLE_EQ(van.length_m, 6.0);
  EXPECT_DOUBLE_EQ(van.height_m, 3.2);
  EXPECT_DOUBLE_EQ(van.width_m, 2.0) << "a field of the name of the key";
  EXPECT_NEAR(van.heading.degrees(), 30.0, 1e-12);
  EXPECT_EQ(counted(imported.report, "objects").defaulted, 0U);
}

TEST_F(StreetThings, ObjectsAlongLinesAndOnPolygons) {
  const auto imported =
      import("objects", {feature(line({{0, 0}, {10, 0}, {10, 5}}), R"({"kind":"wall"})"),
                         feature(rectangle(20, 0, 4, 3), R"({"kind":"kiosk"})")});
  EXPECT_EQ(imported.objects.at(0).lines.at(0).size(), 3U);
  EXPECT_FALSE(imported.objects[0].place);
  EXPECT_EQ(imported.objects.at(1).polygons.size(), 1U);
}

TEST_F(StreetThings, ObjectOfUnknownKindIsDropped) {
  const auto imported = import("objects", {feature(point(0, 0), R"({"kind":"balloon"})"),
                                           feature(point(5, 0), R"({"kind":"bus"})")});
  EXPECT_EQ(imported.objects.size(), 1U);
  EXPECT_EQ(counted(imported.report, "objects").dropped, 1U);
  EXPECT_EQ(issues(imported.report, "kind_unknown"), 1U);
}

TEST_F(StreetThings, ObjectPolygonWithoutAreaIsDropped) {
  const auto imported =
      import("objects",
             {feature(polygon(positions({{0, 0}, {5, 0}, {0, 0}, {0, 0}})), R"({"kind":"bus"})"),
              feature(point(9, 0), R"({"kind":"bus"})")});
  EXPECT_EQ(imported.objects.size(), 1U);
  EXPECT_EQ(counted(imported.report, "objects").dropped, 1U);
  EXPECT_EQ(counted(imported.report, "objects").used, 1U);
}

TEST_F(StreetThings, ObjectsWithoutKindAreRefused) {
  EXPECT_THAT(refusal([&] { import("objects", {feature(point(0, 0))}); }),
              HasSubstr("field 'kind' is not in"));
}

TEST_F(StreetThings, HeadingThatIsNoNumberIsReported) {
  const auto imported =
      import("objects", {feature(point(0, 0), R"({"kind":"bus","heading_deg":"north"})")});
  EXPECT_DOUBLE_EQ(imported.objects.at(0).heading.degrees(), 0.0);
  EXPECT_EQ(issues(imported.report, "heading_unreadable"), 1U);
}

TEST_F(StreetThings, StreetsKeepNameAndLine) {
  site_.layer("streets.geojson", {feature(line({{0, 0}, {50, 0}}), R"({"name":"Mill Street"})"),
                                  feature(line({{0, 0}, {0, 50}}))});
  const auto imported = site_.import("[streets]\nfile = \"streets.geojson\"\n");
  ASSERT_EQ(imported.streets.size(), 2U);
  EXPECT_EQ(imported.streets[0].name, "Mill Street");
  EXPECT_EQ(imported.streets[0].line.size(), 2U);
  EXPECT_EQ(imported.streets[1].name, "");
}

}  // namespace
}  // namespace sim
