// Edges in series and upright screens against integrals taken the slow way and published figures.
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <limits>

#include "sim/loss/edge_chain.h"
#include "sim/loss/fresnel_integrals.h"
#include "sim/loss/knife_edge.h"
#include "sim/loss/screen_blockage.h"
#include "sim/loss/two_edges.h"
#include "sim/loss/upright_screen.h"

namespace sim {
namespace {

using Complex = std::complex<double>;
constexpr Frequency band = Frequency::ghz(28.0);
constexpr double infinite = std::numeric_limits<double>::infinity();

double loss_db(Complex field) { return -10.0 * std::log10(std::norm(field)); }

/// Kirchhoff's double integral itself, on a path turned by -45 degrees in both variables, where it
/// decays: Simpson on 800 x 800 steps.
Complex field_by_quadrature(const TwoEdges& e) {
  const double k = std::numbers::pi / band.wavelength_m();
  const double m11 = k * (1 / e.a_m + 1 / e.b_m), m22 = k * (1 / e.c_m + 1 / e.b_m),
               m12 = -k / e.b_m;
  const Complex turn = std::polar(1.0, -std::numbers::pi / 4), j(0, 1);
  const double scale = 1.0 / std::sqrt(std::min(m11, m22) + m12 * m12 / std::max(m11, m22) * -1.0);
  const int n = 800;
  const double reach = 7.0 * scale, step = reach / n;
  Complex sum = 0.0;
  for (int p = 0; p <= n; ++p) {
    for (int q = 0; q <= n; ++q) {
      const double w = (p == 0 || p == n ? 1
                        : p % 2 == 1     ? 4
                                         : 2) *
                       (q == 0 || q == n ? 1
                        : q % 2 == 1     ? 4
                                         : 2);
      const Complex y1 = e.h1_m + p * step * turn, y2 = e.h2_m + q * step * turn;
      sum += w * std::exp(-j * (m11 * y1 * y1 + 2.0 * m12 * y1 * y2 + m22 * y2 * y2));
    }
  }
  sum *= turn * turn * step * step / 9.0;
  // Without edges the integral is pi / (j sqrt(m11 m22 - m12^2)).
  return sum * j * std::sqrt(m11 * m22 - m12 * m12) / std::numbers::pi;
}

TEST(TwoEdgesField, IsTheDoubleIntegral) {
  for (const TwoEdges e : {TwoEdges{40, 20, 40, 1.0, 1.0}, TwoEdges{40, 20, 40, 1.2, 1.0},
                           TwoEdges{10, 50, 30, 0.3, 0.5}, TwoEdges{25, 25, 25, 0.2, -0.1},
                           TwoEdges{60, 8, 12, 0.05, 0.4}}) {
    EXPECT_NEAR(loss_db(two_edges_field(band, e)), loss_db(field_by_quadrature(e)), 0.01)
        << e.a_m << ' ' << e.b_m << ' ' << e.h1_m << ' ' << e.h2_m;
  }
}

TEST(TwoEdgesField, LeavesTheHigherOfTwoEdgesThatMeet) {
  const TwoEdges e{40.0, 1e-6, 60.0, 0.4, 0.7};
  EXPECT_NEAR(loss_db(two_edges_field(band, e)),
              knife_edge_loss_exact(fresnel_parameter(band, 40, 60, 0.7)).value, 0.01);
}

TEST(TwoEdgesField, AnEdgeFarBelowVanishes) {
  for (const double h : {-0.3, 0.0, 0.8}) {
    const double alone = knife_edge_loss_exact(fresnel_parameter(band, 30, 70, h)).value;
    EXPECT_NEAR(loss_db(two_edges_field(band, {30, 40, 30, h, -80.0})), alone, 0.02);
    EXPECT_NEAR(loss_db(two_edges_field(band, {30, 40, 30, -80.0, 0.0})),
                knife_edge_loss_exact(0.0).value, 0.02);
  }
}

TEST(TwoEdgesField, IsTheSameFromEitherEnd) {
  const Complex there = two_edges_field(band, {37, 21, 42, 0.5, 0.8});
  const Complex back = two_edges_field(band, {42, 21, 37, 0.8, 0.5});
  EXPECT_LT(std::abs(there - back), 1e-9 * std::abs(there));
}

TEST(TwoEdgesField, StaysNearThePublishedConstructions) {
  // P.526 section 4.3 on its own two cases: 33.41 dB (edges alike) and 34.59 dB (one dominates);
  // the constructions are approximations of a decibel or so.
  EXPECT_NEAR(loss_db(two_edges_field(band, {40, 20, 40, 1.0, 1.0})), 33.412, 1.0);
  EXPECT_NEAR(loss_db(two_edges_field(band, {40, 20, 40, 1.2, 1.0})), 34.585, 1.5);
}

TEST(EdgeChain, OneEdgeIsTheKnifeEdge) {
  const std::vector<ProfileEdge> edges{{.at_m = 50.0, .above_m = 1.0}};
  const EdgeChainLoss chain = edge_chain_loss(band, 100.0, edges);
  EXPECT_NEAR(chain.loss.value, 21.629, 0.005);  // P.526 4.1
  ASSERT_EQ(chain.shares.size(), 1U);
  EXPECT_EQ(chain.shares[0], chain.loss);
}

TEST(EdgeChain, ThreeAlikeCostMoreThanTwoAndTheSameFromBehind) {
  const auto at = [](double x, double h) { return ProfileEdge{.at_m = x, .above_m = h}; };
  const std::vector<ProfileEdge> two{at(30, 1), at(70, 1)}, three{at(30, 1), at(50, 1), at(70, 1)};
  const Db less = edge_chain_loss(band, 100, two).loss,
           more = edge_chain_loss(band, 100, three).loss;
  EXPECT_GT(more, less);
  EXPECT_LT(more, less + Db(12.0));  // a third edge on the line between the others: about 6 dB
  const std::vector<ProfileEdge> uneven{at(20, 0.4), at(55, 1.1), at(80, 0.5)};
  const std::vector<ProfileEdge> turned{at(20, 0.5), at(45, 1.1), at(80, 0.4)};
  EXPECT_NEAR(edge_chain_loss(band, 100, uneven).loss.value,
              edge_chain_loss(band, 100, turned).loss.value, 1e-9);
}

TEST(EdgeChain, SharesAddUp) {
  const std::vector<ProfileEdge> edges{{20, 0.4}, {55, 1.1}, {80, 0.5}};
  const EdgeChainLoss chain = edge_chain_loss(band, 100, edges);
  Db sum;
  for (const Db share : chain.shares) sum += share;
  EXPECT_NEAR(sum.value, chain.loss.value, 1e-9);
  EXPECT_EQ(chain.principal, 1U);
}

TEST(EdgeChain, TheSlopeOfAHillIsNoSecondEdge) {
  // A parabola of radius 400 m, sampled every 5 m: one crest decides, its slopes do not.
  std::vector<ProfileEdge> hill;
  for (double x = 20; x <= 180; x += 5) {
    hill.push_back({.at_m = x, .above_m = 1.0 - (x - 100) * (x - 100) / 800.0, .smooth = true});
  }
  EXPECT_EQ(deciding_edges(band, 200.0, hill).size(), 1U);
  // A second hill behind a valley is one.
  for (ProfileEdge& p : hill) {
    p.above_m = std::max(1.0 - (p.at_m - 60) * (p.at_m - 60) / 200.0,
                         1.0 - (p.at_m - 140) * (p.at_m - 140) / 200.0);
  }
  EXPECT_EQ(deciding_edges(band, 200.0, hill).size(), 2U);
}

TEST(EdgeChain, GrowsSteadilyAsAnEdgeRises) {
  double before = 0.0;
  for (double h = -1.0; h < 2.0; h += 0.01) {
    const std::vector<ProfileEdge> profile{{40, 0.5}, {70, h}};
    std::vector<ProfileEdge> chosen;
    for (const std::size_t i : deciding_edges(band, 100, profile)) chosen.push_back(profile[i]);
    const double loss = edge_chain_loss(band, 100, chosen).loss.value;
    if (h > -1.0) {
      EXPECT_LT(std::abs(loss - before), 1.0) << h;
      EXPECT_GT(loss, before - 0.6) << h;  // the exact field swings where an edge is just below
    }
    before = loss;
  }
}

UprightOutline endless_strip(double half_width_m, double at_m) {
  return {{half_width_m, at_m}, {half_width_m, at_m}, {infinite, at_m}, {infinite, at_m}};
}

TEST(UprightScreen, AtOnePointIsTheFieldOfStripAndHalfPlane) {
  // Strip: 1 - (what the Fresnel integrals take between its edges), closed form.
  const double v = fresnel_parameter(band, 95, 5, 0.1);
  const Complex strip = 1.0 - (1.0 - 2.0 * field_past_edge(v));
  EXPECT_NEAR(upright_screen_loss(band, 100, endless_strip(0.1, 95), 0.0).value, loss_db(strip),
              1e-3);
  UprightOutline ridge{{infinite, 50}, {infinite, 50}, {1.0, 50}, {infinite, 50}};
  EXPECT_NEAR(upright_screen_loss(band, 100, ridge, 0.0).value,
              knife_edge_loss_exact(fresnel_parameter(band, 50, 50, 1.0)).value, 2e-3);
  EXPECT_EQ(upright_screen_loss(band, 100, {}, 0.0).value, 0.0);
}

TEST(UprightScreen, AgreesWithTheBlockageModelOnItsOwnBlockers) {
  // TR 38.901 7.6.4.2, recommended vehicle 4.8 x 1.4 m: 12.524 dB; the model takes arc tangents for
  // Fresnel integrals.
  const auto on_ground = [](double half_width, double over, double under, double at) {
    return UprightOutline{{half_width, at}, {half_width, at}, {over, at}, {under, at}};
  };
  EXPECT_NEAR(upright_screen_loss(band, 50, on_ground(2.4, 0.4, 1.0, 25), 0).value, 12.524, 1.0);
  // Recommended human 0.3 x 1.7 m half-way of 10 m: the sides alone by 1 - 2 F_w, the head 0.2 m
  // over the path alone by 1/2 - F_h2.
  EXPECT_NEAR(upright_screen_loss(band, 10, on_ground(0.15, infinite, infinite, 5), 0).value,
              -20 * std::log10(1 - 2 * 0.33894), 1.0);
  EXPECT_NEAR(upright_screen_loss(band, 10, on_ground(infinite, 0.2, infinite, 5), 0).value,
              -20 * std::log10(0.5 - 0.37462), 1.0);
  // Together the model adds the edges in phase, 7.552 dB, which is the least there can be; the mean
  // lies between that and their sum in power.
  const double person = upright_screen_loss(band, 10, on_ground(0.15, 0.2, 1.5, 5), 0.1).value;
  EXPECT_GT(person, 7.552);
  EXPECT_LT(person, -10 * std::log10(2 * std::pow(0.5 - 0.33894, 2) + std::pow(0.5 - 0.37462, 2)));
}

TEST(UprightScreen, SwayTakesTheFringesAndLeavesTheEdge) {
  // A kiosk 1.2 m wide, 20 m from the receiver: fringes of lambda d2 / width = 0.18 m.
  const auto behind = [](double aside_m, double sway_m) {
    const UprightOutline kiosk{
        {0.6 - aside_m, 80}, {0.6 + aside_m, 80}, {infinite, 80}, {infinite, 80}};
    return upright_screen_loss(band, 100, kiosk, sway_m).value;
  };
  double swing_still = 0.0, swing_swayed = 0.0;
  for (double x = -0.2; x < 0.2; x += 0.02) {
    swing_still = std::max(swing_still, std::abs(behind(x + 0.02, 0.0) - behind(x, 0.0)));
    swing_swayed = std::max(swing_swayed, std::abs(behind(x + 0.02, 0.1) - behind(x, 0.1)));
  }
  EXPECT_GT(swing_still, 3.0);
  EXPECT_LT(swing_swayed, 1.0);
}

TEST(UprightScreen, AThinPoleMattersNearAnEndAndHardlyInTheMiddle) {
  // A lamp post of 0.2 m: several decibels 5 m from an end, less half-way down 200 m.
  const double near = upright_screen_loss(band, 200, endless_strip(0.1, 195), 0.1).value;
  const double middle = upright_screen_loss(band, 200, endless_strip(0.1, 100), 0.1).value;
  EXPECT_GT(near, 3.0);
  EXPECT_LT(middle, 2.0);
  EXPECT_LT(upright_screen_loss(band, 200, endless_strip(1e-4, 195), 0.1).value, 0.02);
}

}  // namespace
}  // namespace sim
