#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <filesystem>

#include "sim/import/nearest_word.h"
#include "sim/scene/street_line.h"
#include "sim/survey/address_points.h"
#include "sim/survey/repeats.h"
#include "sim/survey/survey.h"
#include "sim/survey/survey_cells.h"
#include "sim/survey/survey_columns.h"
#include "sim/survey/survey_time.h"
#include "sim/survey/track.h"

namespace sim {
namespace {

constexpr double foot_m = 0.3048;
/// A walker on the footway is about this far from the centre line; common practice, no source.
constexpr double footway_offset_m = 5.0;
/// A walk may end on the crossing past the mapped end of a street; common practice, no source.
constexpr double past_the_end_m = 20.0;

class OneSurvey {
 public:
  OneSurvey(const ImportedSite& site, const SurveySettings& settings, Survey& out)
      : site_(site),
        settings_(settings),
        out_(out),
        to_map_(Crs::wgs84(), site.crs),
        to_degrees_(site.crs, Crs::wgs84()) {}

  void read() {
    cells_ = read_survey_cells(settings_, site_.crs, out_.issues);
    columns_ = survey_columns(cells_.fields, settings_);
    const auto zone = zone_offset_s(settings_.time_zone);
    if (!zone) {
      throw InputError(settings_.where, "time_zone = \"" + settings_.time_zone +
                                            "\" is not understood; write \"UTC\" or \"+02:00\"");
    }
    zone_s_ = *zone;
    if (!settings_.track.empty()) track_ = Track::read(settings_.track, site_.crs);
    const bool geometry = std::any_of(cells_.places.begin(), cells_.places.end(),
                                      [](const auto& p) { return p.has_value(); });
    const bool degrees = has("lon") && has("lat"), metres = has("x_m") && has("y_m");
    const bool along = has("street") && (has("along_m") || has("along_ft"));
    if (!settings_.addresses.empty()) {
      addresses_ = AddressPoints::read(settings_.addresses, site_.crs);
    }
    const bool by_address = addresses_ && has("address");
    std::string found;
    for (const std::string& field : cells_.fields) found += (found.empty() ? "" : ", ") + field;
    if (!geometry && !degrees && !metres && !along && !by_address && !(track_ && has("time"))) {
      throw InputError(
          {settings_.file, "", 0},
          "has no position: it needs lon and lat, x_m and y_m, or street and along_m (or "
          "time with a `track`); map its columns with columns = { lon = \"...\", lat = "
          "\"...\" }; it has: " +
              found);
    }
    constexpr std::array measured{"rsrp_dbm",    "sinr_db",    "downlink_mbps",
                                  "uplink_mbps", "latency_ms", "connected"};
    if (std::none_of(measured.begin(), measured.end(), [&](const char* m) { return has(m); })) {
      out_.issues.push_back(
          {Severity::noted,
           {settings_.file, "", 0},
           "nothing_measured",
           "has no measured column that is known (rsrp_dbm, sinr_db, downlink_mbps, uplink_mbps, "
           "latency_ms, connected); map one with columns = { rsrp_dbm = \"...\" }; it has: " +
               found});
    }
    for (std::size_t row = 0; row < cells_.rows.size(); ++row)
      out_.measurements.push_back(one(row));
  }

 private:
  bool has(const std::string& name) const { return columns_.contains(name); }

  std::string text(std::size_t row, const std::string& name) const {
    const auto column = columns_.find(name);
    return column == columns_.end() ? "" : cells_.rows[row][column->second];
  }

  void note(std::size_t row, const std::string& code, const std::string& message,
            Severity severity = Severity::dropped) {
    out_.issues.push_back({severity, cells_.sources[row], code, message});
  }

  std::optional<double> number(std::size_t row, const std::string& name) {
    const std::string cell = text(row, name);
    if (cell.empty()) return std::nullopt;
    double value = 0.0;
    const char* end = cell.data() + cell.size();
    const auto [stop, error] =
        std::from_chars(cell.data() + (cell.front() == '+' ? 1 : 0), end, value);
    if (error == std::errc{} && stop == end && std::isfinite(value)) return value;
    // Logs write "nan", "N/A" or "-" where the phone had nothing to say.
    constexpr std::array<std::string_view, 6> nothing{"nan", "NaN", "N/A", "NA", "-", "null"};
    if (std::find(nothing.begin(), nothing.end(), cell) == nothing.end()) {
      note(row, "not_a_number", name + " is '" + cell + "', which is no number; it was left out");
    }
    return std::nullopt;
  }

