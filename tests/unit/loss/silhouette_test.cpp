// The field behind an outline against closed forms.
#include "sim/loss/silhouette.h"

#include <gtest/gtest.h>

#include <random>
#include <vector>

#include "sim/loss/fresnel_integrals.h"
#include "sim/loss/knife_edge.h"

namespace sim {
namespace {

using Complex = std::complex<double>;
using Outline = std::vector<OutlinePoint>;
constexpr Frequency band = Frequency::ghz(28.0);
constexpr double d1_m = 45.0, d2_m = 5.0;

double scale() { return fresnel_parameter(band, d1_m, d2_m, 1.0); }

Complex field(const Outline& outline) { return silhouette_field(band, d1_m, d2_m, outline); }

Outline rectangle(double left, double bottom, double right, double top) {
  return {{left, bottom}, {right, bottom}, {right, top}, {left, top}};
}

/// Integral of exp(-j pi/2 t^2) over [from, to] metres.
Complex fresnel_between(double from, double to) {
  const auto a = fresnel_integrals(scale() * from), b = fresnel_integrals(scale() * to);
  return {b.c - a.c, -(b.s - a.s)};
}

/// A rectangle by separation of the two axes.
Complex rectangle_closed_form(double left, double bottom, double right, double top) {
  return 1.0 - Complex(0, 0.5) * fresnel_between(left, right) * fresnel_between(bottom, top);
}

TEST(Silhouette, RectanglesSeparate) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> place(-3.0, 3.0), size(0.01, 8.0);
  for (int i = 0; i < 500; ++i) {
    const double left = place(random), bottom = place(random);
    const double right = left + size(random), top = bottom + size(random);
    const Complex expected = rectangle_closed_form(left, bottom, right, top);
    EXPECT_LT(std::abs(field(rectangle(left, bottom, right, top)) - expected), 2e-9)
        << left << ' ' << bottom << ' ' << right << ' ' << top;
  }
}

TEST(Silhouette, HalfPlaneIsTheKnifeEdge) {
  for (const double v : {-3.0, -0.5, 0.0, 0.7, 2.0, 9.0}) {
    const Complex u = field(rectangle(-1e6, -1e6, 1e6, v / scale()));
    EXPECT_NEAR(-20.0 * std::log10(std::abs(u)), knife_edge_loss_exact(v).value, 1e-4) << v;
  }
}

TEST(Silhouette, StripIsTwoEdges) {
  // An upright strip of endless height: 1 minus what the Fresnel integrals take between its sides.
  const Complex whole(1.0, -1.0);  // integral over the whole axis
  for (const auto& [left, right] :
       {std::pair{-0.1, 0.1}, std::pair{-0.05, 0.3}, std::pair{0.2, 0.4}}) {
    const Complex expected = 1.0 - Complex(0, 0.5) * whole * fresnel_between(left, right);
    EXPECT_LT(std::abs(field(rectangle(left, -1e6, right, 1e6)) - expected), 1e-6);
  }
}

TEST(Silhouette, DiscHasASpotBehindIt) {
  // On the axis behind a disc the field is as strong as without it, later by the way round its rim.
  constexpr double radius_m = 0.2;
  constexpr int corners = 4000;
  Outline disc;
  for (int i = 0; i < corners; ++i) {
    const double turn = 2.0 * std::numbers::pi * i / corners;
    disc.push_back({radius_m * std::cos(turn), radius_m * std::sin(turn)});
  }
  const double rho = scale() * radius_m;
  const Complex expected = std::polar(1.0, -0.5 * std::numbers::pi * rho * rho);
  EXPECT_LT(std::abs(field(disc) - expected), 1e-4);
}

TEST(Silhouette, ApertureIsTheComplement) {
  // Babinet: field through a window plus field behind a shutter of its shape is the free field. The
  // wall is a square of 2000 km with the window cut in along a slit of no width.
  const double e = 1e6;
  const Outline window = rectangle(-0.2, -0.1, 0.3, 0.4);
  Outline wall{{-e, -e}, {e, -e}, {e, e}, {-e, e}, {-e, -e}};
  wall.push_back(window[0]);
  for (const int i : {3, 2, 1, 0}) wall.push_back(window[static_cast<std::size_t>(i)]);
  EXPECT_LT(std::abs(field(wall) + field(window) - 1.0), 1e-5);
}

TEST(Silhouette, DoesNotDependOnHowItIsWalked) {
  const Outline person = {{-0.25, -1.5}, {0.25, -1.5}, {0.3, 0.1}, {0.1, 0.3}, {-0.2, 0.25}};
  const Complex u = field(person);
  Outline back(person.rbegin(), person.rend());
  EXPECT_LT(std::abs(field(back) - u), 1e-12);
  Outline shifted(person.begin() + 2, person.end());
  shifted.insert(shifted.end(), person.begin(), person.begin() + 2);
  EXPECT_LT(std::abs(field(shifted) - u), 1e-12);
  Outline mirrored = person;
  for (auto& corner : mirrored) corner.x_m = -corner.x_m;
  EXPECT_LT(std::abs(field(mirrored) - u), 1e-12);
  EXPECT_LT(std::abs(silhouette_field(band, d2_m, d1_m, person) - u), 1e-12);
  // An edge cut in two is the same edge, also through the direct path.
  const Outline cut = {{-0.25, -1.5}, {0.0, -1.5}, {0.25, -1.5},
                       {0.3, 0.1},    {0.1, 0.3},  {-0.2, 0.25}};
  EXPECT_LT(std::abs(field(cut) - u), 1e-9);
}

TEST(Silhouette, SeesThatAnOutlineCrossesItself) {
  EXPECT_FALSE(outline_crosses_itself(rectangle(-1, -1, 1, 1)));
  EXPECT_TRUE(outline_crosses_itself(Outline{{-1, -1}, {1, 1}, {1, -1}, {-1, 1}}));
  // A slit walked there and back only touches itself.
  EXPECT_FALSE(outline_crosses_itself(Outline{
      {-2, -2}, {2, -2}, {2, 2}, {-2, 2}, {-2, -2}, {-1, -1}, {-1, 1}, {1, 1}, {1, -1}, {-1, -1}}));
}

TEST(Silhouette, NothingCostsNothing) {
  EXPECT_LT(std::abs(field(rectangle(0.1, -1.0, 0.1, 1.0)) - 1.0), 1e-12);
  EXPECT_LT(std::abs(field(rectangle(-1e-6, -1e-6, 1e-6, 1e-6)) - 1.0), 1e-8);
  EXPECT_EQ(field({}), Complex(1.0));
}

}  // namespace
}  // namespace sim
