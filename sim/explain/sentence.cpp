#include "sim/explain/sentence.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/explain/figures.h"
#include "sim/explain/place_words.h"
#include "sim/explain/reason.h"
#include "sim/explain/shortest_step.h"
#include "sim/explain/wording.h"
#include "sim/link/antenna.h"
#include "sim/link/reflections.h"

namespace sim {
namespace {

const LossTerm* dearest_of(const LinkResult& link, ObstacleId obstacle) {
  const LossTerm* dearest = nullptr;
  for (const LossTerm& term : link.terms) {
    if (term.obstacle != obstacle || term.cause != link.cause) continue;
    if (dearest == nullptr || term.loss > dearest->loss) dearest = &term;
  }
  return dearest;
}

class Sentence {
 public:
  Sentence(const Scene& scene, const ExplainedPoint& point, LengthUnits units)
      : scene_(scene),
        point_(point),
        reported_(*point.link),
        link_(point.reading == Reading::as_mapped && point.likely ? *point.likely : *point.link),
        units_(units) {}

  /// What the map says is in the way, and what comes another way.
  std::string in_the_way() const { return straight_way() + way_round(); }

  std::string straight_way() const {
    const std::string from = "node " + scene_.nodes[link_.node].id + ", sector " + sector().id;
    const std::string away = length(link_.distance_3d_m) + " from " + from;
    switch (link_.cause) {
      case Cause::none:
        return fmt::format("The direct path is {}, {}: nothing stands in the way.",
                           link_.sight == Sight::los ? "clear" : "free", away);
      case Cause::distance:
        return fmt::format("Plain range: {}, where free space alone costs {:.0f} dB.", away,
                           link_.sum(TermGroup::free_space).value);
      case Cause::sector:
        if (behind()) {
          return fmt::format(
              "Behind the sector: the point lies {}, where only side lobes and reflections reach, "
              "{:.0f} dB below the beam; {}.",
              off_boresight(), -link_.pattern.value, away);
        }
        return fmt::format("Outside the beam: the point lies {}, which costs {:.0f} dB; {}.",
                           off_boresight(), -link_.pattern.value, away);
      case Cause::enclosure:
        return fmt::format("The phone is {}, which costs {:.0f} dB; {}.", housed(),
                           dearest_of(link_, no_obstacle)->loss.value, away);
      case Cause::body:
        return body() + away + ".";
      default:
        return obstacle(away);
    }
  }

  /// What serves the point when the straight path is not the strongest.
  std::string way_round() const {
    if (link_.strongest_reflection < 0) {
      if (!served_by_walls(link_)) return "";
      return fmt::format(
          " The signal comes by what walls reflect and scatter, {:.0f} dB above the straight way.",
          link_.reflection_gain.value);
    }
    const ReflectedPath& path =
        link_.reflected[static_cast<std::size_t>(link_.strongest_reflection)];
    return fmt::format(
        " The signal comes by a reflection off {}, {:.0f} dB above the straight way.",
        name_of(scene_, path.bounces.back().obstacle), link_.reflection_gain.value);
  }

  std::string compared() const {
    const Measurement& m = point_.measurement;
    if (point_.residual_db) {
      const bool heard = reported_.rsrp.value >= least_heard_dbm;
      return fmt::format(
          " Measured {:.0f} dBm, expected {}{}.", *m.rsrp_dbm, level_text(reported_.rsrp.value),
          heard ? fmt::format(" ({:+.0f} dB)", std::round(*point_.residual_db) + 0.0) : "");
    }
    const std::string expected =
        fmt::format("expected {}, {}", level_text(reported_.rsrp.value),
                    reported_.state == LinkState::hold       ? "a link that holds"
                    : reported_.state == LinkState::marginal ? "a marginal link"
                                                             : "no link");
    if (m.connected) {
      return fmt::format(" The phone was {}; {}.", *m.connected ? "connected" : "not connected",
                         expected);
    }
    return " " + upper_first(expected) + ".";
  }

