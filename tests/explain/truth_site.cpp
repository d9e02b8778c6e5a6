#include "tests/explain/truth_site.h"

#include <algorithm>
#include <array>
#include <stdexcept>

#include "tests/explain/truth_attempt.h"
#include "tests/explain/truth_phone.h"
#include "tests/explain/truth_street.h"

namespace sim::test {
namespace {

/// Clear places where the link holds, as a tester has before the surprise.
std::vector<ScenePoint> good_places(const Street& truth, const Street& empty, const Attempt& a,
                                    int count, Dice& dice) {
  std::vector<ScenePoint> places;
  for (int tries = 0; tries < 400 && static_cast<int>(places.size()) < count; ++tries) {
    const Xy at{dice.between(a.nearest_good_m, a.farthest_good_m), across_street(dice)};
    const ScenePoint p = phone_at(truth, at);
    if (indoors(truth, p)) continue;
    const LinkResult link = link_at(truth, p, ReceiverContext::outdoor);
    const LinkResult best = link_at(empty, phone_at(empty, at), ReceiverContext::outdoor);
    if (link.state != LinkState::hold || best.rsrp - link.rsrp > Db(1.0)) continue;
    places.push_back(p);
  }
  return places;
}

/// Of the places a phone would report, one from which the map tells the planted story.
std::optional<ScenePoint> reported_from(const Attempt& a, Cause planted, const Street& map,
                                        ScenePoint place, double accuracy_m, double bare_dbm,
                                        Dice& dice) {
  for (int k = 0; k < 30; ++k) {
    const ScenePoint p = on_ground(map, reported_place(place, accuracy_m, dice));
    if (std::isnan(p.z_m) || indoors(map, p)) continue;
    const double at_it = link_at(map, p, a.context).rsrp.value;
    const double at_truth = link_at(map, on_ground(map, place), a.context).rsrp.value;
    const double apart = std::abs(at_it - at_truth);
    // Either side of an edge: one place in the shadow, the other in the clear.
    const bool one_clear = std::max(at_it, at_truth) > bare_dbm - 2.0;
    if (planted == Cause::position ? apart >= 12.0 && one_clear : apart <= 10.0) return p;
  }
  return std::nullopt;
}

/// The tester's rows: good points, then the surprise at `place`.
std::optional<TruthSite> surveyed(const Attempt& a, Cause planted, const Street& truth,
                                  ScenePoint place, double bare_dbm, Dice& dice) {
  const Street map(a.map), empty(bare(a.truth));
  PhoneErrors errors = phone_errors(dice);
  // A pole's shadow is no wider than a step: such a place is taped off, not read from a phone.
  if (planted == Cause::pole) errors.accuracy_m = dice.between(0.2, 0.5);
  const auto reported = reported_from(a, planted, map, place, errors.accuracy_m, bare_dbm, dice);
  if (!reported) return std::nullopt;
  std::vector<ScenePoint> places = good_places(truth, empty, a, 5 + dice.pick(5), dice);
  if (places.size() < 4) return std::nullopt;
  places.push_back(place);
  const std::vector<double> shadow = shadowing_db(places, errors.shadow_sigma_db, dice);
  TruthSite site{.planted = planted,
                 .second = {},
                 .truth = a.truth,
                 .map = a.map,
                 .survey = {},
                 .true_place = place,
                 .context = a.context};
  auto& rows = site.survey.measurements;
  for (std::size_t i = 0; i + 1 < places.size(); ++i) {
    const ScenePoint p = places[i];
    rows.push_back(phone_row(truth, link_at(truth, p, ReceiverContext::outdoor),
                             reported_place(p, errors.accuracy_m, dice), errors, shadow[i], 1.0,
                             dice));
  }
  const double share = planted == Cause::load ? dice.between(0.03, 0.25) : 1.0;
  Measurement row = phone_row(truth, link_at(truth, place, a.context), *reported, errors,
                              shadow.back(), share, dice);
  // A tester who has the link at the far end is not surprised.
  if (planted == Cause::distance && row.rsrp_dbm > truth.settings.hold_rsrp.value) {
    return std::nullopt;
  }
  if (planted == Cause::pole) row.placed_by = PlacedBy::along_street;
  rows.push_back(row);
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].row = static_cast<std::int64_t>(i + 1);
  return site;
}

/// Two causes on one point, the first as an attempt of its own.
struct Pair {
  Cause one, other;
};
constexpr std::array<Pair, 7> pairs{{{Cause::vehicle, Cause::foliage},
                                     {Cause::building, Cause::foliage},
                                     {Cause::foliage, Cause::enclosure},
                                     {Cause::vehicle, Cause::body},
                                     {Cause::building, Cause::enclosure},
                                     {Cause::foliage, Cause::sector},
                                     {Cause::vehicle, Cause::sector}}};

void add_second(Attempt& a, Cause cause, Dice& dice) {
  if (cause == Cause::foliage) {
    plant_trees(a.truth, dice, on_the_way(a.truth, a.phone, dice.between(14.0, 24.0)).place);
  } else if (cause == Cause::enclosure) {
    a.context = dice.chance(0.5) ? ReceiverContext::in_vehicle : ReceiverContext::behind_glass;
  } else if (cause == Cause::body) {
    a.context = ReceiverContext::body_blocked;
  } else {
    // The sector looks past the phone, by as much as its edge is wide and more.
    const double past = (dice.chance(0.5) ? 1.0 : -1.0) * dice.between(75.0, 95.0);
    a.truth.nodes[0].sectors[0].azimuth =
        on_the_way(a.truth, a.phone, 1.0).towards + Angle::degrees(past);
  }
  a.map = a.truth;
}

}  // namespace