  Measurement one(std::size_t row) {
    Measurement m;
    m.survey = std::filesystem::path(settings_.file).filename();
    m.row = static_cast<std::int64_t>(row) + 1;
    m.source = cells_.sources[row];
    m.context = settings_.context.value_or(site_.site.receiver.context);
    if (const std::string word = text(row, "context"); !word.empty()) {
      if (const auto context = receiver_context_from(word)) {
        m.context = *context;
      } else {
        note(row, "context_unknown",
             "context '" + word + "' is not known; " + std::string(to_string(m.context)) +
                 " was taken",
             Severity::defaulted);
      }
    }
    m.node = text(row, "node").empty() ? settings_.node : text(row, "node");
    m.note = text(row, "note").empty() ? settings_.note : text(row, "note");
    m.street = text(row, "street");
    m.side = text(row, "side");
    const auto& nodes = site_.nodes;
    if (!m.node.empty() && !nodes.empty() && m.street.empty() &&
        std::none_of(nodes.begin(), nodes.end(), [&](const auto& n) { return n.id == m.node; })) {
      note(row, "node_unknown",
           "node '" + m.node + "' is not in the site; the strongest of all nodes was taken",
           Severity::defaulted);
    }
    m.accuracy_m = number(row, "accuracy_m");
    m.downlink_mbps = number(row, "downlink_mbps");
    m.uplink_mbps = number(row, "uplink_mbps");
    m.latency_ms = number(row, "latency_ms");
    m.rsrp_dbm = number(row, "rsrp_dbm");
    if (m.rsrp_dbm && (*m.rsrp_dbm > 0.0 || *m.rsrp_dbm < -200.0)) {
      note(row, "level_not_physical",
           "rsrp_dbm " + text(row, "rsrp_dbm") + " cannot be; it was left out");
      m.rsrp_dbm.reset();
    }
    m.sinr_db = number(row, "sinr_db");
    m.connected = connected(row);
    std::optional<double> seconds;
    if (const std::string when = text(row, "time"); !when.empty()) {
      seconds = time_from_text(when, zone_s_);
      if (seconds) {
        m.time = time_text(*seconds);
      } else {
        note(row, "time_unreadable",
             "time '" + when + "' is not understood; write 2026-05-01T10:00:00Z");
      }
    }
    place(row, seconds, m);
    return m;
  }

