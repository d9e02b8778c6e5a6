// Streets by bounds, corners, measured fits, and what surrounds them: limits, continuity, and where
// a published formula itself jumps.
#include <gtest/gtest.h>

#include <cmath>

#include "sim/loss/corner_loss.h"
#include "sim/loss/effective_earth.h"
#include "sim/loss/foliage.h"
#include "sim/loss/formula_book.h"
#include "sim/loss/gas.h"
#include "sim/loss/measured_street.h"
#include "sim/loss/oxygen_table.h"
#include "sim/loss/street_bounds.h"
#include "sim/loss/street_general.h"

namespace sim {
namespace {

constexpr Frequency band = Frequency::ghz(28.0);

TEST(StreetBounds, LieInOrderAndMeetAtTheBreakpoint) {
  const Frequency f = Frequency::ghz(2.0);
  const double breakpoint_m = street_bounds(f, 1.0, 6.0, 1.5).breakpoint_m;
  const StreetBounds before = street_bounds(f, breakpoint_m * (1.0 - 1e-9), 6.0, 1.5);
  const StreetBounds after = street_bounds(f, breakpoint_m * (1.0 + 1e-9), 6.0, 1.5);
  EXPECT_NEAR(before.lower.value, after.lower.value, 1e-6);
  EXPECT_NEAR(before.upper.value, after.upper.value, 1e-6);
  EXPECT_NEAR(before.median.value, after.median.value, 1e-6);
  for (double d_m = 5.0; d_m < 5000.0; d_m *= 1.3) {
    const StreetBounds bounds = street_bounds(f, d_m, 6.0, 1.5);
    EXPECT_LT(bounds.lower, bounds.median) << d_m;
    EXPECT_LT(bounds.median, bounds.upper) << d_m;
    const StreetBounds back = street_bounds(f, d_m, 1.5, 6.0);
    EXPECT_DOUBLE_EQ(back.median.value, bounds.median.value) << "reciprocity";
  }
}

TEST(CornerLoss, BeginsAtNothingAndGrowsIntoTheSideStreet) {
  for (const auto kind : {CornerKind::urban, CornerKind::residential}) {
    EXPECT_EQ(corner_loss(50, 0.0, 15, kind).total().value, 0.0);
    EXPECT_EQ(corner_loss(50, 8.5, 15, kind).total().value, 0.0);
    EXPECT_NEAR(corner_loss(50, 8.5 + 1e-9, 15, kind).total().value, 0.0, 1e-6);
    double last = 0.0;
    for (double x2_m = 8.6; x2_m < 500.0; x2_m += 0.5) {
      const double here = corner_loss(50, x2_m, 15, kind).total().value;
      EXPECT_GT(here, last) << x2_m;
      last = here;
    }
    // The formula jumps where its last part begins: 60 log10(88.5 / 87.5), by hand 0.296 dB.
    EXPECT_NEAR(corner_loss(50, 38.5 + 1e-9, 15, kind).total().value -
                    corner_loss(50, 38.5, 15, kind).total().value,
                0.296, 0.0005);
  }
}

TEST(StreetGeneral, AboveTheRoofs) {
  // By hand from the printed coefficients of [P.1411] Table 8, log10 28 = 1.447158:
  // 45.8 + 28.6 + 19.6 * 1.447158, and 131.7 - 6.27 + 23.0 * 1.447158.
  EXPECT_NEAR(street_general_loss(band, 100.0, StreetRow::above_roof_los).loss.value, 102.7643,
              0.0001);
  EXPECT_NEAR(street_general_loss(band, 1000.0, StreetRow::above_roof_nlos_high_rise).loss.value,
              158.7146, 0.0001);
}

TEST(MeasuredStreet, AgreesWithItselfAcrossSources) {
  // The fit of 2014 and free space over the first metre are the same in sight: n = 2, 61.4 dB.
  EXPECT_NEAR(measured_street_loss(band, 1.0, MeasuredForm::nyc_2014_los).loss.value,
              measured_street_loss(band, 1.0, MeasuredForm::ci_los).loss.value, 0.01);
  for (double d_m = 2.0; d_m < 300.0; d_m *= 1.5) {
    EXPECT_GT(measured_street_loss(band, d_m, MeasuredForm::ci_nlos).loss,
              measured_street_loss(band, d_m, MeasuredForm::ci_los).loss);
    EXPECT_GT(measured_street_loss(band, d_m, MeasuredForm::nyc_2015_nlos).loss,
              measured_street_loss(band, d_m, MeasuredForm::nyc_2015_los).loss);
  }
}

TEST(MeasuredStreet, ProbabilitiesAreProbabilities) {
  EXPECT_EQ(measured_sight(0.0).outage, 0.0);
  EXPECT_EQ(measured_sight(0.0).los, 1.0);
  // By hand: exp(-30 / 67.1) = 0.63948; at 200 m (1 - 0.76931) exp(-2.98063) = 0.01171.
  EXPECT_NEAR(measured_sight(30.0).los, 0.63948, 0.00001);
  EXPECT_NEAR(measured_sight(200.0).los, 0.01171, 0.00001);
  for (double d_m = 1.0; d_m < 1e5; d_m *= 1.2) {
    const MeasuredSight sight = measured_sight(d_m);
    EXPECT_GE(sight.outage, 0.0);
    EXPECT_GE(sight.los, 0.0);
    EXPECT_LE(sight.outage + sight.los, 1.0);
  }
}

TEST(OxygenTable, IsLinearBetweenItsRowsAndNearTheLines) {
  const auto table = [](double f_ghz) { return oxygen_table_db_per_km(Frequency::ghz(f_ghz)); };
  EXPECT_NEAR(table(52.5), 0.5, 1e-12);
  EXPECT_NEAR(table(62.5), 12.4, 1e-12);
  EXPECT_NEAR(table(67.25), 0.75, 1e-12);
  EXPECT_EQ(table(51.999), 0.0);
  EXPECT_EQ(table(1e6), 0.0);
  // Where it is not zero it stays within 1 dB/km of the line-by-line sum.
  for (const double f_ghz : {54.0, 56.0, 58.0, 60.0, 62.0, 63.0, 64.0, 66.0}) {
    EXPECT_NEAR(table(f_ghz),
                gas_attenuation(Frequency::ghz(f_ghz), 1013.25, 288.15, 7.5).oxygen_db_per_km, 1.0)
        << f_ghz;
  }
}

TEST(DualSlopeFoliage, BeginsWithItsFirstSlopeAndEndsWithItsLast) {
  for (const bool in_leaf : {true, false}) {
    const auto loss = [&](double d_m) {
      return dual_slope_foliage_loss(band, d_m, 2.0, in_leaf).value;
    };
    EXPECT_EQ(loss(0.0), 0.0);
    // R_0 = a f and R_inf = b / f^c, by hand at 28 GHz.
    EXPECT_NEAR(loss(1e-6) / 1e-6, in_leaf ? 5.6 : 4.48, 0.001);
    EXPECT_NEAR(loss(1001.0) - loss(1000.0), in_leaf ? 0.15563 : 0.15248, 0.0001);
  }
}

TEST(SlantFoliage, GrowsWithEverything) {
  const auto loss = [](double f_ghz, double d_m, double elevation_deg) {
    return slant_foliage_loss(Frequency::ghz(f_ghz), d_m, Angle::degrees(elevation_deg));
  };
  EXPECT_LT(loss(28, 5, 10), loss(39, 5, 10));
  EXPECT_LT(loss(28, 5, 10), loss(28, 6, 10));
  EXPECT_LT(loss(28, 5, 10), loss(28, 5, 11));
}

TEST(EffectiveEarth, KnowsWhereRaysAreTrapped) {
  EXPECT_EQ(effective_earth_factor(0.0), 1.0);
  EXPECT_LT(effective_earth_factor(40.0), 1.0);
  const BookModel& model = *find_model("effective_earth");
  EXPECT_TRUE(ask(model, {{"gradient_n_per_km", "-156"}}).in_range());
  EXPECT_FALSE(ask(model, {{"gradient_n_per_km", "-200"}}).in_range());
  const BookAnswer level = ask(model, {{"gradient_n_per_km", "-157"}});
  EXPECT_FALSE(level.in_range());
  EXPECT_TRUE(std::isnan(level.values[0]));
}

TEST(RadioHorizon, IsTheHeightItself) {
  EXPECT_EQ(radio_horizon_km(0.0, 4.0 / 3.0, 6371.0), 0.0);
  // The horizon's tangent point lies on the surface: the bulge over d is the height again.
  const double d_km = radio_horizon_km(10.0, 4.0 / 3.0, 6371.0);
  EXPECT_NEAR(1000.0 * d_km * d_km / (2.0 * 4.0 / 3.0 * 6371.0), 10.0, 1e-9);
}

}  // namespace
}  // namespace sim