  /// Why the place decides: a shadow's edge, or a level that changes from step to step.
  std::string unsure_place() const {
    const bool beam = link_.cause == Cause::sector || link_.cause == Cause::none;
    if (point_.cause_obstacle != no_obstacle) {
      return "The point straddles the edge of the shadow of " +
             name_of(scene_, point_.cause_obstacle);
    }
    return beam ? "The level changes fast around this point"
                : "The point straddles the edge of a shadow";
  }

  std::string indoors() const { return house_around(scene_, reported_); }

  /// What in the site would make a point stronger than expected.
  std::string may_be_wrong() const {
    switch (link_.cause) {
      case Cause::sector:
        return "the sector's azimuth or downtilt in the site may be off, or a reflection helps.";
      case Cause::enclosure:
      case Cause::body:
        return "the phone may not have been where its context says, or a reflection helps.";
      case Cause::none:
      case Cause::distance:
        return "the node may send more than the site says, or a reflection helps.";
      default:
        return "what is mapped may be lower or gone, or a reflection helps.";
    }
  }

  std::string step() const {
    if (point_.step) {
      const Step& s = *point_.step;
      return fmt::format(" Step about {} to the {} to get the link back.",
                         whole_length_text(s.distance_m(), units_),
                         compass_word(Angle::radians(std::atan2(s.east_m, s.north_m))));
    }
    if (point_.holds_without_cause) {
      return point_.cause == Cause::enclosure
                 ? " Outside of it, on the same spot, the link would hold."
                 : " Turned so that the phone sees the node, the link would hold.";
    }
    if (!point_.step_sought) return "";
    return " No place within " + length(farthest_step_m) + " surely brings the link back.";
  }

  std::string rate() const {
    return fmt::format("{:.0f} of about {} Mbit/s", *point_.measurement.downlink_mbps,
                       rate_text(reported_.downlink_mbps));
  }

 private:
  const Sector& sector() const { return scene_.nodes[link_.node].sectors[link_.sector]; }
  std::string length(double metres) const { return length_text(metres, units_); }

  std::string housed() const {
    if (link_.receiver.context == ReceiverContext::in_vehicle) return "inside a vehicle";
    const std::string_view model = dearest_of(link_, no_obstacle)->model;
    const bool whole_wall =
        model == "facade_entry" || model == "building_entry" || model == "indoor_depth";
    return whole_wall ? "inside a building, near its outer wall" : "behind glass";
  }

  /// The walker in the way, a hand over the panel, or the phone turned away: the dearest.
  std::string body() const {
    const LossTerm* dearest = dearest_of(link_, no_obstacle);
    if (dearest == nullptr || link_.turned_away > dearest->loss) {
      return fmt::format("The phone is turned away from the node, which costs {:.0f} dB; ",
                         link_.turned_away.value);
    }
    return fmt::format("{}, which costs {:.0f} dB; ",
                       dearest->model == "hand" ? "A hand covers the phone's antenna"
                                                : "The walker's body stands in the way",
                       dearest->loss.value);
  }

  /// More than a right angle from the way the sector looks.
  bool behind() const {
    const AntennaDirection seen = antenna_direction(sector(), link_.azimuth, link_.elevation);
    return std::cos(seen.azimuth.radians()) * std::cos(seen.elevation.radians()) < 0.0;
  }

  /// Seen from the antenna, by the greater of the two angles.
  std::string off_boresight() const {
    const AntennaDirection seen = antenna_direction(sector(), link_.azimuth, link_.elevation);
    const double aside = seen.azimuth.degrees(), up = seen.elevation.degrees();
    if (std::abs(up) > std::abs(aside)) {
      return fmt::format("{:.0f} degrees {} the beam of sector {}", std::abs(up),
                         up < 0.0 ? "below" : "above", sector().id);
    }
    return fmt::format("{:.0f} degrees to the {} of the way sector {} looks", std::abs(aside),
                       aside < 0.0 ? "left" : "right", sector().id);
  }

  /// What all things of the cause cost together, by the path priced without them.
  double cost_db() const {
    for (const Cost& cost : point_.costs) {
      if (cost.cause == link_.cause) return cost.cost.value;
    }
    const LossTerm* term = dearest_of(link_, link_.cause_obstacle);
    return term == nullptr ? 0.0 : term->loss.value;
  }

