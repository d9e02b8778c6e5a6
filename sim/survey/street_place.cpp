#include "sim/survey/street_place.h"

#include <array>
#include <cmath>
#include <numbers>

#include "sim/base/words.h"
#include "sim/import/nearest_word.h"
#include "sim/scene/street_line.h"
#include "sim/survey/survey_words.h"

namespace sim {
namespace {

/// A walker on the footway is about this far from the centre line; common practice, no source.
constexpr double footway_offset_m = 5.0;
/// A walk may end on the crossing past the mapped end of a street; common practice, no source.
constexpr double past_the_end_m = 20.0;

/// The node that the row names, or the first of the site.
const NodeRecord* node_of(const ImportedSite& site, const Measurement& m) {
  for (const NodeRecord& node : site.nodes) {
    if (m.node.empty() || node.id == m.node) return &node;
  }
  return nullptr;
}

std::string compass(double east, double north) {
  constexpr std::array<std::string_view, 8> words{"north", "north-east", "east", "south-east",
                                                  "south", "south-west", "west", "north-west"};
  const double eighths = std::atan2(east, north) / (std::numbers::pi / 4.0);
  return std::string(words[static_cast<std::size_t>((std::lround(eighths) + 8) % 8)]);
}

/// The street of the row: by its name as written, else by a name that differs in case alone.
std::optional<StreetLine> street_of(const ImportedSite& site, const Measurement& m, Xy near) {
  if (auto street = StreetLine::find(site.streets, m.street, near)) return street;
  for (const StreetRecord& record : site.streets) {
    if (lower(record.name) == lower(trimmed(m.street))) {
      return StreetLine::find(site.streets, record.name, near);
    }
  }
  return std::nullopt;
}

/// How far left of the centre line the row's side is, by its word or the compass.
double left_of(const StreetLine& street, double along_m, const Measurement& m,
               const TellIssue& tell) {
  if (m.side == "left") return footway_offset_m;
  if (m.side == "right") return -footway_offset_m;
  if (m.side.empty() || m.side == "centre") return 0.0;
  if (const auto towards = side_towards(m.side)) {
    const Xy left = street.at(along_m, 1.0), right = street.at(along_m, -1.0);
    const double to_left = (left.x - right.x) * towards->x + (left.y - right.y) * towards->y;
    constexpr double along_the_street = 0.5;  // 2 m wide: within 15 degrees of the street itself
    if (std::abs(to_left) > along_the_street * std::hypot(towards->x, towards->y)) {
      return to_left > 0.0 ? footway_offset_m : -footway_offset_m;
    }
    tell("side_unknown",
         "side '" + m.side + "' lies along '" + m.street +
             "' there, not beside it; centre was taken",
         Severity::defaulted);
    return 0.0;
  }
  tell("side_unknown",
       "side '" + m.side +
           "' is not left, right, centre or a compass word such as north; centre was taken",
       Severity::defaulted);
  return 0.0;
}

}  // namespace

std::optional<Xy> place_along_street(const ImportedSite& site, const Measurement& m,
                                     std::optional<double> along_m, const TellIssue& tell) {
  const NodeRecord* node = node_of(site, m);
  if (!along_m || node == nullptr) {
    tell("no_place",
         node != nullptr  ? "has a street but no along_m or along_ft"
         : m.node.empty() ? "the site has no node, so the distance along the street has no start"
                          : "node '" + m.node +
                                "' is not in the site, so the distance along the street has no "
                                "start",
         Severity::dropped);
    return std::nullopt;
  }
  if (m.node.empty() && site.nodes.size() > 1) {
    tell("node_assumed",
         "names no node, so the distance along the street was taken from node '" + node->id + "'",
         Severity::defaulted);
  }
  const auto street = street_of(site, m, node->place);
  if (!street) {
    std::vector<std::string> names;
    for (const StreetRecord& s : site.streets) {
      if (!s.name.empty()) names.push_back(s.name);
    }
    const std::string near = nearest_word(m.street, names);
    tell("street_unknown",
         "street '" + m.street + "' is not among the site's streets" +
             (near.empty() ? "" : "; did you mean '" + near + "'?"),
         Severity::dropped);
    return std::nullopt;
  }
  const double from_start = street->along_of(node->place) + *along_m;
  const double length = street->length_m();
  if (from_start < -past_the_end_m || from_start > length + past_the_end_m) {
    tell("beyond_the_street",
         "lies " +
             std::to_string(std::lround(from_start < 0.0 ? -from_start : from_start - length)) +
             " m beyond the end of '" + m.street + "'; it is kept without a place",
         Severity::dropped);
    return std::nullopt;
  }
  return street->at(from_start, left_of(*street, from_start, m, tell));
}

std::string street_direction(const ImportedSite& site, const Measurement& m) {
  const NodeRecord* node = node_of(site, m);
  const auto street = node == nullptr ? std::nullopt : street_of(site, m, node->place);
  if (!street) return "";
  const double here = street->along_of(node->place);
  const Xy from = street->at(here, 0.0), to = street->at(here + 1.0, 0.0);
  const double east = to.x - from.x, north = to.y - from.y;
  return "distances along '" + m.street + "' from node '" + node->id + "' count positive to the " +
         compass(east, north) + ", where left is " + compass(-north, east);
}

}  // namespace sim
