#include "sim/loss/upright_screen.h"

#include <algorithm>
#include <cmath>

#include "sim/loss/fresnel_integrals.h"

namespace sim {
namespace {

using Complex = std::complex<double>;

constexpr double nearest_end_m = 1e-3;  // an edge is held off the ends by this much

/// What passes a side: all of the direct wave where it is lit, and the wave its edge sends, whose
/// phase turns by `turn` radians as the receiver sways by one standard deviation outwards.
struct PastSide {
  double lit = 0.0;
  Complex wave;
  double turn = 0.0;
};

PastSide past(Frequency f, double length_m, const OutlineSide& side, double sway_m) {
  if (std::isinf(side.offset_m)) return {.lit = side.offset_m > 0.0 ? 0.0 : 1.0};
  const double v = edge_parameter(f, length_m, side.at_m, side.offset_m);
  const double d1 = std::max(side.at_m, nearest_end_m),
               d2 = std::max(length_m - side.at_m, nearest_end_m), h = side.offset_m;
  const double slope = h / std::sqrt(d1 * d1 + h * h) + h / std::sqrt(d2 * d2 + h * h);
  const double lit = v < 0.0 ? 1.0 : 0.0;
  return {.lit = lit,
          .wave = field_past_edge(v) - lit,
          .turn = 2.0 * std::numbers::pi / f.wavelength_m() * slope * d1 / (d1 + d2) * sway_m};
}

/// Mean field and mean power past two opposite sides.
struct MeanPast {
  Complex field;
  double power = 0.0;
};

double kept(double turn) { return std::exp(-0.5 * turn * turn); }

MeanPast mean_past(const PastSide& one, const PastSide& other) {
  const double lit = one.lit + other.lit;
  const Complex waves = one.wave * kept(one.turn) + other.wave * kept(other.turn);
  // What nears one side leaves the other.
  const Complex together = one.wave * std::conj(other.wave) * kept(one.turn + other.turn);
  return {.field = lit + waves,
          .power = lit * lit + 2.0 * lit * waves.real() + std::norm(one.wave) +
                   std::norm(other.wave) + 2.0 * together.real()};
}

}  // namespace

double edge_parameter(Frequency f, double length_m, double at_m, double offset_m) noexcept {
  const double d1 = std::max(at_m, nearest_end_m), d2 = std::max(length_m - at_m, nearest_end_m);
  const double h2 = offset_m * offset_m;
  // hypot(d, h) - d without loss of digits
  const double excess = h2 / (std::sqrt(d1 * d1 + h2) + d1) + h2 / (std::sqrt(d2 * d2 + h2) + d2);
  return std::copysign(2.0 * std::sqrt(excess / f.wavelength_m()), offset_m);
}

Db upright_screen_loss(Frequency f, double length_m, const UprightOutline& o,
                       double sway_m) noexcept {
  const auto side = [&](const OutlineSide& s) { return past(f, length_m, s, sway_m); };
  const MeanPast a = mean_past(side(o.left), side(o.right));
  const MeanPast b = mean_past(side(o.bottom), side(o.top));
  // u = 1 - (1 - A)(1 - B) = A + (1 - A) B
  const double power = a.power + (1.0 - 2.0 * a.field.real() + a.power) * b.power +
                       2.0 * ((std::conj(a.field) - a.power) * b.field).real();
  return Db(std::max(0.0, -10.0 * std::log10(std::max(power, 1e-12))));
}

}  // namespace sim
