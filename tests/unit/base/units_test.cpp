#include "sim/base/units.h"

#include <gtest/gtest.h>

namespace sim {
namespace {

TEST(Units, WavelengthOf28Ghz) {
  // c / f with c of the BIPM SI brochure (exact).
  EXPECT_DOUBLE_EQ(Frequency::ghz(28.0).wavelength_m(), 299'792'458.0 / 28e9);
  EXPECT_DOUBLE_EQ(Frequency::mhz(28'000.0).ghz(), 28.0);
}

TEST(Units, LevelsAndRatios) {
  EXPECT_DOUBLE_EQ((Dbm(55.0) + Db(9.0)).value, 64.0);
  EXPECT_DOUBLE_EQ((Dbm(55.0) - Dbm(40.0)).value, 15.0);
  EXPECT_NEAR(Db::from_power_ratio(2.0).value, 3.0103, 1e-4);  // 10 log10 2
  EXPECT_NEAR(Db(-3.0).power_ratio(), 0.501187, 1e-6);         // 10^-0.3
}

TEST(Units, AnglesWrap) {
  EXPECT_NEAR(Angle::degrees(270.0).wrapped().degrees(), -90.0, 1e-12);
  EXPECT_NEAR(Angle::degrees(-180.0).wrapped().degrees(), 180.0, 1e-12);
  EXPECT_NEAR(Angle::degrees(540.0).wrapped().degrees(), 180.0, 1e-9);
}

}  // namespace
}  // namespace sim
