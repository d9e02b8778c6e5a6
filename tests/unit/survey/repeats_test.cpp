// Repeats at one place, and stretches without a link.
#include "sim/survey/repeats.h"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/survey/measured_drops.h"

namespace sim {
namespace {

Measurement at(double x, double y, std::optional<double> level = {},
               std::optional<double> rate = {}) {
  Measurement m;
  m.survey = "w.csv";
  m.place = Xy{x, y};
  m.rsrp_dbm = level;
  m.downlink_mbps = rate;
  return m;
}

// Linear between ranks, rank = share (n - 1): type 7 of Hyndman and Fan, The American Statistician
// 50 (1996) 361 (from memory). By hand for -90, -84, -82, -80: median -83; quartiles at ranks 0.75
// and 2.25 are -85.5 and -81.5.
TEST(Repeats, MedianAndSpreadAreThoseComputedByHand) {
  const auto repeats = summarise_repeats(
      {at(0, 0, -80, 400), at(1, 0, -82), at(0, 1, -84, 300), at(1, 1, -90, 500), at(50, 0, -70)});
  ASSERT_EQ(repeats.size(), 1U) << "a place measured once is no repeat";
  EXPECT_EQ(repeats[0].count, 4U);
  EXPECT_DOUBLE_EQ(repeats[0].rsrp_dbm.median, -83.0);
  EXPECT_DOUBLE_EQ(repeats[0].rsrp_dbm.lower_quartile, -85.5);
  EXPECT_DOUBLE_EQ(repeats[0].rsrp_dbm.upper_quartile, -81.5);
  EXPECT_EQ(repeats[0].downlink_mbps.count, 3U);
  EXPECT_DOUBLE_EQ(repeats[0].downlink_mbps.median, 400.0);
  EXPECT_DOUBLE_EQ(repeats[0].downlink_mbps.lower_quartile, 350.0);
  EXPECT_DOUBLE_EQ(repeats[0].downlink_mbps.upper_quartile, 450.0);
  EXPECT_TRUE(std::isnan(repeats[0].rsrp_dbm.of_median.low)) << "four values tell no 95 %";
}

TEST(Repeats, ThreeMetresAreOnePlaceAndMoreAreTwo) {
  EXPECT_EQ(summarise_repeats({at(0, 0, -80), at(3, 0, -81)}).size(), 1U);
  EXPECT_TRUE(summarise_repeats({at(0, 0, -80), at(3.01, 0, -81)}).empty());
  // Across the origin, where cells of a grid meet.
  EXPECT_EQ(summarise_repeats({at(-1, -1, -80), at(1, 1, -81)}).size(), 1U);
}

TEST(Repeats, PlacesStandInTheOrderOfTheirFirstVisit) {
  const auto repeats = summarise_repeats(
      {at(90, 0, -80), at(0, 0, -70), at(0, 0, -72), at(90, 0, -82), at(90, 0, -84)});
  ASSERT_EQ(repeats.size(), 2U);
  EXPECT_DOUBLE_EQ(repeats[0].place->x, 90.0);
  EXPECT_DOUBLE_EQ(repeats[0].rsrp_dbm.median, -82.0);
  EXPECT_EQ(repeats[0].visits, 2U) << "left and come back to";
  EXPECT_EQ(repeats[1].visits, 1U);
}

TEST(Repeats, WithoutLevelsThereIsNoMedian) {
  const auto repeats = summarise_repeats({at(0, 0), at(0, 0)});
  EXPECT_TRUE(std::isnan(repeats.at(0).rsrp_dbm.median));
  EXPECT_TRUE(std::isnan(quantile({}, 0.5)));
  EXPECT_DOUBLE_EQ(quantile({7.0}, 0.9), 7.0);
}

Measurement row(std::int64_t number, std::optional<double> level, std::optional<bool> connected,
                std::optional<Xy> place = Xy{}) {
  Measurement m = at(0, 0, level);
  m.row = number;
  m.connected = connected;
  m.place = place;
  return m;
}

TEST(Repeats, InsideIsNoRepeatOfOutside) {
  Measurement inside = at(0, 0, -90);
  inside.context = ReceiverContext::in_vehicle;
  EXPECT_TRUE(summarise_repeats({at(0, 0, -80), inside}).empty());
  const auto repeats = summarise_repeats({at(0, 0, -80), inside, at(0, 0, -82), inside});
  ASSERT_EQ(repeats.size(), 2U);
  EXPECT_DOUBLE_EQ(repeats[0].rsrp_dbm.median, -81.0);
  EXPECT_EQ(repeats[1].name, "in_vehicle");
  EXPECT_DOUBLE_EQ(repeats[1].rsrp_dbm.median, -90.0);
}

TEST(MeasuredDrops, ConnectionSpeaksBeforeTheLevel) {
  EXPECT_EQ(dropped(row(1, -80.0, false), -112.0), true);
  EXPECT_EQ(dropped(row(1, -120.0, true), -112.0), false);
  EXPECT_EQ(dropped(row(1, -112.1, {}), -112.0), true);
  EXPECT_EQ(dropped(row(1, -112.0, {}), -112.0), false);
  EXPECT_EQ(dropped(row(1, {}, {}), -112.0), std::nullopt);
}

TEST(MeasuredDrops, AreStretchesOfRowsThatFollowEachOther) {
  // Rows 2 to 5 drop: 3-4-5 triangle, then 6 m north; row 3 has no place.
  const auto drops = find_measured_drops(
      {row(1, {}, true, Xy{0, 0}), row(2, {}, false, Xy{0, 0}), row(3, {}, false, std::nullopt),
       row(4, {}, false, Xy{3, 4}), row(5, {}, false, Xy{3, 10}), row(6, {}, {}, Xy{3, 11}),
       row(7, {}, false, Xy{3, 12})},
      -112.0);
  ASSERT_EQ(drops.size(), 2U);
  EXPECT_EQ(drops[0].first_row, 2);
  EXPECT_EQ(drops[0].last_row, 5);
  EXPECT_DOUBLE_EQ(drops[0].walked_m, 11.0);
  EXPECT_EQ(drops[0].to, (Xy{3, 10}));
  EXPECT_EQ(drops[1].first_row, 7);
  EXPECT_DOUBLE_EQ(drops[1].walked_m, 0.0);
}

TEST(Repeats, RowsOfOneNameAreOnePlaceWithoutPositions) {
  std::vector<Measurement> rows(3);
  for (std::size_t i = 0; i < 3; ++i) {
    rows[i].spot = i == 1 ? "gate" : "bench";
    rows[i].rsrp_dbm = -80.0 - static_cast<double>(i);
  }
  const auto repeats = summarise_repeats(rows);
  ASSERT_EQ(repeats.size(), 1U);
  EXPECT_EQ(repeats[0].name, "bench");
  EXPECT_FALSE(repeats[0].place);
  EXPECT_DOUBLE_EQ(repeats[0].rsrp_dbm.median, -81.0);
}

TEST(MeasuredDrops, DoNotReachFromOneRunIntoTheNext) {
  Measurement other = row(10, {}, false);
  other.run = "2";
  EXPECT_EQ(find_measured_drops({row(9, {}, false), other}, -112.0).size(), 2U);
}

TEST(MeasuredDrops, DoNotReachFromOneFileIntoTheNext) {
  Measurement other = row(1, {}, false);
  other.survey = "next.csv";
  EXPECT_EQ(find_measured_drops({row(9, {}, false), other}, -112.0).size(), 2U);
}

}  // namespace
}  // namespace sim
