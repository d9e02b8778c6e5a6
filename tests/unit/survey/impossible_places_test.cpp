#include "sim/survey/impossible_places.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace sim {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

/// A walk of 1.4 m/s eastward, a row a second.
std::vector<TimedPlace> walk(std::size_t rows) {
  std::vector<TimedPlace> walk;
  for (std::size_t i = 0; i < rows; ++i) {
    const auto t = static_cast<double>(i);
    walk.push_back({{1.4 * t, 0.0}, t, 5.0});
  }
  return walk;
}

TEST(SpeedJumps, AWalkHasNone) { EXPECT_THAT(speed_jumps(walk(50), 45.0), IsEmpty()); }

TEST(SpeedJumps, RowsThatLeapAwayAndBackAreFound) {
  auto rows = walk(20);
  rows[7].place.y = 300.0;
  rows[12].place.y = rows[13].place.y = -900.0;
  EXPECT_THAT(speed_jumps(rows, 45.0), ElementsAre(7, 12, 13));
}

TEST(SpeedJumps, AFalseBeginningAndEndAreFound) {
  auto rows = walk(10);
  rows[0].place.x = rows[1].place.x = 5000.0;
  rows[9].place.y = 400.0;
  EXPECT_THAT(speed_jumps(rows, 45.0), ElementsAre(0, 1, 9));
}

TEST(SpeedJumps, AWalkThatGoesOnElsewhereKeepsBothSides) {
  auto rows = walk(40);
  for (std::size_t i = 25; i < 40; ++i) rows[i].place.y = 200.0;
  EXPECT_THAT(speed_jumps(rows, 45.0), IsEmpty());
  rows[35].place.y = 3000.0;
  EXPECT_THAT(speed_jumps(rows, 45.0), ElementsAre(35));
}

TEST(SpeedJumps, WhoHasTimeMayGoAnywhere) {
  auto rows = walk(10);
  for (std::size_t i = 5; i < 10; ++i) {
    rows[i].place.x += 5000.0;
    rows[i].time_s += 600.0;  // a bus: 8.3 m/s
  }
  EXPECT_THAT(speed_jumps(rows, 45.0), IsEmpty());
}

TEST(SpeedJumps, BadFixesAndStandingClocksAreNoJump) {
  auto rows = walk(4);
  rows[2].place.y = 120.0;
  rows[2].accuracy_m = 100.0;
  EXPECT_THAT(speed_jumps(rows, 45.0), IsEmpty());
  auto unset = walk(4);
  for (TimedPlace& row : unset) row.time_s = 0.0;
  unset[2].place.y = 1e5;
  EXPECT_THAT(speed_jumps(unset, 45.0), IsEmpty());
}

TEST(FarPlaces, AreFarFromEveryNodeOrFromTheMiddle) {
  const std::vector<Xy> places{{0, 0}, {9000, 0}, {30000, 0}, {100, 0}};
  EXPECT_THAT(far_places(places, {{0, 0}}, 10000.0), ElementsAre(2));
  EXPECT_THAT(far_places(places, {{0, 0}, {25000, 0}}, 10000.0), IsEmpty());
  EXPECT_THAT(far_places(places, {}, 10000.0), ElementsAre(2));
}

}  // namespace
}  // namespace sim
