#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "sim/gis/vector_file.h"

namespace sim {
namespace {

CoordinateList ring(std::initializer_list<Xy> corners) {
  CoordinateList list;
  for (const Xy c : corners) list.push_back({c.x, c.y, std::numeric_limits<double>::quiet_NaN()});
  return list;
}

/// Surveyor's formula, holes taken off.
double area(const PolygonSet& set) {
  double sum = 0.0;
  for (const PolygonShape& shape : set.polygons) {
    for (std::size_t r = 0; r < shape.rings.size(); ++r) {
      const CoordinateList& list = shape.rings[r];
      double twice = 0.0;
      for (std::size_t i = 0; i + 1 < list.size(); ++i) {
        twice += list[i].x * list[i + 1].y - list[i + 1].x * list[i].y;
      }
      sum += (r == 0 ? 0.5 : -0.5) * std::abs(twice);
    }
  }
  return sum;
}

TEST(PolygonRepair, SoundPolygonIsLeftAlone) {
  const PolygonSet square{{{{ring({{0, 0}, {4, 0}, {4, 4}, {0, 4}, {0, 0}}),
                             ring({{1, 1}, {1, 2}, {2, 2}, {2, 1}, {1, 1}})}}}};
  std::string reason = "old";
  const auto result = repaired(square, reason);
  ASSERT_TRUE(result);
  EXPECT_EQ(reason, "");
  EXPECT_EQ(result->polygons.at(0).rings.size(), 2U);
  EXPECT_DOUBLE_EQ(area(*result), 15.0);
}

TEST(PolygonRepair, BowTieBecomesItsTwoTriangles) {
  // Two triangles that meet at (1, 1), each of base 2 and height 1: area 1 + 1 by hand.
  const PolygonSet bow{{{{ring({{0, 0}, {2, 2}, {2, 0}, {0, 2}, {0, 0}})}}}};
  std::string reason;
  const auto result = repaired(bow, reason);
  ASSERT_TRUE(result);
  EXPECT_NE(reason.find("Self-intersection"), std::string::npos) << reason;
  EXPECT_EQ(result->polygons.size(), 2U);
  EXPECT_DOUBLE_EQ(area(*result), 2.0);
}

TEST(PolygonRepair, SpikeIsCutOff) {
  // A 4 x 4 square with a spike of no width to (9, 4): 16 by hand.
  const PolygonSet spiked{{{{ring({{0, 0}, {4, 0}, {4, 4}, {9, 4}, {4, 4}, {0, 4}, {0, 0}})}}}};
  std::string reason;
  const auto result = repaired(spiked, reason);
  ASSERT_TRUE(result);
  EXPECT_NE(reason, "");
  EXPECT_DOUBLE_EQ(area(*result), 16.0);
}

TEST(PolygonRepair, OverlappingPartsCountOnce) {
  // Two 2 x 2 squares that overlap by 1 x 2: union 6 by hand.
  const PolygonSet parts{{{{ring({{0, 0}, {2, 0}, {2, 2}, {0, 2}, {0, 0}})}},
                          {{ring({{1, 0}, {3, 0}, {3, 2}, {1, 2}, {1, 0}})}}}};
  std::string reason;
  const auto result = repaired(parts, reason);
  ASSERT_TRUE(result);
  EXPECT_NE(reason, "");
  EXPECT_DOUBLE_EQ(area(*result), 6.0);
}

TEST(PolygonRepair, NothingIsLeftOfALine) {
  std::string reason;
  EXPECT_FALSE(repaired({{{{ring({{0, 0}, {5, 0}, {0, 0}, {0, 0}})}}}}, reason));
  EXPECT_NE(reason, "");
  EXPECT_FALSE(repaired({{{{ring({{1, 1}, {1, 1}, {1, 1}, {1, 1}})}}}}, reason));
}

}  // namespace
}  // namespace sim
