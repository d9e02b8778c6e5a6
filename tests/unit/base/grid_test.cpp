#include "sim/base/grid.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace sim {
namespace {

HeightGrid plane(double a, double b, double c) {
  HeightGrid grid{{100.0, 200.0, 2.0, 2.0, 5, 4}, {}};
  grid.values.resize(grid.spec.size());
  for (int row = 0; row < 4; ++row) {
    for (int col = 0; col < 5; ++col) {
      grid.values[grid.spec.index(col, row)] =
          static_cast<float>(a + b * grid.spec.center_x_m(col) + c * grid.spec.center_y_m(row));
    }
  }
  return grid;
}

TEST(HeightGrid, ReproducesAPlane) {
  const HeightGrid grid = plane(3.0, 0.5, -0.25);
  for (const auto& [x, y] : {std::pair{101.0, 199.0}, {103.3, 196.7}, {108.9, 193.1}}) {
    EXPECT_NEAR(grid.sample(x, y), 3.0 + 0.5 * x - 0.25 * y, 1e-5);
  }
}

TEST(HeightGrid, NoAnswerOutsideTheCentresOrBesideAHole) {
  HeightGrid grid = plane(0.0, 1.0, 1.0);
  EXPECT_TRUE(std::isnan(grid.sample(100.5, 195.0)));  // within the cell, beyond its centre
  EXPECT_TRUE(std::isnan(grid.sample(105.0, 201.0)));
  EXPECT_TRUE(std::isnan(grid.sample(std::nan(""), 195.0)));
  grid.values[grid.spec.index(2, 1)] = std::numeric_limits<float>::quiet_NaN();
  EXPECT_TRUE(std::isnan(grid.sample(104.9, 196.9)));
  EXPECT_FALSE(std::isnan(grid.sample(101.5, 193.5)));
}

TEST(HeightGrid, FoldsAlongTheSouthWestToNorthEastDiagonal) {
  HeightGrid grid{{0.0, 2.0, 1.0, 1.0, 2, 2}, {0.0F, 0.0F, 0.0F, 0.0F}};
  grid.values[grid.spec.index(1, 1)] = 1.0F;     // south-east corner, off the diagonal
  EXPECT_DOUBLE_EQ(grid.sample(1.0, 1.0), 0.0);  // on the diagonal
  EXPECT_DOUBLE_EQ(grid.sample(1.25, 0.75), 0.5);
  EXPECT_DOUBLE_EQ(grid.sample(0.75, 1.25), 0.0);  // the other triangle
}

}  // namespace
}  // namespace sim
