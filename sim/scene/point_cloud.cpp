#include "sim/scene/point_cloud.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace sim {
namespace {

// Measures of a street scan; common practice, no source.
constexpr double ground_layer_m = 0.5;  // below is ground and its roughness
constexpr double column_m = 0.5;        // plan cell for columns
constexpr double least_pole_m = 3.0;    // a pole rises this far without a gap …
constexpr double pole_gap_m = 1.5;      // … of this size, which airborne scans leave
constexpr double widest_pole_m = 1.0;
constexpr double least_crown_top_m = 3.0;
constexpr double crown_reach_m = 6.0;        // farthest a cell may lie from its crown's top
constexpr double crown_top_spacing_m = 3.0;  // tops nearer than this are one crown
constexpr std::size_t least_crown_points = 40;
constexpr double least_crown_radius_m = 1.0;
constexpr double least_crown_depth_m = 1.5;   // from its lower edge to its top
constexpr double least_column_depth_m = 0.8;  // within a plan cell: a scan sees into a crown, …
                                              // … but only the surface of a roof
constexpr std::size_t least_voxel_points = 2;

using Cell = std::pair<int, int>;

struct Column {
  std::vector<std::size_t> points;
  double top_m = 0.0;
};
using Columns = std::map<Cell, Column>;

Columns columns_of(const std::vector<CloudPoint>& points, const std::vector<bool>& taken) {
  Columns columns;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (taken[i] || points[i].above_ground_m < ground_layer_m) continue;
    const Cell cell{static_cast<int>(std::floor(points[i].place.x_m / column_m)),
                    static_cast<int>(std::floor(points[i].place.y_m / column_m))};
    Column& column = columns[cell];
    column.points.push_back(i);
    column.top_m = std::max(column.top_m, points[i].above_ground_m);
  }
  return columns;
}

/// Height up to which the points of a column follow each other without a gap.
double gapless_height(const std::vector<CloudPoint>& points, const Column& column) {
  std::vector<double> heights;
  for (const std::size_t i : column.points) heights.push_back(points[i].above_ground_m);
  std::sort(heights.begin(), heights.end());
  double reached = 0.0;
  for (const double h : heights) {
    if (h - reached > pole_gap_m) break;
    reached = h;
  }
  return reached;
}

void find_poles(const std::vector<CloudPoint>& points, std::vector<bool>& taken,
                CloudParts& parts) {
  const Columns columns = columns_of(points, taken);
  std::map<Cell, bool> seen;
  for (const auto& [start, column] : columns) {
    if (seen[start] || gapless_height(points, column) < least_pole_m) continue;
    // Joined columns of at least half the height: more than a pole's width is no pole.
    std::vector<Cell> body{start};
    seen[start] = true;
    for (std::size_t k = 0; k < body.size(); ++k) {
      for (int dx = -1; dx <= 1; ++dx) {
        for (int dy = -1; dy <= 1; ++dy) {
          const Cell next{body[k].first + dx, body[k].second + dy};
          const auto found = columns.find(next);
          if (found == columns.end() || seen[next]) continue;
          if (found->second.top_m < 0.5 * column.top_m) continue;
          seen[next] = true;
          body.push_back(next);
        }
      }
    }
    std::vector<std::size_t> own;
    double x = 0.0, y = 0.0, top = 0.0;
    for (const Cell& cell : body) {
      for (const std::size_t i : columns.at(cell).points) own.push_back(i);
    }
    for (const std::size_t i : own) {
      x += points[i].place.x_m / static_cast<double>(own.size());
      y += points[i].place.y_m / static_cast<double>(own.size());
      top = std::max(top, points[i].above_ground_m);
    }
    std::vector<double> reach;
    reach.reserve(own.size());
    for (const std::size_t i : own) {
      reach.push_back(std::hypot(points[i].place.x_m - x, points[i].place.y_m - y));
    }
    std::sort(reach.begin(), reach.end());
    if (2.0 * reach.back() > widest_pole_m || own.size() < 4) continue;
    parts.poles.push_back({x, y, top, std::clamp(2.0 * reach[reach.size() / 2], 0.1, 0.6)});
    for (const std::size_t i : own) taken[i] = true;
  }
}

