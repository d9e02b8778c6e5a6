// Contract, section 7: columns by our names, by the mapping, or by names that logs use.
#include "sim/survey/survey_columns.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Pair;

SurveySettings settings(const std::map<std::string, std::string>& columns = {}) {
  SurveySettings s;
  s.file = "walk.csv";
  s.columns = columns;
  s.where = {"site.toml", "[[survey]]", 4};
  return s;
}

std::map<std::string, std::size_t> places_of_columns(const std::vector<std::string>& fields) {
  std::map<std::string, std::size_t> places;
  for (const auto& [our, column] : survey_columns(fields, settings())) places[our] = column.index;
  return places;
}

TEST(SurveyColumns, OurOwnNamesAreKnownWithoutCase) {
  EXPECT_THAT(places_of_columns({"Lat", "LON", "rsrp_dbm", "colour"}),
              ElementsAre(Pair("lat", 0U), Pair("lon", 1U), Pair("rsrp_dbm", 2U)));
}

TEST(SurveyColumns, EveryNameOfTheContractIsKnown) {
  const std::vector<std::string> ours{
      "time",          "lon",         "lat",        "accuracy_m", "node",    "context",
      "downlink_mbps", "uplink_mbps", "latency_ms", "rsrp_dbm",   "sinr_db", "connected",
      "note",          "street",      "along_m",    "along_ft",   "side",    "facing",
      "place",         "run",         "address"};
  const auto columns = places_of_columns(ours);
  for (std::size_t i = 0; i < ours.size(); ++i) EXPECT_EQ(columns.at(ours[i]), i) << ours[i];
}

// Header of a published 1 Hz log of a 28 GHz walk (SIGCOMM 2021 artefact).
TEST(SurveyColumns, NamesThatLogsUseAreKnown) {
  const auto columns = places_of_columns(
      {"timestamp", "latitude", "longitude", "movingSpeed", "compassDirection", "nrStatus", "rsrp",
       "nr_ssRsrp", "nr_ssSinr", "downlink_mbps", "uplink_mbps", "Throughput"});
  EXPECT_EQ(columns.at("time"), 0U);
  EXPECT_EQ(columns.at("lat"), 1U);
  EXPECT_EQ(columns.at("lon"), 2U);
  EXPECT_EQ(columns.at("connected"), 5U);
  EXPECT_EQ(columns.at("rsrp_dbm"), 7U) << "the level of the new radio, not of LTE";
  EXPECT_EQ(columns.at("sinr_db"), 8U);
}

TEST(SurveyColumns, OurNameGoesBeforeALogsName) {
  EXPECT_EQ(places_of_columns({"rsrp", "rsrp_dbm"}).at("rsrp_dbm"), 1U);
}

TEST(SurveyColumns, MappingGoesBeforeEverything) {
  const auto columns =
      survey_columns({"rsrp_dbm", "Signal", "lon"}, settings({{"rsrp_dbm", "signal"}}));
  EXPECT_EQ(columns.at("rsrp_dbm").index, 1U);
  EXPECT_EQ(columns.at("lon").index, 2U);
}

TEST(SurveyColumns, MappingToNoColumnIsRefusedWithTheNearest) {
  EXPECT_THAT(refusal([] {
                survey_columns({"level", "lon"}, settings({{"rsrp_dbm", "levl"}}));
              }),
              HasSubstr("site.toml:[[survey]]:4: columns maps rsrp_dbm to 'levl', which is not in "
                        "walk.csv; did you mean 'level'?"));
}

TEST(SurveyColumns, MappingOfAnUnknownNameIsRefusedWithTheNearest) {
  EXPECT_THAT(refusal([] {
                survey_columns({"level"}, settings({{"rsrp_db", "level"}}));
              }),
              HasSubstr("columns names 'rsrp_db'; did you mean 'rsrp_dbm'?"));
}

// 1 Gbit/s = 1000 Mbit/s, 1 byte = 8 bit (IEC 80000-13); 1 ft = 0.3048 m (1959).
TEST(SurveyColumns, UnitInTheHeaderIsTaken) {
  const auto columns = survey_columns(
      {"Downlink (Gbps)", "ul_kbps", "rtt_in_ms", "Accuracy [ft]", "along_ft"}, settings());
  EXPECT_DOUBLE_EQ(columns.at("downlink_mbps").factor, 1000.0);
  EXPECT_DOUBLE_EQ(columns.at("uplink_mbps").factor, 0.001);
  EXPECT_DOUBLE_EQ(columns.at("latency_ms").factor, 1.0);
  EXPECT_DOUBLE_EQ(columns.at("accuracy_m").factor, 0.3048);
  EXPECT_DOUBLE_EQ(columns.at("along_ft").factor, 0.3048);
  for (const auto& [our, column] : columns) EXPECT_FALSE(column.unit_assumed) << our;
  EXPECT_DOUBLE_EQ(survey_columns({"DL Mbit/s"}, settings()).at("downlink_mbps").factor, 1.0);
  EXPECT_DOUBLE_EQ(survey_columns({"Download (MB/s)"}, settings()).at("downlink_mbps").factor, 8.0);
}

TEST(SurveyColumns, RateWithoutAUnitIsAssumedAndMarked) {
  const SurveyColumn column = survey_columns({"Download"}, settings()).at("downlink_mbps");
  EXPECT_TRUE(column.unit_assumed);
  EXPECT_DOUBLE_EQ(column.factor, 1.0);
}

TEST(SurveyColumns, TwoThatMayBeMeantAreAskedFor) {
  EXPECT_THAT(refusal([] {
                survey_columns({"lon", "lat", "DL", "Download (Mbps)"}, settings());
              }),
              HasSubstr("walk.csv:0: which column is downlink_mbps, 'DL' or 'Download (Mbps)'? say "
                        "so in the site file with columns = { downlink_mbps = \"DL\" }"));
}

TEST(SurveyColumns, BracketsThatHoldNoUnitAreAskedAbout) {
  EXPECT_THAT(refusal([] { survey_columns({"Downlink (MHz)"}, settings()); }),
              HasSubstr("is column 'Downlink (MHz)' a rate (bps, kbps, Mbps, Gbps, MB/s)? 'MHz' is "
                        "no unit of it"));
  // Said so in the site file, it is taken.
  const auto columns =
      survey_columns({"Downlink (phone A)"}, settings({{"downlink_mbps", "Downlink (phone A)"}}));
  EXPECT_TRUE(columns.at("downlink_mbps").unit_assumed);
}

}  // namespace
}  // namespace sim
