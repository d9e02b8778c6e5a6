#include "tests/explain/truth_street.h"

#include <fmt/format.h>

#include <algorithm>

#include "tests/support/street.h"

namespace sim::test {
namespace {

ImportedSite bare_site(Dice& dice) {
  ImportedSite site = isotropic_site(dice.between(5.0, 9.0));
  site.area_west_m = -250.0;
  site.area_east_m = 750.0;
  site.area_south_m = -150.0;
  site.area_north_m = 150.0;
  site.nodes[0].place = {0.0, -6.5};
  SectorRecord& sector = site.nodes[0].sectors[0];
  sector.pattern = "3gpp-element";
  sector.azimuth = Angle::degrees(dice.between(80.0, 100.0));
  sector.downtilt = Angle::degrees(dice.between(0.0, 6.0));
  sector.frequency = Frequency::ghz(dice.chance(0.6) ? 28.0 : 39.0);
  sector.eirp = Dbm(dice.between(48.0, 54.0));
  return site;
}

ObjectRecord vehicle(const std::string& id, ObjectKind kind, Xy place, double length_m,
                     double width_m, double height_m, Angle heading) {
  ObjectRecord object;
  object.id = id;
  object.kind = kind;
  object.place = place;
  object.length_m = length_m;
  object.width_m = width_m;
  object.height_m = height_m;
  object.heading = heading;
  object.material = "metal";
  object.source = {"invented", "objects", 0};
  return object;
}

void furnish(ImportedSite& site, Dice& dice) {
  int k = 0;
  for (const double side : {-1.0, 1.0}) {
    for (double x = -120.0 + dice.between(0.0, 20.0); x < 250.0; x += dice.between(28.0, 42.0)) {
      site.poles.push_back({.id = fmt::format("lamp {}", ++k),
                            .place = {x, side * 6.6},
                            .height_m = dice.between(6.0, 8.0),
                            .diameter_m = dice.between(0.12, 0.2),
                            .source = {"invented", "poles", k}});
      if (dice.chance(0.4)) {
        site.trees.push_back({.id = fmt::format("tree {}", k),
                              .place = {x + 9.0, side * 7.2},
                              .height_m = dice.between(5.0, 8.0),
                              .crown_diameter_m = dice.between(3.0, 5.0),
                              .species_class = "broadleaf",
                              .source = {"invented", "trees", k}});
      }
      if (dice.chance(0.4)) {
        site.objects.push_back(vehicle(fmt::format("car {}", k), ObjectKind::car,
                                       {x + 16.0, side * 5.0}, 4.5, 1.8, 1.5,
                                       Angle::degrees(90.0)));
      }
    }
  }
}

}  // namespace

InventedStreet invented_street(Dice& dice) {
  InventedStreet street{.site = bare_site(dice), .side_street_x = dice.between(60.0, 110.0)};
  int k = 0;
  for (const double side : {-1.0, 1.0}) {
    for (double x = -150.0; x < 250.0;) {
      const double wide = dice.between(10.0, 18.0), deep = dice.between(10.0, 13.0);
      const bool on_side_street =
          side > 0.0 && x < street.side_street_x + 6.0 && x + wide > street.side_street_x - 6.0;
      if (on_side_street) {
        x = std::max(x, street.side_street_x + 6.0);
        if (x == street.side_street_x + 6.0) continue;
      }
      street.site.buildings.push_back(
          box_building(fmt::format("house {}", ++k), x, side > 0.0 ? 10.0 : -10.0 - deep, x + wide,
                       side > 0.0 ? 10.0 + deep : -10.0, dice.between(6.0, 12.0)));
      x += wide + dice.between(2.0, 5.0);
    }
  }
  furnish(street.site, dice);
  return street;
}

InventedRoad invented_road(Dice& dice) {
  InventedRoad road{.site = bare_site(dice), .crest_x_m = dice.between(70.0, 130.0)};
  const double crest_m = dice.between(6.0, 12.0), wide_m = dice.between(25.0, 40.0);
  HeightGrid& grid = road.site.ground;
  grid.spec = {-260.0, 160.0, 4.0, 4.0, 255, 80};
  for (int row = 0; row < grid.spec.rows; ++row) {
    for (int col = 0; col < grid.spec.cols; ++col) {
      const double z = (grid.spec.center_x_m(col) - road.crest_x_m) / wide_m;
      grid.values.push_back(static_cast<float>(crest_m * std::exp(-z * z)));
    }
  }
  return road;
}

double across_street(Dice& dice) {
  const int where = dice.pick(5);
  if (where == 0) return dice.between(-3.0, 3.0);
  return (where % 2 == 0 ? 1.0 : -1.0) * dice.between(7.5, 9.2);
}

OnTheWay on_the_way(const ImportedSite& site, Xy phone, double before_m) {
  const NodeRecord& node = site.nodes[0];
  const double east = phone.x - node.place.x, north = phone.y - node.place.y;
  const double far = std::hypot(east, north), share = before_m / far;
  return {.place = {phone.x - share * east, phone.y - share * north},
          .towards = Angle::radians(std::atan2(east, north)),
          .ray_m = 1.5 + share * (node.height_agl_m - 1.5)};
}

void plant_building(ImportedSite& site, Dice& dice, Xy phone) {
  const OnTheWay at = on_the_way(site, phone, dice.between(5.0, 9.0));
  const double wide = dice.between(3.0, 6.0), deep = dice.between(2.0, 3.5);
  site.buildings.push_back(box_building(planted_id, at.place.x - deep, at.place.y - wide,
                                        at.place.x + deep, at.place.y + wide,
                                        at.ray_m + dice.between(1.0, 4.0)));
}

void plant_trees(ImportedSite& site, Dice& dice, Xy phone) {
  const int count = 1 + dice.pick(3);
  double before = dice.between(5.0, 20.0);
  for (int k = 0; k < count; ++k) {
    const OnTheWay at = on_the_way(site, phone, before);
    const double crown = dice.between(4.0, 7.0);
    // The crown's middle stands at 0.65 of the height (crown_base_share of assets/defaults.csv).
    site.trees.push_back({.id = k == 0 ? planted_id : fmt::format("{} {}", planted_id, k + 1),
                          .place = at.place,
                          .height_m = std::max(4.0, at.ray_m / 0.65 + dice.between(-0.5, 1.0)),
                          .crown_diameter_m = crown,
                          .species_class = "broadleaf",
                          .source = {"invented", "trees", 100 + k}});
    before += crown + dice.between(0.0, 3.0);
  }
}

void plant_pole(ImportedSite& site, Dice& dice, Xy phone) {
  const OnTheWay at = on_the_way(site, phone, dice.between(0.8, 2.5));
  site.poles.push_back({.id = planted_id,
                        .place = at.place,
                        .height_m = dice.between(6.0, 9.0),
                        .diameter_m = dice.between(0.3, 0.6),
                        .source = {"invented", "poles", 100}});
}

void plant_vehicle(ImportedSite& site, Dice& dice, Xy phone) {
  const OnTheWay at = on_the_way(site, phone, dice.between(3.0, 8.0));
  const Angle heading = at.towards + Angle::degrees(90.0 + dice.between(-30.0, 30.0));
  const int kind = dice.pick(3);
  if (kind == 0) {
    site.objects.push_back(vehicle(planted_id, ObjectKind::truck, at.place, 8.0, 2.5,
                                   dice.between(3.0, 3.8), heading));
  } else if (kind == 1) {
    site.objects.push_back(
        vehicle(planted_id, ObjectKind::bus, at.place, 12.0, 2.55, 3.1, heading));
  } else {
    site.objects.push_back(
        vehicle(planted_id, ObjectKind::van, at.place, 5.8, 2.0, dice.between(2.4, 2.8), heading));
  }
}

void plant_unmapped(ImportedSite& site, Dice& dice, Xy phone) {
  switch (dice.pick(4)) {
    case 0:
      return plant_building(site, dice, phone);  // a container, a stall
    case 1:
      return plant_trees(site, dice, phone);
    default:
      return plant_vehicle(site, dice, phone);
  }
}

}  // namespace sim::test
