#include "sim/import/asset_tables.h"

#include <algorithm>

#include "sim/gis/csv_file.h"

namespace sim {
namespace {

/// Column of a table that must have it.
std::size_t needed(const CsvTable& table, const char* name) {
  if (const auto column = table.column(name)) return *column;
  throw InputError({table.path, "", 0}, "needs a column '" + std::string(name) + "'");
}

double needed_number(const CsvTable& table, std::size_t row, const char* name) {
  if (const auto value = number_at(table, row, needed(table, name))) return *value;
  throw InputError(table.row_ref(row), std::string(name) + " is empty");
}

}  // namespace

std::vector<MaterialRecord> read_materials() {
  const CsvTable table = read_csv(asset_path("materials.csv"));
  std::vector<MaterialRecord> materials;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    materials.push_back({.name = table.rows[row][needed(table, "name")],
                         .a = needed_number(table, row, "a"),
                         .b = needed_number(table, row, "b"),
                         .c = needed_number(table, row, "c"),
                         .d = needed_number(table, row, "d"),
                         .min_ghz = needed_number(table, row, "min_ghz"),
                         .max_ghz = needed_number(table, row, "max_ghz"),
                         .source = table.rows[row][needed(table, "source")]});
  }
  return materials;
}

Defaults read_defaults() {
  const CsvTable table = read_csv(asset_path("defaults.csv"));
  Defaults defaults;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    defaults.set({.name = table.rows[row][needed(table, "name")],
                  .value = needed_number(table, row, "value"),
                  .source = table.rows[row][needed(table, "source")]});
  }
  return defaults;
}

std::map<std::string, ObjectSize> read_object_sizes() {
  const CsvTable table = read_csv(asset_path("objects.csv"));
  std::map<std::string, ObjectSize> sizes;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    sizes[table.rows[row][needed(table, "kind")]] = {
        .length_m = needed_number(table, row, "length_m"),
        .width_m = needed_number(table, row, "width_m"),
        .height_m = needed_number(table, row, "height_m"),
        .base_m = needed_number(table, row, "base_m"),
        .material = table.rows[row][needed(table, "material")]};
  }
  return sizes;
}

namespace {

/// Repeats the first column after the last and the last before the first, a full turn away, so that
/// a lookup never falls off the ends.
void wrap_around(std::vector<AntennaTable::Row>& points) {
  double first = 1e300, last = -1e300;
  for (const AntennaTable::Row& p : points) {
    first = std::min(first, p.azimuth_deg);
    last = std::max(last, p.azimuth_deg);
  }
  if (first == last) return;
  const std::size_t count = points.size();
  for (std::size_t i = 0; i < count; ++i) {
    const AntennaTable::Row p = points[i];
    if (p.azimuth_deg == first) {
      points.push_back({p.azimuth_deg + 360.0, p.elevation_deg, p.gain_dbi});
    }
    if (p.azimuth_deg == last) {
      points.push_back({p.azimuth_deg - 360.0, p.elevation_deg, p.gain_dbi});
    }
  }
}

}  // namespace

AntennaTable read_antenna(const std::string& path) {
  const CsvTable table = read_csv(path);
  AntennaTable antenna;
  antenna.path = path;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    const double azimuth = needed_number(table, row, "azimuth_deg");
    antenna.points.push_back({Angle::degrees(azimuth).wrapped().degrees(),
                              needed_number(table, row, "elevation_deg"),
                              needed_number(table, row, "gain_dbi")});
  }
  wrap_around(antenna.points);
  for (const AntennaTable::Row& point : antenna.points) {
    antenna.azimuths_deg.push_back(point.azimuth_deg);
    antenna.elevations_deg.push_back(point.elevation_deg);
  }
  for (auto* axis : {&antenna.azimuths_deg, &antenna.elevations_deg}) {
    std::sort(axis->begin(), axis->end());
    axis->erase(std::unique(axis->begin(), axis->end()), axis->end());
  }
  std::sort(antenna.points.begin(), antenna.points.end(), [](const auto& a, const auto& b) {
    return std::tie(a.azimuth_deg, a.elevation_deg) < std::tie(b.azimuth_deg, b.elevation_deg);
  });
  const auto same = std::adjacent_find(
      antenna.points.begin(), antenna.points.end(), [](const auto& a, const auto& b) {
        return a.azimuth_deg == b.azimuth_deg && a.elevation_deg == b.elevation_deg;
      });
  if (same != antenna.points.end()) {
    throw InputError({path, "", -1}, "gives one direction twice: azimuth_deg " +
                                         std::to_string(same->azimuth_deg) + ", elevation_deg " +
                                         std::to_string(same->elevation_deg));
  }
  const std::size_t expected = antenna.azimuths_deg.size() * antenna.elevations_deg.size();
  if (expected == 0 || antenna.points.size() != expected) {
    throw InputError({path, "", -1},
                     "is no full table: every azimuth_deg needs the same elevation_deg rows");
  }
  return antenna;
}

}  // namespace sim
