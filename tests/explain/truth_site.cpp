#include "tests/explain/truth_site.h"

#include <algorithm>
#include <memory>
#include <stdexcept>

#include "sim/predict/prediction.h"
#include "tests/explain/truth_phone.h"
#include "tests/explain/truth_street.h"

namespace sim::test {
namespace {

bool is_planted_thing(Cause cause) {
  return cause == Cause::terrain || cause == Cause::building || cause == Cause::foliage ||
         cause == Cause::pole || cause == Cause::vehicle || cause == Cause::unmapped;
}

/// Nothing but the node and the ground under it.
ImportedSite bare(ImportedSite site) {
  site.buildings.clear();
  site.trees.clear();
  site.poles.clear();
  site.objects.clear();
  site.ground = {};
  return site;
}

template <class Record>
void drop_id(std::vector<Record>& records, const std::string& id) {
  // The second and third tree of a planted row are called after the first.
  std::erase_if(records, [&](const Record& r) {
    return r.id == id || (id == planted_id && r.id.starts_with(planted_id));
  });
}

struct Attempt {
  ImportedSite truth, map, without_it;  ///< `without_it`: the truth without the planted thing
  Xy phone;
  ReceiverContext context = ReceiverContext::outdoor;
  double farthest_good_m = 180.0;
  double nearest_good_m = 20.0;
  bool good_points_west = false;
};

Attempt draw(Cause planted, Dice& dice) {
  Attempt a;
  if (planted == Cause::terrain) {
    InventedRoad road = invented_road(dice);
    a.truth = road.site;
    a.phone = {road.crest_x_m + dice.between(20.0, 110.0), across_street(dice)};
    a.farthest_good_m = road.crest_x_m - 10.0;
    a.without_it = road.site;
    a.without_it.ground = {};
    a.map = a.truth;
    return a;
  }
  InventedStreet street = invented_street(dice);
  a.phone = {dice.between(45.0, 140.0), across_street(dice)};
  a.truth = street.site;
  SectorRecord& sector = a.truth.nodes[0].sectors[0];
  switch (planted) {
    case Cause::building:
      if (dice.chance(0.5)) {
        // Round the corner: the houses between are the planted thing.
        a.phone = {street.side_street_x + dice.between(-3.0, 3.0), dice.between(16.0, 45.0)};
        a.without_it = a.truth;
        a.without_it.buildings.clear();
        a.map = a.truth;
        return a;
      }
      plant_building(a.truth, dice, a.phone);
      break;
    case Cause::foliage:
      plant_trees(a.truth, dice, a.phone);
      break;
    case Cause::pole:
      plant_pole(a.truth, dice, a.phone);
      break;
    case Cause::vehicle:
      plant_vehicle(a.truth, dice, a.phone);
      break;
    case Cause::unmapped:
      plant_unmapped(a.truth, dice, a.phone);
      break;
    case Cause::position:
      if (dice.chance(0.5)) {
        plant_building(a.truth, dice, a.phone);
      } else {
        plant_vehicle(a.truth, dice, a.phone);
      }
      a.phone.x += dice.between(-6.0, 6.0);
      a.phone.y += dice.between(-6.0, 6.0);
      break;
    case Cause::sector:
      a.phone.x = -dice.between(30.0, 110.0);
      break;
    case Cause::distance:
      a.phone = {dice.between(330.0, 650.0), dice.between(-3.0, 3.0)};
      sector.eirp = Dbm(dice.between(43.0, 47.0));
      a.farthest_good_m = 150.0;
      break;
    case Cause::enclosure:
      a.context = dice.chance(0.5) ? ReceiverContext::in_vehicle : ReceiverContext::behind_glass;
      break;
    case Cause::body:
      a.context = ReceiverContext::body_blocked;
      break;
    default:
      break;
  }
  a.without_it = without(a.truth, planted_id);
  a.map = planted == Cause::unmapped ? a.without_it : a.truth;
  return a;
}

double height_m(const Street& street, Xy place) {
  const ScenePoint p = street.scene.frame.scene_from_map({place.x, place.y, 0.0});
  return street.scene.ground.height_at(p.x_m, p.y_m);
}

ScenePoint phone_at(const Street& street, Xy place) {
  ScenePoint p = street.scene.frame.scene_from_map({place.x, place.y, 0.0});
  p.z_m = height_m(street, place) + 1.5;
  return p;
}

bool indoors(const Street& street, ScenePoint p) {
  return FootprintIndex(street.scene).building_at(p.x_m, p.y_m).has_value();
}

ScenePoint on_ground(const Street& street, ScenePoint p) {
  p.z_m = street.scene.ground.height_at(p.x_m, p.y_m) + 1.5;
  return p;
}

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

struct Levels {
  double with = 0.0, without = 0.0, bare = 0.0;
};

bool as_planted(Cause planted, const Levels& level, const LinkResult& link) {
  if (level.bare - level.without >= 1.0) return false;
  const double cost = level.without - level.with;
  // Where the link could not be anyway, nobody is surprised.
  if (is_planted_thing(planted) && level.without < -95.0) return false;
  switch (planted) {
    case Cause::pole:
      return cost >= 6.0;
    case Cause::unmapped:
    case Cause::position:
      return cost >= 10.0;
    case Cause::sector:
      return cost < 1.0 && -link.pattern.value >= 14.0;
    case Cause::distance:
      return cost < 1.0 && level.with <= -99.0 && level.with >= -112.0;
    case Cause::load:
      return cost < 1.0 && level.with >= -90.0;
    case Cause::none:
      return cost < 1.0 && level.with >= -90.0 && -link.pattern.value < 6.0;
    default:
      return is_planted_thing(planted) ? cost >= 8.0 : cost < 1.0;
  }
}

}  // namespace

ImportedSite without(ImportedSite site, const std::string& id) {
  drop_id(site.buildings, id);
  drop_id(site.trees, id);
  drop_id(site.poles, id);
  drop_id(site.objects, id);
  return site;
}

LinkResult link_at(const Street& street, ScenePoint place, ReceiverContext context,
                   NodeIndex node) {
  const Receiver phone{.position = place, .context = context};
  std::vector<LinkResult> links = node_links(street.caster, node, phone, street.settings);
  return *std::max_element(links.begin(), links.end(),
                           [](const auto& a, const auto& b) { return a.rsrp < b.rsrp; });
}

TruthSite truth_site(Cause planted, std::uint64_t seed) {
  Dice dice(seed * 1000003ULL + static_cast<std::uint64_t>(planted) * 7919ULL);
  for (int tries = 0; tries < 500; ++tries) {
    const Attempt a = draw(planted, dice);
    const Street truth(a.truth), clear(a.without_it), empty(bare(a.truth));
    ScenePoint place = phone_at(truth, a.phone);
    if (indoors(truth, place)) continue;
    const LinkResult link = link_at(truth, place, a.context);
    Levels level{link.rsrp.value, link_at(clear, phone_at(clear, a.phone), a.context).rsrp.value,
                 link_at(empty, phone_at(empty, a.phone), a.context).rsrp.value};
    const Street map(a.map);
    PhoneErrors errors = phone_errors(dice);
    Cause wanted = planted;
    // A pole's shadow is no wider than a step: such a place is taped off, not read from a phone.
    if (planted == Cause::pole) errors.accuracy_m = dice.between(0.2, 0.5);
    if (planted == Cause::position && dice.chance(0.3)) {
      wanted = Cause::none;  // the place itself is clear, the reported one is in the shadow
    }
    if (!as_planted(wanted, level, link)) continue;
    // Of the places a phone would report, one from which the map tells the planted story.
    std::optional<ScenePoint> reported;
    for (int k = 0; k < 30 && !reported; ++k) {
      ScenePoint p = on_ground(map, reported_place(place, errors.accuracy_m, dice));
      if (std::isnan(p.z_m) || indoors(map, p)) continue;
      const double at_it = link_at(map, p, a.context).rsrp.value;
      const double at_truth = link_at(map, on_ground(map, place), a.context).rsrp.value;
      const double apart = std::abs(at_it - at_truth);
      // Either side of an edge: one place in the shadow, the other in the clear.
      const bool one_clear = std::max(at_it, at_truth) > level.bare - 2.0;
      if (planted == Cause::position ? apart >= 12.0 && one_clear : apart <= 10.0) reported = p;
    }
    if (!reported) continue;
    std::vector<ScenePoint> places = good_places(truth, empty, a, 5 + dice.pick(5), dice);
    if (places.size() < 4) continue;
    places.push_back(place);
    const std::vector<double> shadow = shadowing_db(places, errors.shadow_sigma_db, dice);
    TruthSite site{.planted = planted,
                   .second = {},
                   .truth = a.truth,
                   .map = a.map,
                   .survey = {},
                   .true_place = place,
                   .context = a.context};
    for (std::size_t i = 0; i + 1 < places.size(); ++i) {
      const ScenePoint p = places[i];
      const LinkResult here = link_at(truth, p, ReceiverContext::outdoor);
      site.survey.measurements.push_back(phone_row(
          truth, here, reported_place(p, errors.accuracy_m, dice), errors, shadow[i], 1.0, dice));
    }
    const double share = planted == Cause::load ? dice.between(0.03, 0.25) : 1.0;
    Measurement row = phone_row(truth, link, *reported, errors, shadow.back(), share, dice);
    // A tester who has the link at the far end is not surprised, nor one who lost it is pleased.
    if (planted == Cause::distance && row.rsrp_dbm > truth.settings.hold_rsrp.value) continue;
    if (planted == Cause::pole) row.placed_by = PlacedBy::along_street;
    site.survey.measurements.push_back(row);
    for (std::size_t i = 0; i < site.survey.measurements.size(); ++i) {
      site.survey.measurements[i].row = static_cast<std::int64_t>(i + 1);
    }
    return site;
  }
  throw std::runtime_error("no site with cause " + std::string(to_string(planted)));
}

}  // namespace sim::test
