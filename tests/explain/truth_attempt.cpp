#include "tests/explain/truth_attempt.h"

#include <algorithm>

#include "sim/predict/prediction.h"
#include "tests/explain/truth_street.h"

namespace sim::test {
namespace {

bool is_planted_thing(Cause cause) {
  return cause == Cause::terrain || cause == Cause::building || cause == Cause::foliage ||
         cause == Cause::pole || cause == Cause::vehicle || cause == Cause::unmapped;
}

template <class Record>
void drop_id(std::vector<Record>& records, const std::string& id) {
  // The second and third tree of a planted row are called after the first.
  std::erase_if(records, [&](const Record& r) {
    return r.id == id || (id == planted_id && r.id.starts_with(planted_id));
  });
}

}  // namespace

ImportedSite bare(ImportedSite site) {
  site.buildings.clear();
  site.trees.clear();
  site.poles.clear();
  site.objects.clear();
  site.ground = {};
  return site;
}

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

}  // namespace sim::test
