#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "sim/gis/vector_file.h"
#include "sim/survey/survey.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

class Surveys : public testing::Test {
 protected:
  Survey read(const std::string& csv, const std::string& settings = "") {
    site_.folder.write("walk.csv", csv);
    return read_surveys(site_.import("[[survey]]\nfile = \"walk.csv\"\n" + settings));
  }
  InventedSite site_;
};

TEST_F(Surveys, EveryValueOfARowIsRead) {
  const auto survey = read(
      "time,lon,lat,accuracy_m,node,context,downlink_mbps,uplink_mbps,latency_ms,rsrp_dbm,sinr_db,"
      "connected,note\n"
      "2026-05-01T12:00:00,-33,40,4.5,n,in_vehicle,512.5,80,18,-86.5,12,yes,\"van, parked\"\n",
      "time_zone = \"+02:00\"\n");
  const Measurement& m = survey.measurements.at(0);
  EXPECT_EQ(m.survey, "walk.csv");
  EXPECT_EQ(m.row, 1);
  EXPECT_EQ(m.time, "2026-05-01T10:00:00Z");
  EXPECT_EQ(m.lon_deg, -33.0);
  EXPECT_EQ(m.accuracy_m, 4.5);
  EXPECT_EQ(m.node, "n");
  EXPECT_EQ(m.context, ReceiverContext::in_vehicle);
  EXPECT_EQ(m.downlink_mbps, 512.5);
  EXPECT_EQ(m.uplink_mbps, 80.0);
  EXPECT_EQ(m.latency_ms, 18.0);
  EXPECT_EQ(m.rsrp_dbm, -86.5);
  EXPECT_EQ(m.sinr_db, 12.0);
  EXPECT_EQ(m.connected, true);
  EXPECT_EQ(m.note, "van, parked");
  EXPECT_TRUE(survey.issues.empty());
}

TEST_F(Surveys, SettingsHoldForRowsThatSayNothing) {
  const auto m = read("lon,lat,node,context,note\n-33,40,,,\n-33,40,k,outdoor,dry\n",
                      "node = \"n\"\nnote = \"rain\"\ncontext = \"behind_glass\"\n")
                     .measurements;
  EXPECT_EQ(m.at(0).node, "n");
  EXPECT_EQ(m[0].note, "rain");
  EXPECT_EQ(m[0].context, ReceiverContext::behind_glass);
  EXPECT_EQ(m.at(1).node, "k");
  EXPECT_EQ(m[1].note, "dry");
  EXPECT_EQ(m[1].context, ReceiverContext::outdoor);
}

TEST_F(Surveys, NothingIsAbsentAndNonsenseIsReported) {
  const auto survey = read(
      "lon,lat,rsrp_dbm,downlink_mbps,context,time,connected\n"
      "-33,40,nan,N/A,,,\n"
      "-33,40,loud,12,balcony,noon,perhaps\n"
      "-33,40,35,-,,,\n");
  for (const Measurement& m : survey.measurements) EXPECT_FALSE(m.rsrp_dbm) << m.row;
  EXPECT_FALSE(survey.measurements.at(1).connected);
  std::vector<std::string> codes;
  for (const Issue& issue : survey.issues) codes.push_back(issue.code);
  EXPECT_THAT(codes, testing::UnorderedElementsAre(
                         "context_unknown", "not_a_number", "connected_unknown", "time_unreadable",
                         "level_not_physical", "no_value", "no_value", "accuracy_assumed"));
  EXPECT_THAT(to_string(survey.issues.at(0).where), HasSubstr("walk.csv:2"));
}

