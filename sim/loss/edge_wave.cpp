#include "sim/loss/edge_wave.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "sim/loss/fresnel_integrals.h"

namespace sim {
namespace {

using Complex = std::complex<double>;
constexpr Complex j{0.0, 1.0};
constexpr double pi = std::numbers::pi;
constexpr double reach = 4.5;  // beyond, ten terms of either series have 1e-9
constexpr std::size_t terms = 11;
constexpr Complex by_parts{0.0, -1.0 / pi};  // 1 / (j pi)

/// Integral from 0 to s of p (exp(-j pi/2 (p^2 + t^2)) - 1) / (p^2 + t^2) dt, 0 <= s <= reach:
/// smooth even where p is small. 8-point Gauss-Legendre on panels of equal phase.
Complex near_foot(double p, double s) {
  constexpr std::array<double, 4> node{0.1834346424956498, 0.5255324099163290, 0.7966664774136267,
                                       0.9602898564975363};
  constexpr std::array<double, 4> weight{0.3626837833783620, 0.3137066458778873, 0.2223810344533745,
                                         0.1012285362903763};
  constexpr double panel_turn = 2.5;  // radians
  const double p2 = p * p;
  const auto value = [p, p2](double t) -> Complex {
    const double rho2 = p2 + t * t;
    if (rho2 < 1e-30) return -j * 0.5 * pi * p;
    // exp(-jz) - 1 without loss of digits near 0
    const double half = 0.25 * pi * rho2, sine = std::sin(half), cosine = std::cos(half);
    return p / rho2 * Complex(-2.0 * sine * sine, -2.0 * sine * cosine);
  };
  Complex sum = 0.0;
  const int panels = std::max(1, static_cast<int>(std::ceil(0.5 * pi * s * s / panel_turn)));
  double from = 0.0;
  for (int k = 1; k <= panels; ++k) {
    const double to = s * std::sqrt(static_cast<double>(k) / panels);
    const double middle = 0.5 * (from + to), half = 0.5 * (to - from);
    for (std::size_t i = 0; i < node.size(); ++i) {
      sum += weight[i] * half * (value(middle - half * node[i]) + value(middle + half * node[i]));
    }
    from = to;
  }
  return sum;
}

/// V(p, s) for s >= reach: by parts in t = s^2 / 2, with h(t) = p / ((p^2 + 2t) sqrt(2t)); the n-th
/// derivative of h by Leibniz, of its two factors' derivatives. As many terms as still count.
Complex far_tail(double p, double s) {
  const double a = 1.0 / (p * p + s * s), b = 1.0 / (s * s);
  std::array<double, 10> left{}, right{};  // 2^k k! a^(k+1) and (2k-1)!! b^k
  left[0] = a;
  right[0] = 1.0;
  Complex sum = 0.0, power = by_parts;
  for (std::size_t n = 0; n < left.size(); ++n) {
    const auto order = static_cast<double>(n);
    if (n > 0) {
      left[n] = 2.0 * order * a * left[n - 1];
      right[n] = (2.0 * order - 1.0) * b * right[n - 1];
    }
    double derivative = 0.0, binomial = 1.0;
    for (std::size_t k = 0; k <= n; ++k) {
      const auto i = static_cast<double>(k);
      derivative += binomial * left[k] * right[n - k];
      binomial *= (order - i) / (i + 1.0);
    }
    const Complex term = (n % 2 == 1 ? -derivative : derivative) * power;
    sum += term;
    if (std::norm(term) < 1e-26 * std::norm(sum)) break;
    power *= by_parts;
  }
  const double quarters = over_fours(p * p + s * s);
  return p / s * sum * std::polar(1.0, -0.5 * pi * quarters);
}

/// V(p, s) for p >= reach, s >= 0: g = p / (p^2 + t^2) = g(0) + t h(t); the first part is Fresnel's
/// integral, the second by parts, and h' = g_1 is again a polynomial in x = p^2 / (p^2 + t^2):
/// g_n = sum of a_k x^k gives h = -(t / p^2) sum of A_i x^i with A_i = a_i + a_(i+1) + ...
Complex far_edge(double p, double s) {
  const double per_p2 = 1.0 / (p * p), x = 1.0 / (1.0 + s * s * per_p2);
  const Complex straight = field_past_edge(s) / Complex(0.5, 0.5);
  const Complex at_foot = std::polar(1.0, -0.5 * pi * s * s);
  std::array<double, terms + 2> above{};  // A_1 ...
  above[1] = 1.0 / p;
  Complex sum = 0.0, power = 1.0;
  for (std::size_t n = 0; n < terms; ++n) {
    double h = 0.0;
    for (std::size_t i = n + 1; i > 0; --i) h = x * (above[i] + h);
    const Complex term = power * (above[1] * straight - per_p2 * s * h * by_parts * at_foot);
    sum += term;
    if (std::norm(term) < 1e-24 * std::norm(sum)) break;
    power *= by_parts;
    for (std::size_t i = n + 2; i > 0; --i) {
      const auto k = static_cast<double>(i);
      above[i] = per_p2 * ((2.0 * k - 1.0) * above[i] - 2.0 * (k - 1.0) * above[i - 1]);
    }
    for (std::size_t i = n + 2; i > 1; --i) above[i - 1] += above[i];
  }
  return sum * std::polar(1.0, -0.5 * pi * over_fours(p * p));
}

Complex from_foot(double p, double foot) {
  if (foot >= reach) return far_tail(p, foot);
  if (std::abs(p) >= reach) return std::copysign(1.0, p) * far_edge(std::abs(p), foot);
  return std::copysign(pi, p) * field_past_edge(std::abs(p)) - near_foot(p, foot) -
         std::atan(foot / p);
}

}  // namespace

std::complex<double> edge_wave(double p, double s) noexcept {
  if (p == 0.0) return 0.0;
  if (!std::isfinite(p * p + s * s)) return std::numeric_limits<double>::quiet_NaN();
  const Complex beyond = from_foot(p, std::abs(s));
  return s >= 0.0 ? beyond : std::copysign(2.0 * pi, p) * field_past_edge(std::abs(p)) - beyond;
}

}  // namespace sim
