#include <array>
#include <cmath>
#include <limits>

#include "sim/gis/csv_file.h"
#include "sim/gis/vector_file.h"

namespace sim {
namespace {

std::optional<std::size_t> first_of(const CsvTable& csv, std::initializer_list<const char*> names) {
  for (const char* name : names) {
    if (const auto column = csv.column(name)) return column;
  }
  return std::nullopt;
}

}  // namespace

VectorTable read_csv_points(const VectorQuery& query, const Crs& target) {
  const CsvTable csv = read_csv(query.path);
  auto x = first_of(csv, {"lon", "longitude", "lng", "long"});
  auto y = first_of(csv, {"lat", "latitude"});
  const bool degrees = x && y;
  if (!degrees) {
    x = first_of(csv, {"x_m", "x", "easting", "easting_m"});
    y = first_of(csv, {"y_m", "y", "northing", "northing_m"});
  }
  if (!x || !y) {
    std::string found;
    for (const std::string& name : csv.header) found += (found.empty() ? "" : ", ") + name;
    throw InputError({query.path, "", 0},
                     "has no position: it needs columns lon and lat, or x_m and y_m in the site "
                     "CRS; it has: " +
                         found);
  }
  if (!query.where.empty()) {
    throw InputError({query.path, "", -1}, "`where` does not work on CSV; filter the file itself");
  }
  const Crs from = degrees ? Crs::wgs84() : query.assume.value_or(target);
  const CrsTransform to_target(from, target);
  VectorTable table;
  table.path = query.path;
  table.layers = {""};
  table.fields = csv.header;
  std::size_t placed = 0, misplaced = 0, right_when_swapped = 0;
  for (std::size_t row = 0; row < csv.rows.size(); ++row) {
    Feature feature;
    feature.source = csv.row_ref(row);
    for (const std::string& cell : csv.rows[row]) {
      feature.values.push_back(cell.empty() ? std::nullopt : std::optional(cell));
    }
    const auto px = number_at(csv, row, *x), py = number_at(csv, row, *y);
    if (px && py) {
      ++placed;
      const bool on_earth = !degrees || (std::abs(*py) <= 90.0 && std::abs(*px) <= 360.0);
      const auto place = on_earth ? to_target({*px, *py}) : std::nullopt;
      if (place) {
        feature.geometry =
            PointSet{{{place->x, place->y, std::numeric_limits<double>::quiet_NaN()}}};
      } else {
        ++misplaced;
        if (degrees && std::abs(*px) <= 90.0 && (std::abs(*py) > 90.0 || to_target({*py, *px}))) {
          ++right_when_swapped;  // a latitude beyond 90 is a longitude
        }
      }
    }
    table.features.push_back(std::move(feature));
  }
  if (misplaced > 0 && misplaced == placed) {
    throw InputError(
        {query.path, "", -1},
        right_when_swapped == placed
            ? "latitude and longitude look swapped: no row lies where the site is, and "
              "with the two columns exchanged all could"
            : "no row lies within the area that " + target.name() +
                  " is made for; check the coordinates");
  }
  return table;
}

}  // namespace sim
