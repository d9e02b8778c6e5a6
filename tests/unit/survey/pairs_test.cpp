// Two ways of holding the phone at one place: who is compared with whom, and what it measures.
#include "sim/survey/pairs.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "sim/survey/survey_words.h"

namespace sim {
namespace {

Measurement held(ReceiverContext context, double level, double rate = 0.0, Xy place = {0, 0}) {
  Measurement m;
  m.survey = "w.csv";
  m.place = place;
  m.context = context;
  m.rsrp_dbm = level;
  if (rate > 0.0) m.downlink_mbps = rate;
  return m;
}
using enum ReceiverContext;

// By hand: medians -80 and -95, 400 and 100.
TEST(Pairs, InsideAgainstOutsideIsTheDifferenceOfMedians) {
  std::vector<Measurement> rows;
  for (const double d : {-2.0, -1.0, 0.0, 0.0, 1.0, 2.0, 7.0}) {
    rows.push_back(held(outdoor, -80.0 + d, 400.0 + 10.0 * d));
    rows.push_back(held(in_vehicle, -95.0 + d, 100.0 + 10.0 * d));
  }
  const auto pairs = find_pairs(rows, {});
  ASSERT_EQ(pairs.size(), 1U);
  const MeasuredPair& pair = pairs[0];
  EXPECT_EQ(pair.kind, MeasuredPair::Kind::context);
  EXPECT_EQ(pair.reference, "outdoor");
  EXPECT_EQ(pair.other, "in_vehicle");
  EXPECT_EQ(pair.reference_rows.size(), 7U);
  EXPECT_DOUBLE_EQ(pair.rsrp_dbm.difference, 15.0);
  EXPECT_EQ(pair.rsrp_dbm.method, "bootstrap");
  EXPECT_LE(pair.rsrp_dbm.of_difference.low, 15.0);
  EXPECT_GE(pair.rsrp_dbm.of_difference.high, 15.0);
  EXPECT_DOUBLE_EQ(pair.downlink_mbps.ratio, 0.25);
  EXPECT_LE(pair.downlink_mbps.of_ratio.low, 0.25);
  // A tenth of 400 Mbps with the pooled spread: 10 times that of d, whose squares about the mean of
  // 1 sum to 9 + 4 + 1 + 1 + 0 + 1 + 36 = 52, over 6. Then n = 2 (1.959964 + 0.841621)^2 866.7 /
  // 1600 = 8.5.
  EXPECT_EQ(pair.downlink_mbps.repeats_needed, 9U);
  EXPECT_TRUE(std::isnan(pair.rsrp_dbm.ratio)) << "levels in dBm have no ratio";
}

TEST(Pairs, FewRowsFallBackOnStudent) {
  const std::vector<Measurement> rows{held(outdoor, -80), held(outdoor, -82),
                                      held(body_blocked, -95), held(body_blocked, -97)};
  const auto pairs = find_pairs(rows, {});
  ASSERT_EQ(pairs.size(), 1U);
  EXPECT_EQ(pairs[0].other, "body");
  EXPECT_EQ(pairs[0].rsrp_dbm.method, "student");
  // Variances 2 and 2 of two values each: standard error sqrt(2), 2 degrees of freedom, t
  // = 4.302653 (any table of Student's t).
  EXPECT_NEAR(pairs[0].rsrp_dbm.of_difference.low, 15.0 - 4.302653 * std::sqrt(2.0), 1e-5);
}

TEST(Pairs, OneRowASideTellsNoInterval) {
  const auto pairs = find_pairs({held(outdoor, -80), held(in_vehicle, -90)}, {});
  ASSERT_EQ(pairs.size(), 1U);
  EXPECT_DOUBLE_EQ(pairs[0].rsrp_dbm.difference, 10.0);
  EXPECT_EQ(pairs[0].rsrp_dbm.method, "");
  EXPECT_TRUE(std::isnan(pairs[0].rsrp_dbm.of_difference.low));
  EXPECT_FALSE(pairs[0].rsrp_dbm.repeats_needed);
}

TEST(Pairs, PlacesApartAreNotCompared) {
  EXPECT_TRUE(find_pairs({held(outdoor, -80), held(in_vehicle, -90, 0, {4, 0})}, {}).empty());
  // Within the accuracy that the row states they are.
  auto near = held(in_vehicle, -90, 0, {4, 0});
  near.accuracy_m = 5.0;
  EXPECT_EQ(find_pairs({held(outdoor, -80), near}, {}).size(), 1U);
  auto bad = held(in_vehicle, -90, 0, {40, 0});
  bad.accuracy_m = 50.0;
  EXPECT_TRUE(find_pairs({held(outdoor, -80), bad}, {}).empty());
}

TEST(Pairs, NodesAndFacingsAreKeptApart) {
  auto inside = held(in_vehicle, -90);
  inside.node = "k";
  EXPECT_TRUE(find_pairs({held(outdoor, -80), inside}, {}).empty());
  inside.node = "";
  inside.facing = facing_from("away");
  EXPECT_TRUE(find_pairs({held(outdoor, -80), inside}, {}).empty()) << "differs in two things";
}

TEST(Pairs, TurnedAwayAgainstFacingTheNode) {
  std::vector<Measurement> rows{held(outdoor, -80), held(outdoor, -93)};
  rows[0].facing = facing_from("node");
  rows[1].facing = facing_from("away");
  const auto pairs = find_pairs(rows, {});
  ASSERT_EQ(pairs.size(), 1U);
  EXPECT_EQ(pairs[0].kind, MeasuredPair::Kind::facing);
  EXPECT_EQ(pairs[0].reference, "facing node");
  EXPECT_EQ(pairs[0].other, "facing away");
  EXPECT_DOUBLE_EQ(pairs[0].rsrp_dbm.difference, 13.0);
}

// A node due east is at a bearing of 90 degrees.
TEST(Pairs, OfHeadingsTheOneNearestToTheNodeIsTheReference) {
  std::vector<Measurement> rows{held(outdoor, -95), held(outdoor, -80), held(outdoor, -88)};
  rows[0].facing = facing_from("270");
  rows[1].facing = facing_from("100");
  rows[2].facing = facing_from("-2");
  const auto pairs = find_pairs(rows, {{.id = "n", .place = {100, 0}}});
  ASSERT_EQ(pairs.size(), 2U);
  for (const MeasuredPair& pair : pairs) EXPECT_EQ(pair.reference, "facing 90");
  EXPECT_EQ(pairs[0].other, "facing 0");
  EXPECT_DOUBLE_EQ(pairs[0].rsrp_dbm.difference, 8.0);
  EXPECT_EQ(pairs[1].other, "facing 270");
}

TEST(Pairs, RowsOfOneNameNeedNoPosition) {
  auto open = held(outdoor, -80), shut = held(in_vehicle, -91);
  for (Measurement* m : {&open, &shut}) {
    m->place.reset();
    m->street = "Mill Street";
    m->along = "60 m";
  }
  const auto pairs = find_pairs({open, shut}, {});
  ASSERT_EQ(pairs.size(), 1U);
  EXPECT_EQ(pairs[0].name, "60 m along Mill Street");
}

TEST(Pairs, ConnectionsAreCounted) {
  std::vector<Measurement> rows{held(outdoor, -80, 400), held(in_vehicle, -110, 5)};
  rows[0].connected = true;
  rows[1].connected = false;
  const auto pairs = find_pairs(rows, {});
  ASSERT_EQ(pairs.size(), 1U);
  EXPECT_EQ(pairs[0].reference_connected, 1U);
  EXPECT_EQ(pairs[0].other_known, 1U);
  EXPECT_EQ(pairs[0].other_connected, 0U);
}

TEST(ContextWords, HandsAndBodiesAreToldApart) {
  EXPECT_TRUE(context_word("hand")->in_hand);
  EXPECT_EQ(context_word("Human")->context, body_blocked);
  EXPECT_FALSE(context_word("human")->in_hand);
  EXPECT_EQ(context_word("In-Car")->context, in_vehicle);
  EXPECT_FALSE(context_word("balcony"));
}

}  // namespace
}  // namespace sim