// The states are those of Android's 5G registration; not registered on the node is not connected.
TEST_F(Surveys, ConnectedIsReadInManyWords) {
  const auto m = read(
                     "lon,lat,connected\n-33,40,1\n-33,40,Yes\n-33,40,TRUE\n-33,40,CONNECTED\n"
                     "-33,40,0\n-33,40,No\n-33,40,false\n-33,40,NOT_RESTRICTED\n-33,40,NONE\n"
                     "-33,40,\n")
                     .measurements;
  for (std::size_t row = 0; row < 4; ++row) EXPECT_EQ(m.at(row).connected, true) << row;
  for (std::size_t row = 4; row < 9; ++row) EXPECT_EQ(m.at(row).connected, false) << row;
  EXPECT_EQ(m.at(9).connected, std::nullopt);
}

TEST_F(Surveys, FilesFollowEachOtherInTheOrderOfTheSite) {
  site_.folder.write("b.csv", "lon,lat\n-33,40\n");
  const auto m = read("lon,lat\n-33,40\n-33,40\n", "[[survey]]\nfile = \"b.csv\"\n").measurements;
  ASSERT_EQ(m.size(), 3U);
  EXPECT_EQ(m[1].row, 2);
  EXPECT_EQ(m[2].survey, "b.csv");
  EXPECT_EQ(m[2].row, 1);
}

TEST_F(Surveys, GeoJsonPointsAreRows) {
  site_.layer("w.geojson", {feature(point(10, 20), R"({"rsrp_dbm":-91.5,"note":"kerb"})")});
  const auto survey = read_surveys(site_.import("[[survey]]\nfile = \"w.geojson\"\n"));
  const Measurement& m = survey.measurements.at(0);
  EXPECT_NEAR(m.place->x, origin_x_m + 10.0, 1e-6);
  EXPECT_EQ(m.rsrp_dbm, -91.5);
  EXPECT_EQ(m.note, "kerb");
}

TEST_F(Surveys, UnknownTimeZoneIsRefused) {
  EXPECT_THAT(refusal([&] { read("lon,lat\n-33,40\n", "time_zone = \"CET\"\n"); }),
              HasSubstr("time_zone = \"CET\" is not understood; write \"UTC\", \"+02:00\" or a "
                        "name such as \"Europe/Lisbon\""));
  EXPECT_THAT(refusal([&] { read("lon,lat\n-33,40\n", "time_zone = \"Amerika/Chicago\"\n"); }),
              HasSubstr("did you mean \"America/Chicago\"?"));
}

TEST_F(Surveys, SentinelsAndImpossibleValuesAreSetAsideWithTheirRows) {
  const auto survey = read(
      "lon,lat,accuracy_m,rsrp_dbm,downlink_mbps,latency_ms\n"
      "-33,40,5,2147483647,-1,20\n-33,40,5,-80,500,-1\n-33,40,5,2147483647,512000,30\n"
      "-33,40,5,null,500,20\n");
  EXPECT_FALSE(survey.measurements.at(0).rsrp_dbm);
  EXPECT_FALSE(survey.measurements[0].downlink_mbps);
  EXPECT_FALSE(survey.measurements[1].latency_ms);
  EXPECT_FALSE(survey.measurements[2].downlink_mbps) << "kbps under the name of Mbps";
  EXPECT_FALSE(survey.measurements[3].rsrp_dbm);
  ASSERT_EQ(survey.set_aside.size(), 3U);
  EXPECT_EQ(survey.set_aside[0].code, "no_value");
  EXPECT_THAT(survey.set_aside[0].rows, ElementsAre(1, 3, 4));
  EXPECT_EQ(survey.set_aside[1].what, "downlink_mbps");
  EXPECT_THAT(survey.set_aside[1].rows, ElementsAre(1, 3));
  EXPECT_THAT(survey.issues.at(0).message,
              HasSubstr("rsrp_dbm of 3 rows was set aside (rows 1, 3, 4): '2147483647'"));
  EXPECT_EQ(row_list({1, 2, 4, 5, 6, 9}), "1, 2, 4-6, 9");
}

