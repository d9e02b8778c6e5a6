// A scan made by hand is taken apart into what it was made of.
#include "sim/scene/point_cloud.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/town.h"

namespace sim {
namespace {

void add(std::vector<CloudPoint>& points, double x, double y, double z) {
  points.push_back({{x, y, z}, z});
}

TEST(PointCloud, ANarrowColumnIsAPole) {
  std::vector<CloudPoint> points;
  std::uint64_t state = 1;
  for (double z = 0.1; z < 7.0; z += 0.2) {
    const double a = 6.28 * test::next_number(state);
    add(points, 10.0 + 0.1 * std::cos(a), 20.0 + 0.1 * std::sin(a), z);
  }
  const CloudParts parts = segment_cloud(points, 0.5);
  ASSERT_EQ(parts.poles.size(), 1U);
  EXPECT_NEAR(parts.poles[0].x_m, 10.0, 0.1);
  EXPECT_NEAR(parts.poles[0].y_m, 20.0, 0.1);
  EXPECT_NEAR(parts.poles[0].height_m, 7.0, 0.3);
  EXPECT_NEAR(parts.poles[0].diameter_m, 0.2, 0.1);
  EXPECT_TRUE(parts.crowns.empty());
}

TEST(PointCloud, AFilledBodyOffTheGroundIsACrown) {
  std::vector<CloudPoint> points;
  std::uint64_t state = 2;
  while (points.size() < 1500) {
    const double x = 6.0 * test::next_number(state) - 3.0, y = 6.0 * test::next_number(state) - 3.0,
                 z = 5.0 * test::next_number(state) - 2.5;
    if (x * x / 9.0 + y * y / 9.0 + z * z / 6.25 < 1.0) add(points, 40.0 + x, y, 6.0 + z);
  }
  const CloudParts parts = segment_cloud(points, 0.5);
  ASSERT_EQ(parts.crowns.size(), 1U);
  const CloudCrown& crown = parts.crowns[0];
  EXPECT_NEAR(crown.x_m, 40.0, 0.3);
  EXPECT_NEAR(crown.y_m, 0.0, 0.3);
  EXPECT_NEAR(crown.radius_m, 3.0, 0.6);
  EXPECT_NEAR(crown.top_m, 8.5, 0.5);
  EXPECT_GT(crown.base_m, 3.4);
  EXPECT_TRUE(parts.voxels.empty());
}

TEST(PointCloud, ARoofSeenFromAboveBlocksAsVoxels) {
  std::vector<CloudPoint> points;
  for (double x = 0.0; x < 10.0; x += 0.2) {
    for (double y = 0.0; y < 8.0; y += 0.2) add(points, x, y, 6.0 + 0.3 * std::abs(y - 4.0));
  }
  const CloudParts parts = segment_cloud(points, 0.5);
  EXPECT_TRUE(parts.poles.empty());
  EXPECT_TRUE(parts.crowns.empty());
  EXPECT_GT(parts.voxels.size(), 300U);
}

TEST(PointCloud, TheGroundIsNoObstacle) {
  std::vector<CloudPoint> points;
  for (double x = 0.0; x < 20.0; x += 0.5) add(points, x, x, 0.2);
  const CloudParts parts = segment_cloud(points, 0.5);
  EXPECT_TRUE(parts.poles.empty());
  EXPECT_TRUE(parts.voxels.empty());
}

}  // namespace
}  // namespace sim
