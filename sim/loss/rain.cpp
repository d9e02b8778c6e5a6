#include "sim/loss/rain.h"

#include <span>

namespace sim {
namespace {

struct Bell {
  double a, b, c;
};
struct Curve {
  std::span<const Bell> bells;
  double slope, offset;
};

constexpr Bell k_horizontal[] = {{-5.33980, -0.10008, 1.13098},
                                 {-0.35351, 1.26970, 0.45400},
                                 {-0.23789, 0.86036, 0.15354},
                                 {-0.94158, 0.64552, 0.16817}};
constexpr Bell k_vertical[] = {{-3.80595, 0.56934, 0.81061},
                               {-3.44965, -0.22911, 0.51059},
                               {-0.39902, 0.73042, 0.11899},
                               {0.50167, 1.07319, 0.27195}};
constexpr Bell alpha_horizontal[] = {{-0.14318, 1.82442, -0.55187},
                                     {0.29591, 0.77564, 0.19822},
                                     {0.32177, 0.63773, 0.13164},
                                     {-5.37610, -0.96230, 1.47828},
                                     {16.1721, -3.29980, 3.43990}};
constexpr Bell alpha_vertical[] = {{-0.07771, 2.33840, -0.76284},
                                   {0.56727, 0.95545, 0.54039},
                                   {-0.20238, 1.14520, 0.26809},
                                   {-48.2991, 0.791669, 0.116226},
                                   {48.5833, 0.791459, 0.116479}};

double value(const Curve& curve, double log_f) {
  double sum = curve.slope * log_f + curve.offset;
  for (const Bell& bell : curve.bells) {
    const double x = (log_f - bell.b) / bell.c;
    sum += bell.a * std::exp(-x * x);
  }
  return sum;
}

}  // namespace

RainCoefficients rain_coefficients(Frequency f, Angle polarization_tilt,
                                   Angle path_elevation) noexcept {
  const double log_f = std::log10(f.ghz());
  const double kh = std::pow(10.0, value({k_horizontal, -0.18961, 0.71147}, log_f));
  const double kv = std::pow(10.0, value({k_vertical, -0.16398, 0.63297}, log_f));
  const double ah = value({alpha_horizontal, 0.67849, -1.95537}, log_f);
  const double av = value({alpha_vertical, -0.053739, 0.83433}, log_f);
  const double cosine = std::cos(path_elevation.radians());
  const double turn = cosine * cosine * std::cos(2.0 * polarization_tilt.radians());
  const double k = 0.5 * (kh + kv + (kh - kv) * turn);
  return {.k = k, .alpha = (kh * ah + kv * av + (kh * ah - kv * av) * turn) / (2.0 * k)};
}

double rain_attenuation_db_per_km(Frequency f, double rate_mm_h, Angle polarization_tilt,
                                  Angle path_elevation) noexcept {
  if (!(rate_mm_h > 0.0)) return 0.0;
  const auto [k, alpha] = rain_coefficients(f, polarization_tilt, path_elevation);
  return k * std::pow(rate_mm_h, alpha);
}

}  // namespace sim