TEST_F(Surveys, UnitsInHeadersAndCellsAreOurs) {
  const auto survey = read(
      "lon,lat,Accuracy (ft),Downlink (Gbps),Upload,Ping [s]\n"
      "-33,40,10,1.2,30 Mbps,0.02\n-33,40,10,800 Mbps,900 kbps,18 ms\n");
  const auto& m = survey.measurements;
  EXPECT_DOUBLE_EQ(*m.at(0).accuracy_m, 3.048);
  EXPECT_DOUBLE_EQ(*m[0].downlink_mbps, 1200.0);
  EXPECT_DOUBLE_EQ(*m[1].downlink_mbps, 800.0);
  EXPECT_DOUBLE_EQ(*m[1].uplink_mbps, 0.9);
  EXPECT_DOUBLE_EQ(*m[0].latency_ms, 20.0);
  EXPECT_DOUBLE_EQ(*m[1].latency_ms, 18.0);
  ASSERT_EQ(survey.issues.size(), 1U) << "the upload's header";
  EXPECT_EQ(survey.issues[0].code, "unit_assumed");
}

TEST_F(Surveys, ZoneOfTheSiteIsAppliedAndItsOddHoursAreTold) {
  const auto survey = read(
      "time,lon,lat,accuracy_m,connected\n2026-07-01 10:00:00,-33,40,5,1\n"
      "2026-10-25 01:30:00,-33,40,5,1\n2026-03-29 01:30:00,-33,40,5,1\n"
      "1970-01-01 00:00:10,-33,40,5,1\n",
      "time_zone = \"Europe/Lisbon\"\n");
  EXPECT_EQ(survey.measurements.at(0).time, "2026-07-01T09:00:00Z");
  EXPECT_EQ(survey.measurements[1].time, "2026-10-25T00:30:00Z");
  EXPECT_EQ(survey.measurements[2].time, "");
  EXPECT_EQ(survey.measurements[3].time, "");
  std::vector<std::string> codes;
  for (const Issue& issue : survey.issues) codes.push_back(issue.code);
  EXPECT_THAT(codes, testing::UnorderedElementsAre("time_shown_twice", "time_never_shown",
                                                   "time_not_possible"));
}

TEST_F(Surveys, FacingAndRunOfARow) {
  const auto survey = read(
      "lon,lat,accuracy_m,rsrp_dbm,facing,run\n-33,40,5,-80,node,1.0\n-33,40,5,-80,210,2\n"
      "-33,40,5,-80,backwards,2\n-33,40,5,-80,,\n");
  const auto& m = survey.measurements;
  EXPECT_EQ(m.at(0).facing->way, Facing::Way::node);
  EXPECT_EQ(m[0].run, "1");
  EXPECT_DOUBLE_EQ(m[1].facing->heading.degrees(), 210.0);
  EXPECT_FALSE(m[2].facing);
  EXPECT_FALSE(m[3].facing);
  ASSERT_EQ(survey.issues.size(), 1U);
  EXPECT_EQ(survey.issues[0].code, "facing_unknown");
}

TEST_F(Surveys, GeoPackagePointsAreRows) {
  const std::string path = site_.folder.file("w.gpkg");
  OutputLayer layer{
      .name = "walk",
      .fields = {{"rsrp_dbm", OutputField::Type::real}, {"context", OutputField::Type::text}},
      .features = {}};
  layer.features.push_back(
      {PointSet{{{origin_x_m + 10.0, origin_y_m + 20.0, 0.0}}}, {-91.5, std::string("in car")}});
  write_geopackage(path, Crs::parse("EPSG:32625", {}), {layer});
  const auto survey = read_surveys(site_.import("[[survey]]\nfile = \"w.gpkg\"\n"));
  EXPECT_NEAR(survey.measurements.at(0).place->x, origin_x_m + 10.0, 1e-6);
  EXPECT_EQ(survey.measurements[0].rsrp_dbm, -91.5);
  EXPECT_EQ(survey.measurements[0].context, ReceiverContext::in_vehicle);
}

}  // namespace
}  // namespace sim
