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

double table_peak_dbi(const AntennaTable& table) { return table.peak_dbi; }

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

WorldDirection world_direction(const Sector& sector, AntennaDirection direction) {
  const double el = direction.elevation.radians(), az = direction.azimuth.radians();
  const double right = std::cos(el) * std::sin(az), along = std::cos(el) * std::cos(az);
  const double above = std::sin(el);
  const double c = std::cos(sector.downtilt.radians()), s = std::sin(sector.downtilt.radians());
  const double ahead = c * along + s * above, up = c * above - s * along;
  double azimuth = (sector.azimuth + Angle::radians(std::atan2(right, ahead))).wrapped().degrees();
  if (azimuth < 0.0) azimuth += 360.0;
  return {.azimuth = Angle::degrees(azimuth),
          .elevation = Angle::radians(std::asin(std::clamp(up, -1.0, 1.0)))};
}

SectorGain gain_towards(const Sector& sector, Angle azimuth, Angle elevation,
                        const SectorBeams& beams) {
  const Db below_peak = sector.broadcast_gain.value_or(Db(0.0));
  const bool isotropic = !sector.table && sector.pattern == "isotropic";
  const AntennaDirection direction =
      isotropic ? AntennaDirection{} : antenna_direction(sector, azimuth, elevation);
  if (sector.table || isotropic) {
    const Db fixed =
        sector.table
            ? Db(std::min(0.0, table_gain_dbi(*sector.table, direction) - sector.table->peak_dbi))
            : Db(0.0);
    return {.data = fixed, .broadcast = fixed + below_peak, .others = fixed, .beam_points = {}};
  }
  const Db element =
      element_pattern_gain(direction.azimuth, direction.elevation) - Db(element_peak_dbi);
  if (sector.pattern != "3gpp-array") {
    // Beams of others stand elsewhere: on average a panel of n elements is n times weaker here.
    return {.data = element,
            .broadcast = element + below_peak,
            .others = element - Db::from_power_ratio(beams.data.elements()),
            .beam_points = {}};
  }
  const Codebook::Beam best = beams.data.best(direction);
  return {.data = element + best.gain,
          .broadcast = element + beams.broadcast.best(direction).gain + beams.broadcast_peak,
          .others = element + beams.data.mean_gain(direction),
          .beam = best.index,
          .beam_points = world_direction(sector, best.points)};
}

}  // namespace sim
