#include "sim/loss/silhouette.h"

#include <algorithm>

#include "sim/loss/edge_wave.h"

namespace sim {
namespace {

using Complex = std::complex<double>;

/// Contour integral of (exp(-j pi/2 rho^2) - 1) dtheta along one edge, in Fresnel units.
Complex along_edge(double x1, double y1, double x2, double y2) {
  const double length = std::hypot(x2 - x1, y2 - y1);
  if (!(length > 0.0)) return 0.0;
  const double p = (x1 * y2 - x2 * y1) / length;  // origin to the left: positive
  if (p == 0.0) return 0.0;
  const double s1 = (x1 * (x2 - x1) + y1 * (y2 - y1)) / length, s2 = s1 + length;
  return edge_wave(p, s1) - edge_wave(p, s2) - (std::atan(s2 / p) - std::atan(s1 / p));
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
  return 1.0 + around / (2.0 * std::numbers::pi);
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