TruthSite truth_site(Cause planted, std::uint64_t seed) {
  Dice dice(seed * 1000003ULL + static_cast<std::uint64_t>(planted) * 7919ULL);
  for (int tries = 0; tries < 500; ++tries) {
    const Attempt a = draw(planted, dice);
    const Street truth(a.truth), clear(a.without_it), empty(bare(a.truth));
    const ScenePoint place = phone_at(truth, a.phone);
    if (indoors(truth, place)) continue;
    const LinkResult link = link_at(truth, place, a.context);
    const Levels level{link.rsrp.value,
                       link_at(clear, phone_at(clear, a.phone), a.context).rsrp.value,
                       link_at(empty, phone_at(empty, a.phone), a.context).rsrp.value};
    Cause wanted = planted;
    if (planted == Cause::position && dice.chance(0.3)) {
      wanted = Cause::none;  // the place itself is clear, the reported one is in the shadow
    }
    if (!as_planted(wanted, level, link)) continue;
    if (auto site = surveyed(a, planted, truth, place, level.bare, dice)) return *site;
  }
  throw std::runtime_error("no site with cause " + std::string(to_string(planted)));
}

TruthSite compound_site(std::uint64_t seed) {
  constexpr double each_db = 6.0;
  Dice dice(seed * 1000003ULL + 31337ULL);
  for (int tries = 0; tries < 800; ++tries) {
    const Pair pair = pairs[seed % pairs.size()];
    Attempt a = draw(pair.one, dice);
    const Street first(a.truth);
    const ReceiverContext outdoors = a.context;
    add_second(a, pair.other, dice);
    const Street truth(a.truth), empty(bare(a.truth));
    const ScenePoint place = phone_at(truth, a.phone);
    if (indoors(truth, place)) continue;
    const double both = link_at(truth, place, a.context).rsrp.value;
    const double one = link_at(first, place, outdoors).rsrp.value;
    const double none = link_at(Street(a.without_it), place, outdoors).rsrp.value;
    const double best = link_at(empty, place, outdoors).rsrp.value;
    const double untouched = pair.other == Cause::sector ? none : best;
    if (none - one < each_db || one - both < each_db || untouched - none >= 1.0) continue;
    if (auto site = surveyed(a, pair.one, truth, place, best, dice)) {
      site->second = pair.other;
      return *site;
    }
  }
  throw std::runtime_error("no site with two causes");
}

}  // namespace sim::test
