#include "sim/loss/element_pattern.h"

#include <algorithm>

namespace sim {
double row_factor(int n, double offset) noexcept {
  const double x = 0.5 * std::numbers::pi * offset;  // half-wavelength spacing: k d / 2
  const double s = std::sin(x);
  if (std::abs(s) < 1e-9) return 1.0;
  const double ratio = std::sin(n * x) / (n * s);
  return ratio * ratio;
}

Db element_pattern_gain(Angle azimuth, Angle elevation) noexcept {
  constexpr double beamwidth_deg = 65.0, most_db = 30.0;
  const double phi = azimuth.wrapped().degrees(), theta = elevation.degrees();
  const double vertical =
      std::min(12.0 * (theta / beamwidth_deg) * (theta / beamwidth_deg), most_db);
  const double level = std::min(12.0 * (phi / beamwidth_deg) * (phi / beamwidth_deg), most_db);
  return Db(element_peak_dbi - std::min(vertical + level, most_db));
}

Db array_pattern_gain(Angle azimuth, Angle elevation, int rows, int cols) noexcept {
  const double across = std::cos(elevation.radians()) * std::sin(azimuth.radians());
  const double up = std::sin(elevation.radians());
  const double factor = row_factor(cols, across) * row_factor(rows, up);
  constexpr double floor_db = -60.0;  // a null is never perfect
  const double array_db = std::max(floor_db, 10.0 * std::log10(std::max(factor, 1e-12)));
  return element_pattern_gain(azimuth, elevation) +
         Db(10.0 * std::log10(static_cast<double>(rows * cols)) + array_db);
}

}  // namespace sim
