#include "sim/link/antenna.h"

#include <algorithm>
#include <cmath>

#include "sim/loss/element_pattern.h"

namespace sim {
namespace {

/// Index of the axis value at or below v, and the share of the way to the next.
std::pair<std::size_t, double> place_on(const std::vector<double>& axis, double v) {
  if (axis.size() < 2 || v <= axis.front()) return {0, 0.0};
  if (v >= axis.back()) return {axis.size() - 2, 1.0};
  const auto above = std::upper_bound(axis.begin(), axis.end(), v);
  const auto i = static_cast<std::size_t>(above - axis.begin()) - 1;
  return {i, (v - axis[i]) / (axis[i + 1] - axis[i])};
}

double table_gain_dbi(const AntennaTable& table, AntennaDirection direction) {
  const auto [c, u] = place_on(table.azimuths_deg, direction.azimuth.wrapped().degrees());
  const auto [r, v] = place_on(table.elevations_deg, direction.elevation.degrees());
  const std::size_t rows = table.elevations_deg.size();
  const auto at = [&](std::size_t col, std::size_t row) {
    return table
        .points[std::min(col, table.azimuths_deg.size() - 1) * rows + std::min(row, rows - 1)]
        .gain_dbi;
  };
  return (1 - u) * ((1 - v) * at(c, r) + v * at(c, r + 1)) +
         u * ((1 - v) * at(c + 1, r) + v * at(c + 1, r + 1));
}

}  // namespace

double table_peak_dbi(const AntennaTable& table) {
  double peak = -1e300;
  for (const AntennaTable::Row& row : table.points) peak = std::max(peak, row.gain_dbi);
  return peak;
}

AntennaDirection antenna_direction(const Sector& sector, Angle azimuth, Angle elevation) {
  const double relative = (azimuth - sector.azimuth).radians();
  // Right, ahead, up in a level frame that looks along the sector's azimuth …
  const double right = std::cos(elevation.radians()) * std::sin(relative);
  const double ahead = std::cos(elevation.radians()) * std::cos(relative);
  const double up = std::sin(elevation.radians());
  // … and tilted down about the axis to the right.
  const double c = std::cos(sector.downtilt.radians()), s = std::sin(sector.downtilt.radians());
  const double along = c * ahead - s * up, above = s * ahead + c * up;
  return {.azimuth = Angle::radians(std::atan2(right, along)),
          .elevation = Angle::radians(std::asin(std::clamp(above, -1.0, 1.0)))};
}

Db relative_gain(const Sector& sector, Angle azimuth, Angle elevation, const Defaults& defaults) {
  const AntennaDirection direction = antenna_direction(sector, azimuth, elevation);
  if (sector.table) {
    return Db(
        std::min(0.0, table_gain_dbi(*sector.table, direction) - table_peak_dbi(*sector.table)));
  }
  if (sector.pattern == "isotropic") return Db(0.0);
  if (sector.pattern == "3gpp-array") {
    const int rows = static_cast<int>(defaults("array_rows")),
              cols = static_cast<int>(defaults("array_cols"));
    return array_pattern_gain(direction.azimuth, direction.elevation, rows, cols) -
           array_pattern_gain(Angle(), Angle(), rows, cols);
  }
  return element_pattern_gain(direction.azimuth, direction.elevation) - Db(element_peak_dbi);
}

}  // namespace sim
