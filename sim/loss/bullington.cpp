#include "sim/loss/bullington.h"

#include <algorithm>
#include <limits>

#include "sim/loss/knife_edge.h"
#include "sim/loss/spherical_earth.h"

namespace sim {
namespace {

constexpr double nothing = -std::numeric_limits<double>::infinity();

/// Fresnel parameter of the profile's equivalent edge.
double equivalent_parameter(Frequency f, const TerrainProfile& profile, double h_ts, double h_rs,
                            double radius_km) {
  const double d = profile.d_km.back();
  const auto between = [d](double d_i) { return d_i > 0.0 && d_i < d; };
  const auto raised = [&](std::size_t i) {
    const double d_i = profile.d_km[i];
    return profile.top_m(i) + 500.0 / radius_km * d_i * (d - d_i);
  };
  const auto parameter = [&](double above_sea_m, double d_i) {
    const double line_m = (h_ts * (d - d_i) + h_rs * d_i) / d;
    return (above_sea_m - line_m) * std::sqrt(0.002 * d / (f.wavelength_m() * d_i * (d - d_i)));
  };
  double from_tx = nothing, from_rx = nothing, highest = nothing;
  for (std::size_t i = 0; i < profile.d_km.size(); ++i) {
    const double d_i = profile.d_km[i];
    if (!between(d_i)) continue;
    from_tx = std::max(from_tx, (raised(i) - h_ts) / d_i);
    from_rx = std::max(from_rx, (raised(i) - h_rs) / (d - d_i));
    highest = std::max(highest, parameter(raised(i), d_i));
  }
  if (from_tx < (h_rs - h_ts) / d) return highest;
  const double d_b = (h_rs - h_ts + from_rx * d) / (from_tx + from_rx);
  // A line that only just touches meets itself: the highest point is the edge.
  return between(d_b) ? parameter(h_ts + from_tx * d_b, d_b) : highest;
}

/// Heights of the smooth surface under the two ends.
struct SmoothEnds {
  double tx_m, rx_m;
};

SmoothEnds smooth_surface(const TerrainProfile& profile, double h_ts, double h_rs) {
  const auto& x = profile.d_km;
  const auto& h = profile.h_m;
  const double d = x.back();
  double v1 = 0.0, v2 = 0.0;
  double highest = nothing, slope_tx = nothing, slope_rx = nothing;
  for (std::size_t i = 1; i < x.size(); ++i) {
    const double step = x[i] - x[i - 1];
    v1 += step * (h[i] + h[i - 1]);
    v2 += step * (h[i] * (2.0 * x[i] + x[i - 1]) + h[i - 1] * (x[i] + 2.0 * x[i - 1]));
    if (i + 1 == x.size()) break;
    const double above = h[i] - (h_ts * (d - x[i]) + h_rs * x[i]) / d;
    highest = std::max(highest, above);
    slope_tx = std::max(slope_tx, above / x[i]);
    slope_rx = std::max(slope_rx, above / (d - x[i]));
  }
  SmoothEnds ends{(2.0 * v1 * d - v2) / (d * d), (v2 - v1 * d) / (d * d)};
  if (highest > 0.0) {
    const double share = slope_tx / (slope_tx + slope_rx);
    ends.tx_m -= highest * share;
    ends.rx_m -= highest * (1.0 - share);
  }
  return {std::min(ends.tx_m, h.front()), std::min(ends.rx_m, h.back())};
}

}  // namespace

BullingtonLoss bullington_loss(Frequency f, const TerrainProfile& profile, double h_ts_m,
                               double h_rs_m, double effective_radius_km) noexcept {
  const Db knife =
      knife_edge_loss(equivalent_parameter(f, profile, h_ts_m, h_rs_m, effective_radius_km));
  const double more = (1.0 - std::exp(-knife.value / 6.0)) * (10.0 + 0.02 * profile.d_km.back());
  return {.knife = knife, .loss = knife + Db(more)};
}

DeltaBullingtonLoss delta_bullington_loss(Frequency f, const TerrainProfile& profile,
                                          double h_tx_agl_m, double h_rx_agl_m,
                                          double effective_radius_km, bool vertical_polarization,
                                          bool over_sea) noexcept {
  const double h_ts = profile.h_m.front() + h_tx_agl_m;
  const double h_rs = profile.h_m.back() + h_rx_agl_m;
  const SmoothEnds smooth = smooth_surface(profile, h_ts, h_rs);
  const double h1 = h_ts - smooth.tx_m, h2 = h_rs - smooth.rx_m;
  const TerrainProfile flat{.d_km = profile.d_km,
                            .h_m = std::vector<double>(profile.d_km.size(), 0.0)};
  DeltaBullingtonLoss answer;
  answer.bullington = bullington_loss(f, profile, h_ts, h_rs, effective_radius_km).loss;
  answer.smooth = bullington_loss(f, flat, h1, h2, effective_radius_km).loss;
  answer.sphere = spherical_earth_loss(f, profile.d_km.back(), h1, h2, effective_radius_km,
                                       vertical_polarization, over_sea ? sea_ground : land_ground);
  answer.loss = answer.bullington + std::max(answer.sphere - answer.smooth, Db(0.0));
  return answer;
}

}  // namespace sim
