#include "sim/base/points.h"

#include <gtest/gtest.h>

namespace sim {
namespace {

TEST(SceneFrame, MapAndSceneAreInverse) {
  const SceneFrame frame{"", "", {585'632.974, 4'512'388.313, 12.0}, Angle()};
  const MapPoint p{585'700.25, 4'512'300.5, 3.25};
  EXPECT_EQ(frame.map_from_scene(frame.scene_from_map(p)), p);
}

TEST(SceneFrame, AzimuthIsClockwiseFromTrueNorth) {
  SceneFrame frame;
  EXPECT_NEAR(frame.true_azimuth({0, 0, 0}, {0, 10, 0}).degrees(), 0.0, 1e-12);
  EXPECT_NEAR(frame.true_azimuth({0, 0, 0}, {10, 0, 0}).degrees(), 90.0, 1e-12);
  EXPECT_NEAR(frame.true_azimuth({0, 0, 0}, {-10, 0, 0}).degrees(), 270.0, 1e-12);
  // Grid north 2 degrees clockwise of true north: along the grid's y axis one looks at 2 degrees.
  frame.convergence = Angle::degrees(2.0);
  EXPECT_NEAR(frame.true_azimuth({0, 0, 0}, {0, 10, 0}).degrees(), 2.0, 1e-12);
  EXPECT_NEAR(frame.true_azimuth({0, 0, 0}, frame.direction(Angle::degrees(123.0), {})).degrees(),
              123.0, 1e-12);
}

}  // namespace
}  // namespace sim
