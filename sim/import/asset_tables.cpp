#include "sim/import/asset_tables.h"

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

}  // namespace sim