  /// Whether the phone was connected; also as the states that Android gives for its 5G link.
  std::optional<bool> connected(std::size_t row) {
    std::string word = text(row, "connected");
    std::transform(word.begin(), word.end(), word.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    constexpr std::array<std::string_view, 4> yes{"1", "true", "yes", "connected"};
    constexpr std::array<std::string_view, 8> no{
        "0", "false", "no", "none", "restricted", "not_restricted", "disconnected", "dropped"};
    if (std::find(yes.begin(), yes.end(), word) != yes.end()) return true;
    if (std::find(no.begin(), no.end(), word) != no.end()) return false;
    if (!word.empty()) {
      note(row, "connected_unknown",
           "connected is '" + text(row, "connected") + "', not yes or no; it was left out");
    }
    return std::nullopt;
  }

  void place(std::size_t row, std::optional<double> seconds, Measurement& m) {
    m.lon_deg = number(row, "lon");
    m.lat_deg = number(row, "lat");
    if (cells_.places[row]) {
      m.place = cells_.places[row];
    } else if (m.lon_deg && m.lat_deg) {
      if (*m.lon_deg == 0.0 && *m.lat_deg == 0.0) {
        note(row, "no_fix", "position is longitude 0, latitude 0: the phone had no fix");
      } else if (std::abs(*m.lat_deg) <= 90.0) {
        m.place = to_map_({*m.lon_deg, *m.lat_deg});
        if (!m.place) note(row, "far_away", "position lies outside the area of the site's map");
      } else {
        note(row, "not_on_earth",
             "latitude " + text(row, "lat") +
                 " is not on Earth; swapped with "
                 "longitude?");
      }
    } else if (const auto x = number(row, "x_m"), y = number(row, "y_m"); x && y) {
      m.place = Xy{*x, *y};
    } else if (!m.street.empty()) {
      place_along(row, m);
    } else if (const std::string address = text(row, "address"); addresses_ && !address.empty()) {
      m.placed_by = PlacedBy::address;
      m.place = addresses_->find(address);
      const std::string near = m.place ? "" : addresses_->nearest(address);
      if (!m.place) {
        note(row, "address_unknown",
             "address '" + address + "' is not among the address points" +
                 (near.empty() ? "" : "; did you mean '" + near + "'?"));
      }
    } else if (track_ && seconds) {
      m.place = track_->at(*seconds);
      m.placed_by = PlacedBy::track;
      if (!m.place) note(row, "not_on_track", "the track has no fix within 30 s of this time");
    } else {
      note(row, "no_place", "has no position; it is kept without one");
    }
    if (m.place && (!m.lon_deg || !m.lat_deg)) {
      if (const auto degrees = to_degrees_(*m.place)) {
        m.lon_deg = degrees->x;
        m.lat_deg = degrees->y;
      }
    }
  }

  void place_along(std::size_t row, Measurement& m) {
    m.placed_by = PlacedBy::along_street;
    auto along = number(row, "along_m");
    if (const auto feet = number(row, "along_ft"); !along && feet) along = foot_m * *feet;
    const NodeRecord* node = nullptr;
    for (const NodeRecord& candidate : site_.nodes) {
      if (candidate.id == m.node || (m.node.empty() && node == nullptr)) node = &candidate;
    }
    if (!along || node == nullptr) {
      note(row, "no_place",
           node == nullptr ? "node '" + m.node +
                                 "' is not in the site, so the distance "
                                 "along the street has no start"
                           : "has a street but no along_m or along_ft");
      return;
    }
    if (m.node.empty() && site_.nodes.size() > 1) {
      note(row, "node_assumed",
           "names no node, so the distance along the street was taken from node '" + node->id + "'",
           Severity::defaulted);
    }
    const auto street = StreetLine::find(site_.streets, m.street, node->place);
    if (!street) {
      std::vector<std::string> names;
      for (const StreetRecord& s : site_.streets) {
        if (!s.name.empty()) names.push_back(s.name);
      }
      const std::string near = nearest_word(m.street, names);
      note(row, "street_unknown",
           "street '" + m.street + "' is not among the site's streets" +
               (near.empty() ? "" : "; did you mean '" + near + "'?"));
      return;
    }
    if (!m.side.empty() && m.side != "left" && m.side != "right" && m.side != "centre") {
      note(row, "side_unknown",
           "side '" + m.side + "' is not left, right or centre; centre was taken",
           Severity::defaulted);
    }
    const double left = m.side == "left"    ? footway_offset_m
                        : m.side == "right" ? -footway_offset_m
                                            : 0.0;
    const double from_start = street->along_of(node->place) + *along;
    if (from_start < -past_the_end_m || from_start > street->length_m() + past_the_end_m) {
      note(row, "beyond_the_street",
           "lies " +
               std::to_string(
                   std::lround(from_start < 0.0 ? -from_start : from_start - street->length_m())) +
               " m beyond the end of '" + m.street + "'; it is kept without a place");
      return;
    }
    m.place = street->at(from_start, left);
  }

  const ImportedSite& site_;
  const SurveySettings& settings_;
  Survey& out_;
  CrsTransform to_map_, to_degrees_;
  SurveyCells cells_;
  std::map<std::string, std::size_t> columns_;
  std::optional<Track> track_;
  std::optional<AddressPoints> addresses_;
  double zone_s_ = 0.0;
};

}  // namespace

Survey read_surveys(const ImportedSite& imported) {
  Survey survey;
  for (const SurveySettings& settings : imported.site.surveys) {
    OneSurvey(imported, settings, survey).read();
  }
  survey.repeats = summarise_repeats(survey.measurements);
  return survey;
}

}  // namespace sim