  /// "3.2 m from you, 61 m from the node"
  std::string whereabouts(double from_node_m) const {
    return length(std::max(link_.path.length_m - from_node_m, 0.0)) + " from you and " +
           length(from_node_m) + " from the node";
  }

  std::string obstacle(const std::string& away) const {
    if (link_.cause_obstacle == no_obstacle) return "Something stands in the way; " + away + ".";
    const LossTerm* term = dearest_of(link_, link_.cause_obstacle);
    const auto crossing =
        std::find_if(link_.path.crossings.begin(), link_.path.crossings.end(),
                     [&](const Crossing& c) { return c.obstacle == link_.cause_obstacle; });
    const std::string name = upper_first(name_of(scene_, link_.cause_obstacle));
    const std::string cost = cost_text(cost_db());
    std::string text;
    if (crossing == link_.path.crossings.end()) {
      text = fmt::format("{} reaches into the zone that should be free, {}, and costs {}", name,
                         whereabouts(link_.path.clearance.at_m), cost);
    } else if (term != nullptr && term->group == TermGroup::foliage) {
      text = fmt::format("{} stands in the way, {}: {} of foliage cost {}", name,
                         whereabouts(crossing->enter_m), length(crossing->inside_m), cost);
    } else {
      text = fmt::format("{} stands {} above the ray, {}, and costs {}", name,
                         length(crossing->outline.above_m),
                         whereabouts(crossing->outline.above_at_m), cost);
    }
    const bool named = point_.reading != Reading::as_mapped || point_.cause_obstacle != no_obstacle;
    return text + next_dearest() + "; " + away + "." + beside() +
           (named ? "" : " Whether it was that one or another near it, the position cannot tell.");
  }

  /// What else costs something worth naming.
  std::string next_dearest() const {
    for (const Cost& cost : point_.costs) {
      if (cost.cause == link_.cause || cost.cost.value < least_named_db) continue;
      const std::string what = cost.obstacle != no_obstacle  ? name_of(scene_, cost.obstacle)
                               : cost.cause == Cause::sector ? "being outside the beam"
                               : cost.cause == Cause::body   ? "the body"
                                                             : "what the phone is in";
      return ", " + what + " another " + cost_text(cost.cost.value);
    }
    return "";
  }

  /// Where the reported place itself does not tell it.
  std::string beside() const {
    const double apart =
        horizontal_distance_m(link_.receiver.position, reported_.receiver.position);
    if (apart < 0.5) return "";
    return " That is so " + length(apart) +
           " beside the reported place, within its accuracy, where the level fits best.";
  }

  const Scene& scene_;
  const ExplainedPoint& point_;
  const LinkResult& reported_;  ///< at the reported place: what is compared with
  const LinkResult& link_;      ///< where the cause is as said
  LengthUnits units_;
};

}  // namespace

std::string sentence_of(const Scene& scene, const ExplainedPoint& point,
                        const PredictOptions& options, LengthUnits units) {
  if (!point.link) return sentence_without_link(scene, point, options, units);
  const Sentence say(scene, point, units);
  switch (point.reading) {
    case Reading::weaker:
      return "Weaker than the map explains: something that is not in the map probably stands in "
             "the way." +
             say.compared() + " By the map: " + say.in_the_way() + say.indoors();
    case Reading::stronger:
      return "Stronger than the map explains: " + say.may_be_wrong() + say.compared() +
             " By the map: " + say.in_the_way() + say.indoors();
    case Reading::position:
      return say.unsure_place() +
             ": the measurement fits places within the accuracy of its position, not the reported "
             "one." +
             say.compared() + " At the reported place: " + say.in_the_way() + say.indoors() +
             say.step();
    case Reading::load:
      return "The level fits but the rate does not (" + say.rate() +
             "): the network shared the cell, or something else than the radio path held it back." +
             say.compared();
    case Reading::as_mapped:
      break;
  }
  return say.in_the_way() + say.compared() + say.indoors() + say.step();
}

}  // namespace sim
