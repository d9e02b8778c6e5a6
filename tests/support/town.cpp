#include "tests/support/town.h"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "sim/import/asset_tables.h"

namespace sim::test {
namespace {

constexpr double pitch_m = 60.0, street_m = 16.0;

HeightGrid rolling_ground(double half_m, std::uint64_t& state) {
  HeightGrid grid;
  const int cells = static_cast<int>(half_m) + 21;  // 2 m cells, 20 m beyond the town
  grid.spec = {-cells * 1.0, cells * 1.0, 2.0, 2.0, cells, cells};
  const double phase = 6.0 * next_number(state);
  for (int row = 0; row < cells; ++row) {
    for (int col = 0; col < cells; ++col) {
      const double x = grid.spec.center_x_m(col), y = grid.spec.center_y_m(row);
      grid.values.push_back(static_cast<float>(
          3.0 * std::sin(x / 70.0 + phase) + 2.0 * std::cos(y / 45.0) + 0.3 * next_number(state)));
    }
  }
  return grid;
}

void furnish(ImportedSite& site, double x_m, double y_m, std::uint64_t& state) {
  const std::string id = fmt::format("{:.0f}/{:.0f}", x_m, y_m);
  const int record = static_cast<int>(site.poles.size());
  site.poles.push_back({.id = "lamp " + id,
                        .place = {x_m + 3.0, y_m},
                        .height_m = 5.0 + 5.0 * next_number(state),
                        .diameter_m = 0.2,
                        .source = {"town", "poles", record}});
  site.trees.push_back({.id = "tree " + id,
                        .place = {x_m - 4.0, y_m + 15.0 * next_number(state)},
                        .height_m = 7.0 + 5.0 * next_number(state),
                        .crown_diameter_m = 4.0 + 3.0 * next_number(state),
                        .species_class = "broadleaf",
                        .source = {"town", "trees", record}});
  site.objects.push_back({.id = "van " + id,
                          .kind = ObjectKind::van,
                          .place = Xy{x_m + 12.0 * next_number(state), y_m - 4.0},
                          .length_m = 5.5,
                          .width_m = 2.0,
                          .height_m = 2.5,
                          .heading = Angle::degrees(360.0 * next_number(state)),
                          .material = "metal",
                          .source = {"town", "objects", record}});
}

}  // namespace

double next_number(std::uint64_t& state) {
  state += 0x9e3779b97f4a7c15ULL;
  std::uint64_t z = state;
  z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
  z ^= z >> 31U;
  return static_cast<double>(z >> 11U) * 0x1.0p-53;
}

BuildingRecord box_building(const std::string& id, double west_m, double south_m, double east_m,
                            double north_m, double height_m) {
  BuildingRecord building;
  building.id = id;
  building.polygons.push_back(
      {.shell = {{west_m, south_m}, {east_m, south_m}, {east_m, north_m}, {west_m, north_m}},
       .holes = {}});
  building.height_m = height_m;
  building.material = "concrete";
  building.source = {"town", "buildings", 0};
  return building;
}

ImportedSite empty_site() {
  ImportedSite site;
  site.crs = Crs::parse("EPSG:32618", {"town", "", -1});
  site.vertical_datum = "not stated";
  site.area_west_m = site.area_south_m = -100.0;
  site.area_east_m = site.area_north_m = 100.0;
  site.materials = read_materials();
  site.defaults = read_defaults();
  // Closed forms of plane geometry want a plane; tests of the Earth set it back.
  site.defaults.set({.name = "effective_earth_factor", .value = 1e15, .source = "plane geometry"});
  NodeRecord node;
  node.id = "node";
  node.place = {-90.0, -90.0};
  node.source = {"town", "nodes", 0};
  site.nodes.push_back(node);
  return site;
}

ImportedSite town(std::uint64_t seed, const TownSize& size) {
  ImportedSite site = empty_site();
  std::uint64_t state = seed;
  const double half = 0.5 * size.blocks * pitch_m;
  site.area_west_m = site.area_south_m = -half;
  site.area_east_m = site.area_north_m = half;
  if (size.terrain) site.ground = rolling_ground(half, state);
  for (int row = 0; row < size.blocks; ++row) {
    for (int col = 0; col < size.blocks; ++col) {
      const double west = -half + col * pitch_m + 0.5 * street_m;
      const double south = -half + row * pitch_m + 0.5 * street_m;
      const double side = pitch_m - street_m;
      const double east = west + side * (0.6 + 0.4 * next_number(state));
      const double north = south + side * (0.6 + 0.4 * next_number(state));
      BuildingRecord building = box_building(fmt::format("house {}/{}", col, row), west, south,
                                             east, north, 6.0 + 20.0 * next_number(state));
      building.source.record = static_cast<int>(site.buildings.size());
      if ((row + col) % 3 == 0) {
        building.polygons[0].holes.push_back({{west + 8.0, south + 8.0},
                                              {west + 8.0, north - 8.0},
                                              {east - 8.0, north - 8.0},
                                              {east - 8.0, south + 8.0}});
      }
      site.buildings.push_back(building);
      if (size.furniture) furnish(site, west - 0.5 * street_m, south - 0.5 * street_m, state);
    }
  }
  site.nodes[0].sectors = {{.id = "a",
                            .pattern = "isotropic",
                            .polarization = "vertical",
                            .frequency = Frequency::ghz(28.0),
                            .eirp = Dbm(55.0)}};
  site.nodes[0].place = {half - pitch_m * std::floor(0.5 * size.blocks), 2.0 - street_m * 0.25};
  return site;
}

Segment random_segment(const ImportedSite& site, std::uint64_t& state) {
  const auto place = [&] {
    const double x = next_number(state), y = next_number(state), z = next_number(state);
    return ScenePoint{site.area_west_m + x * (site.area_east_m - site.area_west_m),
                      site.area_south_m + y * (site.area_north_m - site.area_south_m),
                      1.0 + 19.0 * z};
  };
  const ScenePoint a = place();
  return {a, place()};
}

}  // namespace sim::test
