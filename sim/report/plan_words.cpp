#include "sim/report/plan_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/explain/figures.h"
#include "sim/explain/wording.h"

namespace sim {
namespace {

std::string minutes(double seconds) { return fmt::format("{:.0f} min", std::ceil(seconds / 60.0)); }

std::string reason_text(const StreetGap::Reason& reason) {
  std::string text = reason.words;
  const std::size_t things = reason.things.size();
  if (things > 0) text += " " + reason.things.front();
  if (things == 2) text += " and " + reason.things.back();
  if (things > 2) text += fmt::format(" and {} other things", things - 1);
  return text;
}

std::string rates(double mbps, double low, double high) {
  std::string text = rate_text(mbps);
  if (rate_text(low) != rate_text(high))
    text += " (" + rate_text(low) + " to " + rate_text(high) + ")";
  return text;
}

}  // namespace

std::string expected_text(const PlannedPosition& p) {
  if (!p.at.link) return "nothing predicted";
  const LinkResult& link = *p.at.link;
  const double level = link.rsrp.value, spread = link.sigma.value;
  if (p.beyond_edge) {
    return fmt::format("no lasting link ({}{}; {:.0f} % to hold)",
                       level < least_heard_dbm ? "" : "about ", level_text(level),
                       100.0 * link.p_hold);
  }
  return fmt::format("{:.0f} dBm ({:.0f} to {:.0f}); Mbit/s: {} down, {} up", level, level - spread,
                     level + spread,
                     rates(link.downlink_mbps, link.downlink_low_mbps, link.downlink_high_mbps),
                     rates(link.uplink_mbps, link.uplink_low_mbps, link.uplink_high_mbps));
}

std::string margin_text(const Scene& scene, const PlannedPosition& p, LengthUnits units) {
  if (!p.at.sight) return "";
  if (p.margin.at_least) {
    return "sight holds for more than " + length_text(p.margin.margin_m, units) + " around";
  }
  std::string text = "sight holds for " + length_text(p.margin.margin_m, units) + " around; not " +
                     compass_word(*p.margin.not_towards);
  if (p.margin.blocker != no_obstacle) {
    text += ", where " + name_of(scene, p.margin.blocker) + " comes in the way";
  }
  return text;
}

std::string facing_text(const PlannedPosition& p) {
  const double face = std::fmod(std::round(p.face.degrees()) + 360.0, 360.0);
  return fmt::format("face {:.0f}° ({})", face, compass_word(p.face));
}

std::string place_text(const Scene& scene, const PlannedPosition& p, LengthUnits units) {
  std::string text = p.street + (p.side.empty() ? "" : ", " + p.side);
  const std::string& node = scene.nodes[p.at.node].id;
  if (std::isfinite(p.at.along_street_m)) {
    text += "; " + length_text(p.at.along_street_m, units) + " of walking from " + node;
  }
  const double straight = horizontal_distance_m(scene.nodes[p.at.node].position, p.at.phone);
  return text + ", " + length_text(straight, units) + " straight" +
         (std::isfinite(p.at.along_street_m) ? "" : " from " + node);
}

std::string plan_sentence(const Plan& plan, LengthUnits units) {
  const Route& r = plan.route;
  const std::size_t n = plan.positions.size();
  if (n == 0) return "No position can be planned.";
  const std::string climb =
      r.climb_m < 1.0 ? "no climb" : whole_length_text(r.climb_m, units) + " of climb";
  return fmt::format("{} position{}, a walk of {} with {}: {} on foot and {} of readings.", n,
                     n == 1 ? "" : "s", whole_length_text(r.length_m, units), climb,
                     minutes(r.walking_s), minutes(r.reading_s));
}

std::vector<std::string> gap_sentences(const Scene& scene, const Plan& plan, std::size_t most) {
  std::vector<std::string> sentences = plan.notes;
  std::vector<const StreetGap*> gaps;
  for (const StreetGap& gap : plan.gaps) {
    if (gap.kept < gap.steps) gaps.push_back(&gap);
  }
  // Streets with positions first: there the missing ones are missed.
  std::stable_sort(gaps.begin(), gaps.end(),
                   [](const StreetGap* a, const StreetGap* b) { return a->kept > b->kept; });
  for (std::size_t i = 0; i < std::min(most, gaps.size()); ++i) {
    const StreetGap& gap = *gaps[i];
    std::vector<StreetGap::Reason> reasons = gap.reasons;
    std::stable_sort(reasons.begin(), reasons.end(),
                     [](const auto& a, const auto& b) { return a.count > b.count; });
    constexpr std::size_t most_reasons = 3;
    std::string why;
    std::size_t told = 0;
    for (std::size_t k = 0; k < std::min(most_reasons, reasons.size()); ++k) {
      why += (why.empty() ? "" : ", ") +
             fmt::format("{} ({})", reasons[k].count, reason_text(reasons[k]));
      told += reasons[k].count;
    }
    const std::size_t missed = gap.steps - gap.kept;
    if (told < missed) why += fmt::format(", {} for other reasons", missed - told);
    sentences.push_back(fmt::format("{} for {}: {} of {} steps will do; left out: {}.", gap.street,
                                    scene.nodes[gap.node].id, gap.kept, gap.steps, why));
  }
  if (gaps.size() > most) {
    sentences.push_back(
        fmt::format("And {} more streets where some steps are left out; summary.json has them all.",
                    gaps.size() - most));
  }
  return sentences;
}

std::string kind_text(PositionKind kind) {
  switch (kind) {
    case PositionKind::step:
      return "in sight";
    case PositionKind::beyond:
      return "past the edge, out of sight";
    case PositionKind::pair_clear:
      return "control: clear of the obstacle";
    case PositionKind::pair_blocked:
      return "control: behind the obstacle";
    case PositionKind::off_side:
      return "control: off the sectors' side";
    case PositionKind::in_car:
      return "control: in a parked car";
    case PositionKind::informative:
      return "tells most";
    case PositionKind::wanted:
      return "named in the site file";
  }
  return "";
}

}  // namespace sim
