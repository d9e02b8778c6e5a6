#include "sim/loss/fresnel_integrals.h"

#include <array>
#include <cmath>
#include <numbers>

namespace sim {
namespace {

using Complex = std::complex<double>;
constexpr double pi = std::numbers::pi;
constexpr double seam = 2.0;  // beyond, the power series loses digits

/// Sum of (i pi/2)^n x^(2n+1) / (n! (2n+1)), of which even n give C and odd n give S.
FresnelIntegrals by_power_series(double x) {
  const double step = 0.5 * pi * x * x;
  double term = x;  // (pi/2)^n x^(2n+1) / n!
  FresnelIntegrals sum{0.0, 0.0};
  for (int n = 0; n < 200; ++n) {
    const double part = term / (2 * n + 1);
    double& half = n % 2 == 0 ? sum.c : sum.s;
    half += n % 4 < 2 ? part : -part;
    if (part < 1e-17) break;
    term *= step / (n + 1);
  }
  return sum;
}

/// x exp(j pi/2 x^2) times the integral from x to infinity of exp(-j pi/2 t^2) dt, x >= seam: what
/// is left is slow. By erfc w = exp(-w^2) / sqrt(pi) / (w + (1/2)/(w + 1/(w + (3/2)/(w + ...)))).
Complex slow_part_by_fraction(double x) {
  constexpr int depth = 60;  // settled to the last digit from x = 2 on
  const Complex w =
      std::sqrt(0.5 * pi) * x * Complex(std::numbers::sqrt2, std::numbers::sqrt2) / 2.0;
  Complex tail = w;
  for (int n = depth; n > 0; --n) tail = w + 0.5 * n / tail;
  // integral = sqrt(pi) / (2 sqrt(j pi/2)) erfc(w), w = sqrt(j pi/2) x
  return x * x / (2.0 * w * tail);
}

/// The slow part over t = seam^2 / x^2 in (0, 1], where it is smooth.
class SlowPart {
 public:
  SlowPart() {
    std::array<Complex, terms> values;
    for (std::size_t k = 0; k < terms; ++k) {
      const double t = 0.5 * (1.0 + std::cos(pi * (static_cast<double>(k) + 0.5) / terms));
      values[k] = slow_part_by_fraction(seam / std::sqrt(t));
    }
    for (std::size_t n = 0; n < terms; ++n) {
      Complex sum = 0.0;
      for (std::size_t k = 0; k < terms; ++k) {
        sum += values[k] *
               std::cos(pi * static_cast<double>(n) * (static_cast<double>(k) + 0.5) / terms);
      }
      const double share = (n == 0 ? 1.0 : 2.0) / terms;
      real_[n] = share * sum.real();
      imaginary_[n] = share * sum.imag();
    }
  }
  Complex at(double t) const {  // Clenshaw
    const double x = 2.0 * t - 1.0;
    double r1 = 0.0, r2 = 0.0, i1 = 0.0, i2 = 0.0;
    for (std::size_t n = terms - 1; n > 0; --n) {
      const double r = 2.0 * x * r1 - r2 + real_[n], i = 2.0 * x * i1 - i2 + imaginary_[n];
      r2 = r1, r1 = r, i2 = i1, i1 = i;
    }
    return {x * r1 - r2 + real_[0], x * i1 - i2 + imaginary_[0]};
  }

 private:
  static constexpr std::size_t terms = 18;
  std::array<double, terms> real_{}, imaginary_{};
};

/// Integral from x >= seam to infinity of exp(-j pi/2 t^2) dt.
Complex rest(double x) {
  static const SlowPart slow;
  const double inverse = 1.0 / x;
  // x^2 is a whole number of quarter turns and a rest: keeps the phase of a large x.
  const double quarters = over_fours(x * x);
  const double c = std::cos(0.5 * pi * quarters), s = std::sin(0.5 * pi * quarters);
  return Complex(c, -s) * (inverse * slow.at(seam * seam * inverse * inverse));
}

}  // namespace

FresnelIntegrals fresnel_integrals(double x) noexcept {
  const double a = std::abs(x);
  FresnelIntegrals i{};
  if (a < seam) {
    i = by_power_series(a);
  } else {
    const Complex beyond = rest(a);
    i = {0.5 - beyond.real(), 0.5 + beyond.imag()};
  }
  return x < 0.0 ? FresnelIntegrals{-i.c, -i.s} : i;
}

std::complex<double> field_past_edge(double v) noexcept {
  constexpr Complex half{0.5, 0.5};
  if (v >= seam) return half * rest(v);
  if (v <= -seam) return 1.0 - half * rest(-v);
  const auto [c, s] = fresnel_integrals(v);
  return half * Complex(0.5 - c, s - 0.5);
}

}  // namespace sim
