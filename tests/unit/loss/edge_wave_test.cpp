#include "sim/loss/edge_wave.h"

#include <gtest/gtest.h>

#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>
#include <complex>
#include <limits>
#include <numbers>

namespace {

using Complex = std::complex<double>;

// The integral itself, by Boost.Math's Gauss-Kronrod on the path t = s + u exp(-j pi/4), on which
// it decays; no pole lies between that path and the real axis.
Complex by_quadrature(double p, double s) {
  const Complex turned = std::polar(1.0, -0.25 * std::numbers::pi);
  const auto value = [&](double u) {
    const Complex t = s + u * turned;
    const Complex rho2 = p * p + t * t;
    return p / rho2 * std::exp(Complex(0.0, -0.5 * std::numbers::pi) * rho2) * turned;
  };
  return boost::math::quadrature::gauss_kronrod<double, 61>::integrate(value, 0.0, 9.0, 12, 1e-13);
}

TEST(EdgeWave, IsItsIntegralInEveryRegion) {
  for (const double p : {0.3, 1.0, 2.5, 4.4, 4.6, 6.0, 12.0, 40.0}) {
    for (const double s : {0.0, 0.2, 1.1, 3.0, 4.4, 4.6, 9.0, 30.0}) {
      const Complex expected = by_quadrature(p, s), found = sim::edge_wave(p, s);
      // Deep in the shadow only what is left of the wave counts.
      EXPECT_LT(std::abs(found - expected), 3e-8 * std::abs(expected) + 1e-13)
          << "p " << p << " s " << s << " found " << found << " expected " << expected;
      EXPECT_EQ(sim::edge_wave(-p, s), -found);
    }
  }
}

// Owen (1956): both parts of the line together are the field past a half plane; V(p, -s) + V(p, s)
// does not depend on s.
TEST(EdgeWave, BothPartsOfTheLineMakeTheWhole) {
  for (const double p : {0.7, 3.0, 5.0, 20.0}) {
    const Complex whole = 2.0 * sim::edge_wave(p, 0.0);
    for (const double s : {0.4, 2.0, 4.4, 4.6, 15.0}) {
      EXPECT_LT(std::abs(sim::edge_wave(p, s) + sim::edge_wave(p, -s) - whole),
                1e-8 * std::abs(whole));
    }
  }
}

// Found by the fuzzer: a corner 1e281 m off the path at 3e178 GHz.
TEST(EdgeWave, HasNoValueBeyondWhatADoubleHolds) {
  constexpr double huge = 1e200, endless = std::numeric_limits<double>::infinity();
  EXPECT_TRUE(std::isnan(sim::edge_wave(1.0, huge).real()));
  EXPECT_TRUE(std::isnan(sim::edge_wave(huge, 1.0).real()));
  EXPECT_TRUE(std::isnan(sim::edge_wave(1.0, endless - endless).real()));
  EXPECT_LT(std::abs(sim::edge_wave(1.0, 1e100)), 1e-90);
}

}  // namespace
