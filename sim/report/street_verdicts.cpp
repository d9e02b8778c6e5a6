#include "sim/report/street_verdicts.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/explain/figures.h"
#include "sim/explain/wording.h"
#include "sim/report/answers.h"

namespace sim {
namespace {

constexpr double foot_m = 0.3048;
constexpr std::size_t told_drops = 4;  // a sentence with more is no sentence

bool same_side(const StreetSide& a, const StreetSide& b) {
  return a.street_id == b.street_id && a.street == b.street && a.forward == b.forward;
}

std::vector<const DropStretch*> outward_drops(const StreetReach& reach,
                                              const std::vector<DropStretch>& drops) {
  std::vector<const DropStretch*> found;
  for (const DropStretch& drop : drops) {
    if (drop.direction == WalkDirection::outward && same_side(drop.side, reach.side)) {
      found.push_back(&drop);
    }
  }
  return found;
}

std::string whole(double metres) { return fmt::format("{:.0f}", std::abs(metres)); }

/// "228-241 m", or "228-241 m (748-791 ft)"
std::string interval_text(const Interval& interval, LengthUnits units) {
  if (std::isnan(interval.low)) return "";
  std::string text = fmt::format("{}-{} m", whole(interval.low), whole(interval.high));
  if (units == LengthUnits::imperial) {
    text += fmt::format(" ({}-{} ft)", whole(interval.low / foot_m), whole(interval.high / foot_m));
  }
  return text;
}

}  // namespace

std::string cause_phrase(const Scene& scene, Cause cause, ObstacleId obstacle) {
  if (obstacle != no_obstacle) {
    const Obstacle& o = scene.obstacles[obstacle];
    if (o.kind == ObstacleKind::ground) return "behind the rise of the ground";
    const std::string thing = o.id.rfind(o.what, 0) == 0 ? o.id : o.what + " " + o.id;
    return (is_foliage(o.kind) ? "through the leaves of " : "behind ") + thing;
  }
  switch (cause) {
    case Cause::distance:
      return "for distance";
    case Cause::sector:
      return "outside the sectors' beams";
    case Cause::enclosure:
      return "by what encloses the phone";
    case Cause::body:
      return "by the body";
    default:
      return fmt::format("for {}", to_string(cause));
  }
}

std::string drop_text(const Scene& scene, const DropStretch& drop, LengthUnits units) {
  const std::string why = cause_phrase(scene, drop.cause, drop.cause_obstacle);
  const auto length = [&](double metres) { return length_text(std::abs(metres), units); };
  if (drop.open_end) return fmt::format("has none from {} on, {}", length(drop.from_m), why);
  if (drop.from_m == drop.to_m) return fmt::format("drops at {} {}", length(drop.from_m), why);
  const std::string from = units == LengthUnits::metric ? whole(drop.from_m) : length(drop.from_m);
  return fmt::format("drops between {} and {} {}", from, length(drop.to_m), why);
}

std::vector<const StreetReach*> reaches_in_order(const StreetVerdicts& verdicts,
                                                 bool on_street_too) {
  const auto on_street = [](const StreetReach& r) { return r.side.off_street_m <= on_street_m; };
  std::vector<const StreetReach*> reaches;
  for (const StreetReach& reach : verdicts.reaches) {
    if (reach.holds || (on_street_too && on_street(reach))) reaches.push_back(&reach);
  }
  std::stable_sort(reaches.begin(), reaches.end(), [&](const StreetReach* a, const StreetReach* b) {
    const bool on_a = on_street(*a), on_b = on_street(*b);
    return on_a != on_b ? on_a : a->to_m > b->to_m;
  });
  return reaches;
}

std::string verdict_text(const Scene& scene, const StreetReach& reach,
                         const std::vector<DropStretch>& drops, LengthUnits units) {
  const StreetSide& side = reach.side;
  const std::string where =
      fmt::format("{}, {} from {}", side.street, compass_word(side.heading), side.from_node);
  const auto found = outward_drops(reach, drops);
  if (!reach.holds) {
    const std::string why =
        found.empty() ? "" : ", " + cause_phrase(scene, found[0]->cause, found[0]->cause_obstacle);
    return "holds nowhere along " + where + why;
  }
  std::string text = "holds ";
  if (reach.from_m > 0.0) text += fmt::format("from {} ", whole(reach.from_m));
  text += fmt::format("to {} along {}", length_text(reach.to_m, units), where);
  if (reach.to_the_end) return text + ", as far as was asked";
  const std::string interval = interval_text(reach.to_interval, units);
  if (!interval.empty()) text += fmt::format(" ({} in eight of ten draws)", interval);
  std::size_t told = 0;
  for (const DropStretch* drop : found) {
    if (std::abs(drop->from_m) < reach.to_m) continue;
    if (++told > told_drops) continue;
    text += "; " + drop_text(scene, *drop, units);
  }
  if (told > told_drops) text += fmt::format("; and {} more", told - told_drops);
  return text;
}

std::string street_table(const Scene& scene, const std::vector<StreetWalk>& walks,
                         const StreetVerdicts& verdicts, LengthUnits units, std::size_t most) {
  constexpr std::array<double, 7> marks_m{25, 50, 100, 150, 200, 250, 300};
  const auto shown = reaches_in_order(verdicts, false);
  std::string text = fmt::format("{:<24}{:<8}{:<12}{:>9} {:>11}  downlink Mbit/s at", "street",
                                 "from", "towards", "holds to", "10-90 %");
  for (const double m : marks_m) text += fmt::format(" {:>5.0f}", m);
  text += " m\n";
  if (units == LengthUnits::imperial) {
    text += fmt::format("{:<85}", "");
    for (const double m : marks_m) text += fmt::format(" {:>5.0f}", m / foot_m);
    text += " ft\n";
  }
  for (std::size_t r = 0; r < std::min(most, shown.size()); ++r) {
    const StreetReach& reach = *shown[r];
    const StreetSide& side = reach.side;
    text += fmt::format(
        "{:<24.23}{:<8.7}{:<12}{:>9} {:>11}{:>20}", side.street, side.from_node,
        compass_word(side.heading), length_text(reach.to_m, LengthUnits::metric),
        reach.to_the_end ? "to the end" : interval_text(reach.to_interval, LengthUnits::metric),
        "");
    for (const double mark : marks_m) {
      std::string rate = ".";
      for (const StreetWalk& walk : walks) {
        if (walk.street_id != side.street_id || name_of(walk) != side.street) continue;
        double nearest = 5.0;
        for (const Station& s : walk.stations) {
          const double off = std::abs((side.forward ? s.along_m : -s.along_m) - mark);
          if (!s.best || off >= nearest) continue;
          nearest = off;
          rate = s.held_outward ? rate_text(s.best->downlink_mbps) : "-";
        }
      }
      text += fmt::format(" {:>5}", rate);
    }
    text += "\n";
    if (units == LengthUnits::imperial) {
      text += "    holds to " + whole_length_text(reach.to_m, units) + "\n";
    }
    std::size_t told = 0;
    for (const DropStretch* drop : outward_drops(reach, verdicts.drops)) {
      if (++told <= told_drops) text += "    " + drop_text(scene, *drop, units) + "\n";
    }
    if (told > told_drops) text += fmt::format("    and {} more drops\n", told - told_drops);
  }
  if (shown.size() > most) {
    text += fmt::format("and {} more sides of streets in along_streets.csv\n", shown.size() - most);
  }
  const std::size_t none = verdicts.reaches.size() - shown.size();
  if (none > 0) text += fmt::format("{} sides of streets within the radius hold nowhere\n", none);
  text += "- no link on a walk outward   . no street there\n";
  return text;
}

}  // namespace sim