void find_crowns(const std::vector<CloudPoint>& points, std::vector<bool>& taken,
                 CloudParts& parts) {
  const Columns columns = columns_of(points, taken);
  std::vector<Cell> by_height;
  for (const auto& [cell, column] : columns) {
    if (column.top_m >= least_crown_top_m) by_height.push_back(cell);
  }
  std::stable_sort(by_height.begin(), by_height.end(), [&](const Cell& a, const Cell& b) {
    return columns.at(a).top_m > columns.at(b).top_m;
  });
  std::vector<Cell> tops;
  std::map<Cell, std::size_t> crown_of;
  const auto apart = [](const Cell& a, const Cell& b) {
    return column_m * std::hypot(a.first - b.first, a.second - b.second);
  };
  // From the highest cell down: a cell joins the nearest top in reach, or is a new top.
  for (const Cell& cell : by_height) {
    std::size_t best = tops.size();
    double best_distance = crown_reach_m;
    for (std::size_t t = 0; t < tops.size(); ++t) {
      const double d = apart(cell, tops[t]);
      if (d < best_distance) {
        best_distance = d;
        best = t;
      }
    }
    const bool touches = [&] {
      for (int dx = -1; dx <= 1; ++dx) {
        for (int dy = -1; dy <= 1; ++dy) {
          const auto found = crown_of.find({cell.first + dx, cell.second + dy});
          if (found != crown_of.end()) return true;
        }
      }
      return false;
    }();
    if (best == tops.size() || (!touches && best_distance > crown_top_spacing_m)) {
      best = tops.size();
      tops.push_back(cell);
    }
    crown_of[cell] = best;
  }
  std::vector<std::vector<std::size_t>> bodies(tops.size());
  std::vector<std::vector<double>> depths(tops.size());
  for (const auto& [cell, crown] : crown_of) {
    double low = 1e300;
    for (const std::size_t i : columns.at(cell).points) {
      bodies[crown].push_back(i);
      low = std::min(low, points[i].above_ground_m);
    }
    depths[crown].push_back(columns.at(cell).top_m - low);
  }
  for (std::size_t b = 0; b < bodies.size(); ++b) {
    const auto& body = bodies[b];
    if (body.size() < least_crown_points) continue;
    std::sort(depths[b].begin(), depths[b].end());
    if (depths[b][depths[b].size() / 2] < least_column_depth_m) continue;
    CloudCrown crown;
    std::vector<double> heights, reach;
    for (const std::size_t i : body) {
      crown.x_m += points[i].place.x_m / static_cast<double>(body.size());
      crown.y_m += points[i].place.y_m / static_cast<double>(body.size());
      heights.push_back(points[i].above_ground_m);
    }
    for (const std::size_t i : body) {
      reach.push_back(std::hypot(points[i].place.x_m - crown.x_m, points[i].place.y_m - crown.y_m));
    }
    std::sort(heights.begin(), heights.end());
    std::sort(reach.begin(), reach.end());
    const auto quantile = [](const std::vector<double>& v, double q) {
      return v[static_cast<std::size_t>(q * static_cast<double>(v.size() - 1))];
    };
    crown.radius_m = quantile(reach, 0.9);
    crown.base_m = quantile(heights, 0.1);
    crown.top_m = quantile(heights, 0.99);
    if (crown.radius_m < least_crown_radius_m || crown.top_m < least_crown_top_m ||
        crown.top_m - crown.base_m < least_crown_depth_m) {
      continue;
    }
    parts.crowns.push_back(crown);
    for (const std::size_t i : body) taken[i] = true;
  }
}

}  // namespace

CloudParts segment_cloud(const std::vector<CloudPoint>& points, double voxel_m) {
  CloudParts parts;
  parts.voxel_m = voxel_m;
  std::vector<bool> taken(points.size(), false);
  find_poles(points, taken, parts);
  find_crowns(points, taken, parts);
  std::map<CloudVoxel, std::size_t> counts;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (taken[i] || points[i].above_ground_m < ground_layer_m) continue;
    const ScenePoint p = points[i].place;
    ++counts[{static_cast<int>(std::floor(p.x_m / voxel_m)),
              static_cast<int>(std::floor(p.y_m / voxel_m)),
              static_cast<int>(std::floor(p.z_m / voxel_m))}];
  }
  for (const auto& [voxel, count] : counts) {
    if (count >= least_voxel_points) parts.voxels.push_back(voxel);
  }
  return parts;
}

}  // namespace sim
