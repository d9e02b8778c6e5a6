// How the diffraction models behave, beyond single values.
#include <gtest/gtest.h>

#include <algorithm>

#include "sim/loss/bullington.h"
#include "sim/loss/finite_screen.h"
#include "sim/loss/fresnel_integrals.h"
#include "sim/loss/fresnel_zone.h"
#include "sim/loss/knife_edge.h"
#include "sim/loss/rounded_edge.h"
#include "sim/loss/screen_blockage.h"
#include "sim/loss/spherical_earth.h"
#include "sim/loss/two_edges.h"

namespace sim {
namespace {

constexpr Frequency band = Frequency::ghz(28.0);

TEST(Edges, ReciprocalInTheEnds) {
  // Swapping transmitter and receiver changes nothing in a reciprocal medium.
  EXPECT_DOUBLE_EQ(fresnel_zone_radius_m(band, 10, 90, 1), fresnel_zone_radius_m(band, 90, 10, 1));
  EXPECT_DOUBLE_EQ(fresnel_parameter(band, 10, 90, 1), fresnel_parameter(band, 90, 10, 1));
  EXPECT_DOUBLE_EQ(rounded_edge_loss(band, 10, 90, 1, 0.5).loss().value,
                   rounded_edge_loss(band, 90, 10, 1, 0.5).loss().value);
  EXPECT_DOUBLE_EQ(finite_screen_loss(band, 10, 90, 1, 0.3, 0.2).mean.value,
                   finite_screen_loss(band, 90, 10, 1, 0.2, 0.3).mean.value);
  const TwoEdges there{30, 20, 60, 1.3, 0.8}, back{60, 20, 30, 0.8, 1.3};
  EXPECT_NEAR(two_edges_equal_loss(band, there).loss.value,
              two_edges_equal_loss(band, back).loss.value, 1e-9);
  EXPECT_NEAR(two_edges_dominant_loss(band, there).loss.value,
              two_edges_dominant_loss(band, back).loss.value, 1e-9);
  EXPECT_NEAR(screen_blockage_loss(band, 50, 6, 1.5, {49, 0.3, 1.7, 0.1}).loss.value,
              screen_blockage_loss(band, 50, 1.5, 6, {1, 0.3, 1.7, -0.1}).loss.value, 1e-9);
}

TEST(Edges, TerrainIsReciprocal) {
  const TerrainProfile there{.d_km = {0, 1, 3, 4, 7}, .h_m = {10, 40, 25, 60, 5}};
  const TerrainProfile back{.d_km = {0, 3, 4, 6, 7}, .h_m = {5, 60, 25, 40, 10}};
  const auto one = delta_bullington_loss(band, there, 12, 3, 8500, true, false);
  const auto other = delta_bullington_loss(band, back, 3, 12, 8500, true, false);
  EXPECT_NEAR(one.loss.value, other.loss.value, 1e-9);
  EXPECT_NEAR(one.bullington.value, other.bullington.value, 1e-9);
  EXPECT_GT(one.bullington.value, 10.0);
}

TEST(Edges, DeeperShadowCostsMore) {
  double last = 0.0;
  for (double v = -0.77; v < 50.0; v += 0.01) {
    const double loss = knife_edge_loss(v).value;
    EXPECT_GE(loss, last) << v;
    last = loss;
  }
  // In shadow the exact integral rises without a ripple.
  last = 0.0;
  for (double v = 0.0; v < 50.0; v += 0.01) {
    const double loss = knife_edge_loss_exact(v).value;
    EXPECT_GE(loss, last) << v;
    last = loss;
  }
  EXPECT_GT(fresnel_parameter(Frequency::ghz(39), 50, 50, 1), fresnel_parameter(band, 50, 50, 1));
}

TEST(Edges, ApproximationStaysNearTheIntegral) {
  // [P.526] section 4.1 gives J(v) as an approximation for v > -0.78.
  for (double v = -0.78; v < 40.0; v += 0.003) {
    EXPECT_NEAR(knife_edge_loss(v).value, knife_edge_loss_exact(v).value, 0.13) << v;
  }
  // Below, the integral swings about 0 (Cornu's spiral): the field is 1.17 at most and 0.88 at
  // least, from memory.
  double most = 0.0, least = 2.0;
  for (double v = -20.0; v < -0.78; v += 0.003) {
    const double amplitude = std::pow(10.0, -knife_edge_loss_exact(v).value / 20.0);
    most = std::max(most, amplitude);
    least = std::min(least, amplitude);
  }
  EXPECT_NEAR(most, 1.17, 0.005);
  EXPECT_NEAR(least, 0.88, 0.005);
}

TEST(Edges, FresnelIntegralsMeetAtTheirSeam) {
  const auto below = fresnel_integrals(2.0 - 1e-14), above = fresnel_integrals(2.0 + 1e-14);
  EXPECT_NEAR(below.c, above.c, 1e-12);
  EXPECT_NEAR(below.s, above.s, 1e-12);
  // C(1) and S(1), Abramowitz and Stegun table 7.7 (from memory).
  EXPECT_NEAR(fresnel_integrals(1.0).c, 0.7798934, 1e-7);
  EXPECT_NEAR(fresnel_integrals(1.0).s, 0.4382591, 1e-7);
  EXPECT_NEAR(fresnel_integrals(1e6).c, 0.5, 1e-6);  // both end at one half
  EXPECT_NEAR(fresnel_integrals(-1e6).s, -0.5, 1e-6);
}

TEST(KnifeEdge, PowerIsTheLossWithoutALogarithm) {
  for (const double v : {-2.0, -0.78, -0.5, 0.0, 1.0, 2.4, 10.0}) {
    EXPECT_NEAR(-10.0 * std::log10(knife_edge_power(v)), knife_edge_loss(v).value, 1e-9) << v;
  }
}

TEST(Edges, SeamsOfThePublishedFormulas) {
  // J(v) ends at 0.004 dB where the rule takes over with 0.
  EXPECT_NEAR(knife_edge_loss(-0.78 + 1e-9).value, 0.0, 0.01);
  // T(m, n) itself drops by 6 + 20 log10 4 - 18 = 0.0412 dB at m n = 4 (formula from memory).
  const double radius_m = 1.0;
  const double per_metre = rounded_edge_loss(band, 100, 100, 1.0, radius_m).m *
                           rounded_edge_loss(band, 100, 100, 1.0, radius_m).n;
  const double h_m = 4.0 / per_metre;
  const auto curvature = [&](double h) {
    return rounded_edge_loss(band, 100, 100, h, radius_m).curvature.value;
  };
  EXPECT_NEAR(curvature(h_m * (1 - 1e-9)) - curvature(h_m * (1 + 1e-9)), 0.0412, 1e-4);
  // A curvature of nothing is a knife edge.
  EXPECT_EQ(rounded_edge_loss(band, 50, 50, 1, 0.0).curvature, Db(0.0));
  EXPECT_NEAR(rounded_edge_loss(band, 50, 50, 1, 1e-12).curvature.value, 0.0, 1e-3);
  // The dominant method's correction fades as the lesser edge sinks to the path.
  EXPECT_NEAR(two_edges_dominant_loss(band, {40, 20, 40, 1.0, 1e-9}).loss.value,
              two_edges_dominant_loss(band, {40, 20, 40, 1.0, -1e-9}).loss.value, 1e-6);
}

TEST(Edges, SmoothEarthIsContinuousAtItsHorizon) {
  const double radius_km = 8500.0, h_m = 30.0;
  const double horizon_km = 2.0 * std::sqrt(2.0 * radius_km * 0.001 * h_m);
  const auto loss = [&](double d_km) {
    return spherical_earth_loss(Frequency::ghz(1), d_km, h_m, h_m, radius_km, false, land_ground)
        .value;
  };
  EXPECT_NEAR(loss(horizon_km * (1 - 1e-9)), loss(horizon_km * (1 + 1e-9)), 1e-3);
  double last = 0.0;
  for (double d_km = 1.0; d_km < 200.0; d_km += 0.25) {
    EXPECT_GE(loss(d_km), last - 0.02) << d_km;  // height gain has a seam of 0.018 dB at B = 2
    last = loss(d_km);
  }
}

TEST(Edges, ScreensOfNoWidth) {
  // Nothing in the way costs nothing: in model B wherever it stands.
  for (const double offset_m : {-2.0, 0.0, 0.3}) {
    EXPECT_NEAR(screen_blockage_loss(band, 50, 6, 1.5, {20, 0.0, 3.0, offset_m}).loss.value, 0.0,
                1e-9);
  }
  // The three-edge form of [P.526] gives 0 dB for its minimum, while its mean keeps 3 dB: the two
  // half fields are added in power.
  const FiniteScreenLoss thin = finite_screen_loss(band, 50, 50, 50.0, 0.0, 0.0);
  EXPECT_NEAR(thin.minimum.value, 0.0, 0.05);
  EXPECT_NEAR(thin.mean.value, 3.0103, 0.05);
  // Three equal edges: minimum J - 20 log10 3, mean J - 10 log10 3.
  const double j = knife_edge_loss(fresnel_parameter(band, 50, 50, 1)).value;
  const FiniteScreenLoss equal = finite_screen_loss(band, 50, 50, 1, 1, 1);
  EXPECT_NEAR(equal.minimum.value, j - 9.542, 0.001);
  EXPECT_NEAR(equal.mean.value, j - 4.771, 0.001);
}

}  // namespace
}  // namespace sim
