#include "sim/import/antenna_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "sim/base/input_error.h"
#include "sim/base/units.h"
#include "sim/gis/csv_file.h"

namespace sim {
namespace {

using Cut = std::map<double, double>;  // angle → gain

std::size_t needed(const CsvTable& table, const char* name) {
  if (const auto column = table.column(name)) return *column;
  throw InputError({table.path, "", 0},
                   fmt::format("needs a column '{}'; a pattern has azimuth_deg, elevation_deg, "
                               "gain_dbi, or cut, angle_deg, gain_dbi",
                               name));
}

double needed_number(const CsvTable& table, std::size_t row, const char* name, double most) {
  const auto value = number_at(table, row, needed(table, name));
  if (!value) throw InputError(table.row_ref(row), std::string(name) + " is empty");
  if (std::abs(*value) > most) {
    throw InputError(table.row_ref(row),
                     fmt::format("{} is {}, but must be within +-{}", name, *value, most));
  }
  return *value;
}

double azimuth_at(const CsvTable& table, std::size_t row, const char* name) {
  const double given = needed_number(table, row, name, 360.0);
  return std::abs(given) <= 180.0 ? given : std::remainder(given, 360.0);
}

constexpr double strongest_dbi = 100.0;

std::vector<AntennaTable::Row> full_grid(const CsvTable& table) {
  std::vector<AntennaTable::Row> points;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    const double azimuth = azimuth_at(table, row, "azimuth_deg");
    points.push_back({azimuth == -180.0 ? 180.0 : azimuth,
                      needed_number(table, row, "elevation_deg", 90.0),
                      needed_number(table, row, "gain_dbi", strongest_dbi)});
  }
  return points;
}

double peak_of(const Cut& cut) {
  double peak = -1e300;
  for (const auto& [angle, gain] : cut) peak = std::max(peak, gain);
  return peak;
}

std::pair<Cut, Cut> read_cuts(const CsvTable& table) {
  Cut azimuths, elevations;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    const std::string& word = table.rows[row][needed(table, "cut")];
    if (word != "azimuth" && word != "elevation") {
      throw InputError(table.row_ref(row),
                       "cut is '" + word + "', but must be azimuth or elevation");
    }
    const bool level = word == "azimuth";
    const double angle =
        level ? azimuth_at(table, row, "angle_deg") : needed_number(table, row, "angle_deg", 90.0);
    // A cut that starts at -180 and ends at 180 gives its back twice.
    const double place = level && angle == -180.0 ? 180.0 : angle;
    const double gain = needed_number(table, row, "gain_dbi", strongest_dbi);
    const auto [known, fresh] = (level ? azimuths : elevations).emplace(place, gain);
    if (!fresh && !(level && place == 180.0 && known->second == gain)) {
      throw InputError(table.row_ref(row),
                       fmt::format("gives angle_deg {} of the {} cut a second time", angle, word));
    }
  }
  for (const auto& [cut, word] : {std::pair(&azimuths, "azimuth"), {&elevations, "elevation"}}) {
    if (cut->size() < 2) {
      throw InputError({table.path, "", -1},
                       fmt::format("has {} {} of the {} cut; it needs both cuts, each with two "
                                   "angles or more",
                                   cut->size(), cut->size() == 1 ? "row" : "rows", word));
    }
  }
  return {azimuths, elevations};
}

std::vector<AntennaTable::Row> joined_cuts(const CsvTable& table) {
  const auto [azimuths, elevations] = read_cuts(table);
  const double peak = peak_of(azimuths), other_peak = peak_of(elevations);
  constexpr double alike_db = 1.0;  // two cuts of one antenna cross at its peak
  if (std::abs(peak - other_peak) > alike_db) {
    throw InputError({table.path, "", -1},
                     fmt::format("the azimuth cut peaks at {} dBi and the elevation cut at {} dBi; "
                                 "cuts of one antenna cross at its peak",
                                 peak, other_peak));
  }
  double deepest = 0.0;
  for (const auto& [angle, gain] : azimuths) deepest = std::max(deepest, peak - gain);
  for (const auto& [angle, gain] : elevations) deepest = std::max(deepest, other_peak - gain);
  std::vector<AntennaTable::Row> points;
  for (const auto& [azimuth, across] : azimuths) {
    for (const auto& [elevation, up] : elevations) {
      const double below = (peak - across) + (other_peak - up);
      points.push_back({azimuth, elevation, peak - std::min(below, deepest)});
    }
  }
  return points;
}

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

std::vector<double> axis_of(const std::vector<AntennaTable::Row>& points,
                            double AntennaTable::Row::*angle) {
  std::vector<double> axis;
  axis.reserve(points.size());
  for (const AntennaTable::Row& point : points) axis.push_back(point.*angle);
  std::sort(axis.begin(), axis.end());
  axis.erase(std::unique(axis.begin(), axis.end()), axis.end());
  return axis;
}

}  // namespace

AntennaTable read_antenna(const std::string& path) {
  const CsvTable table = read_csv(path);
  AntennaTable antenna{.path = path,
                       .points = table.column("cut") ? joined_cuts(table) : full_grid(table),
                       .azimuths_deg = {},
                       .elevations_deg = {}};
  wrap_around(antenna.points);
  antenna.azimuths_deg = axis_of(antenna.points, &AntennaTable::Row::azimuth_deg);
  antenna.elevations_deg = axis_of(antenna.points, &AntennaTable::Row::elevation_deg);
  std::sort(antenna.points.begin(), antenna.points.end(), [](const auto& a, const auto& b) {
    return std::tie(a.azimuth_deg, a.elevation_deg) < std::tie(b.azimuth_deg, b.elevation_deg);
  });
  const auto same = std::adjacent_find(
      antenna.points.begin(), antenna.points.end(), [](const auto& a, const auto& b) {
        return a.azimuth_deg == b.azimuth_deg && a.elevation_deg == b.elevation_deg;
      });
  if (same != antenna.points.end()) {
    throw InputError(
        {path, "", -1},
        fmt::format("gives one direction twice: azimuth_deg {}, "
                    "elevation_deg {}",
                    Angle::degrees(same->azimuth_deg).wrapped().degrees(), same->elevation_deg));
  }
  const std::size_t expected = antenna.azimuths_deg.size() * antenna.elevations_deg.size();
  if (expected == 0 || antenna.points.size() != expected) {
    throw InputError({path, "", -1},
                     "is no full table: every azimuth_deg needs the same elevation_deg rows");
  }
  antenna.peak_dbi = -1e300;
  for (const AntennaTable::Row& point : antenna.points) {
    antenna.peak_dbi = std::max(antenna.peak_dbi, point.gain_dbi);
  }
  return antenna;
}

}  // namespace sim
