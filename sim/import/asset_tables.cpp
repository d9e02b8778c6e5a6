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

AntennaTable read_antenna(const std::string& path) {
  const CsvTable table = read_csv(path);
  AntennaTable antenna;
  antenna.path = path;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    antenna.points.push_back({needed_number(table, row, "azimuth_deg"),
                              needed_number(table, row, "elevation_deg"),
                              needed_number(table, row, "gain_dbi")});
    antenna.azimuths_deg.push_back(antenna.points.back().azimuth_deg);
    antenna.elevations_deg.push_back(antenna.points.back().elevation_deg);
  }
  for (auto* axis : {&antenna.azimuths_deg, &antenna.elevations_deg}) {
    std::sort(axis->begin(), axis->end());
    axis->erase(std::unique(axis->begin(), axis->end()), axis->end());
  }
  std::sort(antenna.points.begin(), antenna.points.end(), [](const auto& a, const auto& b) {
    return std::tie(a.azimuth_deg, a.elevation_deg) < std::tie(b.azimuth_deg, b.elevation_deg);
  });
  const std::size_t expected = antenna.azimuths_deg.size() * antenna.elevations_deg.size();
  if (expected == 0 || antenna.points.size() != expected) {
    throw InputError({path, "", -1},
                     "is no full table: every azimuth_deg needs the same elevation_deg rows");
  }
  return antenna;
}

}  // namespace sim
