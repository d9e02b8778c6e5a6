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

TEST(SurveyColumns, OurOwnNamesAreKnownWithoutCase) {
  EXPECT_THAT(survey_columns({"Lat", "LON", "rsrp_dbm", "colour"}, settings()),
              ElementsAre(Pair("lat", 0U), Pair("lon", 1U), Pair("rsrp_dbm", 2U)));
}

TEST(SurveyColumns, EveryNameOfTheContractIsKnown) {
  const std::vector<std::string> ours{
      "time",          "lon",         "lat",        "accuracy_m", "node",    "context",
      "downlink_mbps", "uplink_mbps", "latency_ms", "rsrp_dbm",   "sinr_db", "connected",
      "note",          "street",      "along_m",    "along_ft",   "side"};
  const auto columns = survey_columns(ours, settings());
  for (std::size_t i = 0; i < ours.size(); ++i) EXPECT_EQ(columns.at(ours[i]), i) << ours[i];
}

// Header of a published 1 Hz log of a 28 GHz walk (SIGCOMM 2021 artefact).
TEST(SurveyColumns, NamesThatLogsUseAreKnown) {
  const auto columns =
      survey_columns({"timestamp", "latitude", "longitude", "movingSpeed", "compassDirection",
                      "nrStatus", "rsrp", "nr_ssRsrp", "nr_ssSinr", "downlink_mbps", "uplink_mbps"},
                     settings());
  EXPECT_EQ(columns.at("time"), 0U);
  EXPECT_EQ(columns.at("lat"), 1U);
  EXPECT_EQ(columns.at("lon"), 2U);
  EXPECT_EQ(columns.at("connected"), 5U);
  EXPECT_EQ(columns.at("rsrp_dbm"), 7U) << "the level of the new radio, not of LTE";
  EXPECT_EQ(columns.at("sinr_db"), 8U);
}

TEST(SurveyColumns, OurNameGoesBeforeALogsName) {
  EXPECT_EQ(survey_columns({"rsrp", "rsrp_dbm"}, settings()).at("rsrp_dbm"), 1U);
}

TEST(SurveyColumns, MappingGoesBeforeEverything) {
  const auto columns =
      survey_columns({"rsrp_dbm", "Signal", "lon"}, settings({{"rsrp_dbm", "signal"}}));
  EXPECT_EQ(columns.at("rsrp_dbm"), 1U);
  EXPECT_EQ(columns.at("lon"), 2U);
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

}  // namespace
}  // namespace sim
