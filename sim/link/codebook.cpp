#include "sim/link/codebook.h"

#include <algorithm>
#include <cmath>

#include "sim/loss/element_pattern.h"

namespace sim {
namespace {

int last_beam(Angle widest, double step) {
  const double most = widest.degrees() >= 90.0 ? 1.0 - 1e-9 : std::sin(widest.radians());
  return static_cast<int>(most / step + 1e-9);
}

struct AxisBeam {
  int k = 0;
  double factor = 0.0;
};

/// The beam of one axis with the greatest factor. Within the steered range that is the nearest;
/// outside, side lobes decide and all are tried.
AxisBeam best_on_axis(int n, double at, double step, int last) {
  const int nearest = static_cast<int>(std::lround(at / step));
  if (std::abs(nearest) <= last) return {nearest, row_factor(n, at - nearest * step)};
  AxisBeam best{0, -1.0};
  for (int k = -last; k <= last; ++k) {
    const double factor = row_factor(n, at - k * step);
    if (factor > best.factor) best = {k, factor};
  }
  return best;
}

double mean_on_axis(int n, double at, double step, int last) {
  double sum = 0.0;
  for (int k = -last; k <= last; ++k) sum += row_factor(n, at - k * step);
  return sum / (2 * last + 1);
}

double across_of(AntennaDirection d) {
  return std::cos(d.elevation.radians()) * std::sin(d.azimuth.radians());
}
double up_of(AntennaDirection d) { return std::sin(d.elevation.radians()); }

}  // namespace

Codebook::Codebook(int rows, int cols, double oversampling, Angle widest_azimuth,
                   Angle widest_elevation, Db null_depth)
    : rows_(rows),
      cols_(cols),
      step_across_(2.0 / (oversampling * cols)),
      step_up_(2.0 / (oversampling * rows)),
      last_across_(last_beam(widest_azimuth, step_across_)),
      last_up_(last_beam(widest_elevation, step_up_)),
      null_depth_(null_depth) {}

Codebook::Beam Codebook::best(AntennaDirection direction) const {
  const AxisBeam across = best_on_axis(cols_, across_of(direction), step_across_, last_across_);
  const AxisBeam up = best_on_axis(rows_, up_of(direction), step_up_, last_up_);
  const double factor = std::max(across.factor * up.factor, 1e-12);
  const double u = across.k * step_across_, v = up.k * step_up_;
  const double level = std::sqrt(1.0 - v * v);
  return {.index = (up.k + last_up_) * (2 * last_across_ + 1) + across.k + last_across_,
          .points = {.azimuth = Angle::radians(std::asin(std::clamp(u / level, -1.0, 1.0))),
                     .elevation = Angle::radians(std::asin(v))},
          .gain = std::max(Db::from_power_ratio(factor), -null_depth_)};
}

Db Codebook::mean_gain(AntennaDirection direction) const {
  const double mean = mean_on_axis(cols_, across_of(direction), step_across_, last_across_) *
                      mean_on_axis(rows_, up_of(direction), step_up_, last_up_);
  return std::max(Db::from_power_ratio(std::max(mean, 1e-12)), -null_depth_);
}

SectorBeams sector_beams(const Sector& sector, const Defaults& d) {
  const auto whole = [&](const char* name) { return static_cast<int>(d(name)); };
  const int rows = sector.rows > 0 ? sector.rows : whole("array_rows");
  const int cols = sector.cols > 0 ? sector.cols : whole("array_cols");
  const int wide_rows = std::min(rows, whole("broadcast_rows"));
  const int wide_cols = std::min(cols, whole("broadcast_cols"));
  const Angle azimuth = Angle::degrees(d("array_steer_azimuth_deg"));
  const Angle elevation = Angle::degrees(d("array_steer_elevation_deg"));
  const double oversampling = d("array_oversampling");
  const Db null_depth(d("array_null_db"));
  const Db peak = Db::from_power_ratio(static_cast<double>(wide_rows * wide_cols) / (rows * cols));
  return {.data = Codebook(rows, cols, oversampling, azimuth, elevation, null_depth),
          .broadcast = Codebook(wide_rows, wide_cols, oversampling, azimuth, elevation, null_depth),
          .broadcast_peak = sector.broadcast_gain.value_or(peak)};
}

}  // namespace sim
