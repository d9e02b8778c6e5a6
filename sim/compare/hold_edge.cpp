#include "sim/compare/hold_edge.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace sim {
namespace {

/// Information matrix of level and slope, and the penalised score.
struct Normal {
  double i00 = 0.0, i01 = 0.0, i11 = 0.0;
  double determinant() const { return i00 * i11 - i01 * i01; }
};

double logistic(double x) { return 1.0 / (1.0 + std::exp(-x)); }

/// In standardised distance x.
class Fit {
 public:
  explicit Fit(const std::vector<HoldPoint>& points) : points_(points) {
    for (const HoldPoint& p : points) mean_ += p.distance_m / static_cast<double>(points.size());
    for (const HoldPoint& p : points) {
      scale_ +=
          (p.distance_m - mean_) * (p.distance_m - mean_) / static_cast<double>(points.size());
    }
    scale_ = std::sqrt(scale_);
  }

  std::optional<HoldCurve> curve() {
    constexpr double least_spread_m = 1e-6;
    if (!(scale_ > least_spread_m)) return std::nullopt;
    constexpr int most_steps = 60;
    constexpr double close = 1e-9;
    for (int step = 0; step < most_steps; ++step) {
      if (advance() < close) break;
    }
    return HoldCurve{level_ - slope_ * mean_ / scale_, slope_ / scale_};
  }

 private:
  /// One step of Fisher scoring; returns its length.
  double advance() {
    Normal n;
    for (const HoldPoint& p : points_) {
      const double x = at(p), held = logistic(level_ + slope_ * x), w = held * (1.0 - held);
      n.i00 += w;
      n.i01 += w * x;
      n.i11 += w * x * x;
    }
    const double det = n.determinant();
    if (!(det > std::numeric_limits<double>::min())) return 0.0;
    double u0 = 0.0, u1 = 0.0;
    for (const HoldPoint& p : points_) {
      const double x = at(p), held = logistic(level_ + slope_ * x), w = held * (1.0 - held);
      const double leverage = w * (n.i11 - 2.0 * n.i01 * x + n.i00 * x * x) / det;
      const double off = p.held - held + leverage * (0.5 - held);
      u0 += off;
      u1 += off * x;
    }
    double d0 = (n.i11 * u0 - n.i01 * u1) / det, d1 = (n.i00 * u1 - n.i01 * u0) / det;
    constexpr double longest = 2.0;  // a step of the log odds; longer ones may swing
    const double length = std::hypot(d0, d1);
    if (length > longest) {
      d0 *= longest / length;
      d1 *= longest / length;
    }
    level_ += d0;
    slope_ += d1;
    return length;
  }
  double at(const HoldPoint& p) const { return (p.distance_m - mean_) / scale_; }

  const std::vector<HoldPoint>& points_;
  double mean_ = 0.0, scale_ = 0.0;
  double level_ = 0.0, slope_ = 0.0;
};

/// Where a falling curve passes p; beyond all distances for one that rises above it, and before
/// them for one that rises below.
double passes(const HoldCurve& curve, double p, double nearest_m, double farthest_m) {
  if (curve.slope_per_m < 0.0) return (std::log(p / (1.0 - p)) - curve.level) / curve.slope_per_m;
  const bool holds = curve.at(0.5 * (nearest_m + farthest_m)) >= p;
  return holds ? std::numeric_limits<double>::infinity() : -std::numeric_limits<double>::infinity();
}

}  // namespace

double HoldCurve::at(double distance_m) const { return logistic(level + slope_per_m * distance_m); }

std::optional<HoldCurve> fit_hold_curve(const std::vector<HoldPoint>& points) {
  if (points.empty()) return std::nullopt;
  return Fit(points).curve();
}

std::optional<HoldEdges> edges_of_all(std::vector<HoldPoint> points) {
  if (points.empty()) return std::nullopt;
  std::stable_sort(points.begin(), points.end(), [](const HoldPoint& a, const HoldPoint& b) {
    return a.distance_m < b.distance_m;
  });
  struct Pool {
    double farthest_m = 0.0, sum = 0.0, count = 0.0;
    double mean() const { return sum / count; }
  };
  std::vector<Pool> pools;
  for (const HoldPoint& p : points) {
    pools.push_back({p.distance_m, p.held, 1.0});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() <= pools.back().mean()) {
      const Pool last = pools.back();
      pools.pop_back();
      pools.back().farthest_m = last.farthest_m;
      pools.back().sum += last.sum;
      pools.back().count += last.count;
    }
  }
  HoldEdges found{.curve = {},
                  .nearest_m = points.front().distance_m,
                  .farthest_m = points.back().distance_m,
                  .edges = {}};
  for (const double p : edge_probabilities) {
    HoldEdge edge{.probability = p,
                  .distance_m = found.nearest_m,
                  .before = pools.front().mean() < p,
                  .interval = {}};
    for (const Pool& pool : pools) {
      if (pool.mean() >= p) edge.distance_m = pool.farthest_m;
    }
    edge.beyond = pools.back().mean() >= p;
    found.edges.push_back(edge);
  }
  return found;
}

std::optional<HoldEdges> hold_edges(const std::vector<HoldPoint>& points,
                                    const BootstrapSettings* intervals) {
  const auto curve = fit_hold_curve(points);
  if (!curve) return std::nullopt;
  const auto [nearest, farthest] = std::minmax_element(
      points.begin(), points.end(),
      [](const HoldPoint& a, const HoldPoint& b) { return a.distance_m < b.distance_m; });
  HoldEdges found{.curve = *curve,
                  .nearest_m = nearest->distance_m,
                  .farthest_m = farthest->distance_m,
                  .edges = {}};
  const auto inside = [&](double distance_m) {
    return std::clamp(distance_m, found.nearest_m, found.farthest_m);
  };
  for (const double p : edge_probabilities) {
    const double at = passes(*curve, p, found.nearest_m, found.farthest_m);
    found.edges.push_back({.probability = p,
                           .distance_m = inside(at),
                           .beyond = at > found.farthest_m,
                           .before = at < found.nearest_m,
                           .interval = {}});
  }
  if (intervals == nullptr) return found;
  std::vector<HoldPoint> drawn_points(points.size());
  const auto drawn = drawn_intervals(
      points.size(),
      [&](const std::vector<std::size_t>& chosen) {
        for (std::size_t i = 0; i < chosen.size(); ++i) drawn_points[i] = points[chosen[i]];
        const auto one = fit_hold_curve(drawn_points);
        std::vector<double> edges;
        for (const double p : edge_probabilities) {
          edges.push_back(one ? inside(passes(*one, p, found.nearest_m, found.farthest_m))
                              : std::numeric_limits<double>::quiet_NaN());
        }
        return edges;
      },
      *intervals);
  for (std::size_t k = 0; k < found.edges.size(); ++k) {
    HoldEdge& edge = found.edges[k];
    edge.interval = drawn[k];
    edge.low_open = edge.interval.low <= found.nearest_m;
    edge.high_open = edge.interval.high >= found.farthest_m;
  }
  return found;
}

}  // namespace sim
