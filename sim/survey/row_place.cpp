#include "sim/survey/row_place.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/survey/impossible_places.h"
#include "sim/survey/street_place.h"
#include "sim/survey/survey_time.h"

namespace sim {
namespace {

const char* accuracy_default(PlacedBy placed_by) {
  switch (placed_by) {
    case PlacedBy::along_street:
      return "survey_street_accuracy_m";
    case PlacedBy::address:
      return "survey_address_accuracy_m";
    case PlacedBy::gps:
    case PlacedBy::track:
      break;
  }
  return "survey_gps_accuracy_m";
}

}  // namespace

RowPlaces::RowPlaces(const ImportedSite& site, const SurveySettings& settings,
                     const SurveyRows& rows)
    : site_(site), to_map_(Crs::wgs84(), site.crs), to_degrees_(site.crs, Crs::wgs84()) {
  if (!settings.track.empty()) track_ = Track::read(settings.track, site.crs);
  if (!settings.addresses.empty()) {
    addresses_ = AddressPoints::read(settings.addresses, site.crs);
  }
  const bool degrees = rows.has("lon") && rows.has("lat");
  const bool metres = rows.has("x_m") && rows.has("y_m");
  const bool along = rows.has("street") && (rows.has("along_m") || rows.has("along_ft"));
  const bool address = addresses_ && rows.has("address");
  const bool named = rows.has("place") || !settings.place.empty();
  if (!rows.has_geometry() && !degrees && !metres && !along && !address && !named &&
      !(track_ && rows.has("time"))) {
    throw InputError(
        {settings.file, "", 0},
        "has no position: it needs lon and lat, x_m and y_m, or street and along_m (or "
        "time with a `track`); map its columns with columns = { lon = \"...\", lat = "
        "\"...\" }; it has: " +
            rows.all_fields());
  }
}

bool RowPlaces::by_own_position(SurveyRows& rows, std::size_t row, Measurement& m) {
  const auto aside = [&](const char* code, const std::string& why) {
    m.set_aside = code;
    rows.set_aside(row, code, "position", why);
  };
  m.lon_deg = rows.number(row, "lon");
  m.lat_deg = rows.number(row, "lat");
  if (rows.geometry(row)) {
    m.place = rows.geometry(row);
  } else if (m.lon_deg && m.lat_deg) {
    if (*m.lon_deg == 0.0 && *m.lat_deg == 0.0) {
      aside("no_fix", "longitude 0, latitude 0 is what a phone without a fix writes");
    } else if (std::abs(*m.lat_deg) > 90.0 || std::abs(*m.lon_deg) > 180.0) {
      aside("not_on_earth", "longitude " + rows.text(row, "lon") + ", latitude " +
                                rows.text(row, "lat") + " is not on Earth; are they swapped?");
    } else {
      m.place = to_map_({*m.lon_deg, *m.lat_deg});
      if (!m.place) aside("far_away", "it lies outside the area of the site's map");
    }
  } else if (const auto x = rows.number(row, "x_m"), y = rows.number(row, "y_m"); x && y) {
    constexpr double widest_m = 1e8;  // no map in metres reaches farther
    if (std::abs(*x) < widest_m && std::abs(*y) < widest_m) {
      m.place = Xy{*x, *y};
    } else {
      aside("far_away", "it lies outside the area of the site's map");
    }
  }
  return m.place.has_value();
}

bool RowPlaces::by_address(SurveyRows& rows, std::size_t row, Measurement& m) {
  const auto found = addresses_->find(m.address);
  if (!found) {
    const std::string numbers = addresses_->known_numbers(m.address);
    const std::string near = numbers.empty() ? addresses_->nearest(m.address) : "";
    rows.tell(row, "address_unknown",
              "address '" + m.address + "' is not among the address points" +
                  (numbers.empty() ? "" : "; " + numbers) +
                  (near.empty() ? "" : "; did you mean '" + near + "'?"));
    return false;
  }
  m.place = found->place;
  gap_m_ = found->gap_m;
  if (!found->between.empty()) {
    rows.tell(row, "address_interpolated",
              "address '" + m.address + "' is not among the address points; it was put between " +
                  found->between + ", which are " + std::to_string(std::lround(found->gap_m)) +
                  " m apart",
              Severity::defaulted);
  }
  return true;
}

void RowPlaces::place(SurveyRows& rows, std::size_t row, Measurement& m) {
  gap_m_ = 0.0;
  const auto tell = [&](const std::string& code, const std::string& message, Severity severity) {
    rows.tell(row, code, message, severity);
  };
  if (by_own_position(rows, row, m)) {
    m.placed_by = PlacedBy::gps;
  } else if (!m.street.empty()) {
    m.placed_by = PlacedBy::along_street;
    auto along = rows.number(row, "along_m");
    if (!along) along = rows.number(row, "along_ft");
    m.place = place_along_street(site_, m, along, tell);
    if (m.place && directions_told_.insert(m.street + "\n" + m.node).second) {
      rows.tell_of_file("street_direction", street_direction(site_, m), Severity::noted);
    }
  } else if (addresses_ && !m.address.empty()) {
    m.placed_by = PlacedBy::address;
    by_address(rows, row, m);
  } else if (track_ && m.time_s) {
    m.placed_by = PlacedBy::track;
    m.place = track_->at(*m.time_s);
    if (!m.place) {
      rows.set_aside(row, "not_on_track", "position",
                     "the track has no fix within 30 s of " + m.time + "; it runs from " +
                         time_text(track_->first_s()) + " to " + time_text(track_->last_s()) +
                         ": is the time_zone of the [[survey]] right?");
    }
  } else if (m.set_aside.empty() && !m.spot.empty()) {
    ++named_only_;
  } else if (m.set_aside.empty()) {
    rows.set_aside(row, "no_place", "position",
                   "there is none, and no street, address, or time on a track to find it by");
  }
  if (!m.place) return;
  m.set_aside.clear();
  if (!m.lon_deg || !m.lat_deg || m.placed_by != PlacedBy::gps) {
    if (const auto degrees = to_degrees_(*m.place)) {
      m.lon_deg = degrees->x;
      m.lat_deg = degrees->y;
    }
  }
  accuracy(rows, row, m, gap_m_);
}

void RowPlaces::accuracy(SurveyRows& rows, std::size_t row, Measurement& m, double gap_m) {
  constexpr double most_m = 1e5;
  m.accuracy_m =
      rows.number_within(row, "accuracy_m", 1e-3, most_m, "accuracy_unknown",
                         "an accuracy is above 0, and phones write 0 where they know none");
  if (m.accuracy_m) return;
  m.accuracy_assumed = true;
  m.accuracy_m = site_.defaults(accuracy_default(m.placed_by)) +
                 site_.defaults("survey_number_gap_share") * gap_m;
  assumed_least_m_ = assumed_ == 0 ? *m.accuracy_m : std::min(assumed_least_m_, *m.accuracy_m);
  assumed_most_m_ = std::max(assumed_most_m_, *m.accuracy_m);
  ++assumed_;
}

void RowPlaces::tell_assumed(SurveyRows& rows) const {
  if (named_only_ > 0) {
    rows.tell_of_file("named_place",
                      std::to_string(named_only_) + (named_only_ == 1 ? " row has" : " rows have") +
                          " no position but the name of a place, and are compared with other rows "
                          "there alone",
                      Severity::noted);
  }
  if (assumed_ == 0) return;
  rows.tell_of_file("accuracy_assumed",
                    std::to_string(assumed_) + (assumed_ == 1 ? " row states" : " rows state") +
                        " no accuracy_m; " +
                        (assumed_least_m_ < assumed_most_m_
                             ? fmt::format("{:.3g} to {:.3g}", assumed_least_m_, assumed_most_m_)
                             : fmt::format("{:.3g}", assumed_most_m_)) +
                        " m was taken, by how each was placed",
                    Severity::defaulted);
}

void RowPlaces::set_impossible_aside(SurveyRows& rows, std::vector<Measurement>& all,
                                     std::size_t first) const {
  const auto take_place = [&](std::size_t i, const char* code, const std::string& why) {
    all[i].place.reset();
    all[i].set_aside = code;
    rows.set_aside(i - first, code, "position", why);
  };
  std::vector<Xy> nodes, places;
  std::vector<std::size_t> placed;
  for (const NodeRecord& node : site_.nodes) nodes.push_back(node.place);
  for (std::size_t i = first; i < all.size(); ++i) {
    if (!all[i].place || all[i].placed_by != PlacedBy::gps) continue;
    places.push_back(*all[i].place);
    placed.push_back(i);
  }
  const double farthest_km =
      site_.defaults(nodes.empty() ? "survey_widest_km" : "survey_farthest_km");
  for (const std::size_t i : far_places(places, nodes, 1000.0 * farthest_km)) {
    take_place(placed[i], "far_from_site",
               "it lies more than " + std::to_string(std::lround(farthest_km)) + " km from " +
                   (nodes.empty() ? "the middle of the survey" : "every node of the site"));
  }
  std::map<std::string, std::vector<std::size_t>> runs;
  for (const std::size_t i : placed) {
    if (all[i].place && all[i].time_s) runs[all[i].run].push_back(i);
  }
  const double fastest = site_.defaults("survey_fastest_m_per_s");
  for (const auto& [run, rows_of_run] : runs) {
    std::vector<TimedPlace> walk;
    for (const std::size_t i : rows_of_run) {
      walk.push_back({*all[i].place, *all[i].time_s, all[i].accuracy_m.value_or(0.0)});
    }
    for (const std::size_t i : speed_jumps(walk, fastest)) {
      take_place(rows_of_run[i], "speed_jump",
                 "to come there from the rows before and after takes more than " +
                     std::to_string(std::lround(fastest)) + " m/s");
    }
  }
}

}  // namespace sim
