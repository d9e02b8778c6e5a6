#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/index/rtree.hpp>
#include <cmath>

#include "sim/import/importing.h"

namespace sim {
namespace {

namespace bg = boost::geometry;
using IndexPoint = bg::model::point<double, 2, bg::cs::cartesian>;
using Neighbour = std::pair<IndexPoint, std::size_t>;

constexpr double roof_quantile = 0.9;  // upper, yet below chimneys and overhanging crowns
constexpr double least_surface_height_m =
    1.5;  // lower is grass: the surface does not show a building
constexpr std::size_t least_samples = 4;
constexpr std::size_t neighbour_count = 5;
constexpr double neighbour_reach_m = 100.0;

IndexPoint middle_of(const BuildingRecord& building) {
  const MapBounds box = bounds_of(building.polygons);
  return {0.5 * (box.west + box.east), 0.5 * (box.south + box.north)};
}

/// Robust upper value of surface minus ground under the footprint, above its lowest ground.
std::optional<double> from_surface(const Importing& importing, const BuildingRecord& building) {
  if (importing.surface.empty()) return std::nullopt;
  const MapBounds box = bounds_of(building.polygons);
  const GridSpec& spec = importing.surface.spec;
  std::vector<double> tops;
  double lowest = std::numeric_limits<double>::infinity();
  const int c0 = static_cast<int>(std::floor((box.west - spec.west_m) / spec.cell_x_m));
  const int c1 = static_cast<int>(std::ceil((box.east - spec.west_m) / spec.cell_x_m));
  const int r0 = static_cast<int>(std::floor((spec.north_m - box.north) / spec.cell_y_m));
  const int r1 = static_cast<int>(std::ceil((spec.north_m - box.south) / spec.cell_y_m));
  for (int row = std::max(r0, 0); row <= std::min(r1, spec.rows - 1); ++row) {
    for (int col = std::max(c0, 0); col <= std::min(c1, spec.cols - 1); ++col) {
      const Xy p{spec.center_x_m(col), spec.center_y_m(row)};
      if (!contains(building.polygons, p)) continue;
      const auto top = static_cast<double>(importing.surface.values[spec.index(col, row)]);
      const double ground = importing.ground_at(p);
      if (std::isnan(top) || std::isnan(ground)) continue;
      tops.push_back(top);
      lowest = std::min(lowest, ground);
    }
  }
  if (tops.size() < least_samples) return std::nullopt;
  const auto at = tops.begin() +
                  static_cast<std::ptrdiff_t>(roof_quantile * static_cast<double>(tops.size() - 1));
  std::nth_element(tops.begin(), at, tops.end());
  const double height = *at - lowest;
  return height >= least_surface_height_m ? std::optional(height) : std::nullopt;
}

std::optional<double> median_of_neighbours(
    const bg::index::rtree<Neighbour, bg::index::quadratic<16>>& known,
    const std::vector<BuildingRecord>& buildings, const BuildingRecord& building) {
  std::vector<Neighbour> nearest;
  const IndexPoint middle = middle_of(building);
  known.query(bg::index::nearest(middle, neighbour_count), std::back_inserter(nearest));
  std::vector<double> heights;
  for (const auto& [place, index] : nearest) {
    if (bg::distance(place, middle) <= neighbour_reach_m) {
      heights.push_back(buildings[index].height_m);
    }
  }
  if (heights.empty()) return std::nullopt;
  std::sort(heights.begin(), heights.end());
  const std::size_t half = heights.size() / 2;
  return heights.size() % 2 == 1 ? heights[half] : 0.5 * (heights[half - 1] + heights[half]);
}

}  // namespace

void complete_heights(Importing& importing, std::vector<BuildingRecord>& buildings,
                      const std::vector<HeightFallback>& fallbacks) {
  for (BuildingRecord& building : buildings) {
    if (!std::isnan(building.height_m)) continue;
    if (const auto height = from_surface(importing, building)) {
      building.height_m = *height;
      building.height_source = HeightSource::surface;
    }
  }
  std::vector<Neighbour> known_places;
  for (std::size_t i = 0; i < buildings.size(); ++i) {
    if (!std::isnan(buildings[i].height_m)) known_places.emplace_back(middle_of(buildings[i]), i);
  }
  const bg::index::rtree<Neighbour, bg::index::quadratic<16>> known(known_places);
  for (std::size_t i = 0; i < buildings.size(); ++i) {
    BuildingRecord& building = buildings[i];
    if (!std::isnan(building.height_m)) continue;
    const auto median = median_of_neighbours(known, buildings, building);
    building.height_source = median ? HeightSource::neighbours : HeightSource::fallback;
    // What is open below still has one floor.
    building.height_m =
        std::max(median.value_or(fallbacks[i].height_m), building.min_height_m + 3.0);
    ++importing.site.report.layers[fallbacks[i].count].defaulted;
  }
}

}  // namespace sim
