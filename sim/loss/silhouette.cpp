#include "sim/loss/silhouette.h"

#include <algorithm>
#include <array>

namespace sim {
namespace {

using Complex = std::complex<double>;
constexpr Complex j{0.0, 1.0};
constexpr double pi = std::numbers::pi;

/// e^(-jz) - 1 without loss of digits near 0.
Complex turned_less_one(double z) {
  const double half = std::sin(0.5 * z);
  return {-2.0 * half * half, -std::sin(z)};
}

/// Integral of p (exp(-j pi/2 (p^2 + s^2)) - 1) / (p^2 + s^2) ds over [from, to]: smooth, by
/// 8-point Gauss-Legendre on panels short against the oscillation there.
Complex near_foot(double p, double from, double to) {
  constexpr std::array<double, 4> node{0.1834346424956498, 0.5255324099163290, 0.7966664774136267,
                                       0.9602898564975363};
  constexpr std::array<double, 4> weight{0.3626837833783620, 0.3137066458778873, 0.2223810344533745,
                                         0.1012285362903763};
  constexpr double panel = 0.25;
  const auto value = [p](double s) -> Complex {
    const double rho2 = p * p + s * s;
    if (rho2 < 1e-30) return -j * 0.5 * pi * p;
    return p * turned_less_one(0.5 * pi * rho2) / rho2;
  };
  const int panels = std::max(1, static_cast<int>(std::ceil((to - from) / panel)));
  const double half = 0.5 * (to - from) / panels;
  Complex sum = 0.0;
  for (int k = 0; k < panels; ++k) {
    const double middle = from + (2 * k + 1) * half;
    for (std::size_t i = 0; i < node.size(); ++i) {
      sum += weight[i] * half * (value(middle - half * node[i]) + value(middle + half * node[i]));
    }
  }
  return sum;
}

/// Integral of p exp(-j pi/2 (p^2 + s^2)) / (p^2 + s^2) ds from s > 0 to infinity: by parts in
/// t = s^2 / 2, with h(t) = p / ((p^2 + 2t) sqrt(2t)); the n-th derivative of h by Leibniz.
Complex tail(double p, double s) {
  const double a = 1.0 / (p * p + s * s), b = 1.0 / (s * s);
  Complex sum = 0.0, power = 1.0 / (j * pi);
  for (int n = 0; n < 8; ++n) {
    double derivative = 0.0;
    double binomial = 1.0, left = a;  // C(n, k) and 2^k k! a^(k+1)
    for (int k = 0; k <= n; ++k) {
      double right = 1.0;  // (2(n-k)-1)!! b^(n-k)
      for (int i = 1; i <= n - k; ++i) right *= (2 * i - 1) * b;
      derivative += binomial * left * right;
      binomial *= static_cast<double>(n - k) / (k + 1);
      left *= 2.0 * (k + 1) * a;
    }
    if (n % 2 == 1) derivative = -derivative;
    sum += derivative * power;
    power /= j * pi;
  }
  const double phase = std::remainder(0.5 * pi * (p * p + s * s), 2.0 * pi);
  return p / s * sum * std::polar(1.0, -phase);
}

/// The contour integral along one edge, in Fresnel units.
Complex along_edge(double x1, double y1, double x2, double y2) {
  const double length = std::hypot(x2 - x1, y2 - y1);
  if (!(length > 0.0)) return 0.0;
  const double p = (x1 * y2 - x2 * y1) / length;  // origin to the left: positive
  if (p == 0.0) return 0.0;
  const double s1 = (x1 * (x2 - x1) + y1 * (y2 - y1)) / length, s2 = s1 + length;
  constexpr double reach = 6.0;  // beyond, the series has 1e-9
  Complex sum = 0.0;
  const double from = std::max(s1, -reach), to = std::min(s2, reach);
  if (from < to) sum += near_foot(p, from, to);
  const auto beyond = [&](double a, double b) {  // 0 < reach <= a < b, both on one side
    return tail(p, a) - tail(p, b) - (std::atan2(b, p) - std::atan2(a, p));
  };
  if (s2 > reach) sum += beyond(std::max(s1, reach), s2);
  if (s1 < -reach) sum += beyond(std::max(-s2, reach), -s1);
  return sum;
}

}  // namespace

std::complex<double> silhouette_field(Frequency f, double d1_m, double d2_m,
                                      std::span<const OutlinePoint> outline) noexcept {
  const double scale = std::sqrt(2.0 / f.wavelength_m() * (1.0 / d1_m + 1.0 / d2_m));
  Complex around = 0.0;
  double twice_area = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const OutlinePoint& a = outline[i];
    const OutlinePoint& b = outline[(i + 1) % outline.size()];
    around += along_edge(scale * a.x_m, scale * a.y_m, scale * b.x_m, scale * b.y_m);
    twice_area += a.x_m * b.y_m - b.x_m * a.y_m;
  }
  if (twice_area < 0.0) around = -around;
  return 1.0 + around / (2.0 * pi);
}

bool outline_crosses_itself(std::span<const OutlinePoint> outline) noexcept {
  const std::size_t n = outline.size();
  const auto side = [](const OutlinePoint& a, const OutlinePoint& b, const OutlinePoint& c) {
    return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m);
  };
  const auto apart = [](double one, double other) {
    return (one > 0.0 && other < 0.0) || (one < 0.0 && other > 0.0);
  };
  for (std::size_t i = 0; i < n; ++i) {
    const OutlinePoint &a = outline[i], &b = outline[(i + 1) % n];
    for (std::size_t k = i + 2; k < n; ++k) {
      const OutlinePoint &c = outline[k], &d = outline[(k + 1) % n];
      if (apart(side(a, b, c), side(a, b, d)) && apart(side(c, d, a), side(c, d, b))) return true;
    }
  }
  return false;
}

}  // namespace sim
