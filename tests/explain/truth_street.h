// The sceneries that causes are planted in.
#pragma once

#include <string>

#include "sim/import/records.h"
#include "tests/explain/dice.h"

namespace sim::test {

/// A straight street along x with houses on both sides to 250 m, lamp posts, trees and parked cars;
/// one sector looks east from the kerb at x = 0. With a side street to the north at
/// `side_street_x`.
struct InventedStreet {
  ImportedSite site;
  double side_street_x = 0.0;
};
InventedStreet invented_street(Dice& dice);

/// A road without houses over a crest `crest_x_m` east of the node.
struct InventedRoad {
  ImportedSite site;
  double crest_x_m = 0.0;
};
InventedRoad invented_road(Dice& dice);

/// Where a tester may stand: on either footway, or crossing.
double across_street(Dice& dice);

/// A thing on the way from the first sector to a phone at (x, y), `before_m` from the phone.
struct OnTheWay {
  Xy place;
  Angle towards;       ///< from node to phone
  double ray_m = 0.0;  ///< height of the ray there
};
OnTheWay on_the_way(const ImportedSite& site, Xy phone, double before_m);

void plant_building(ImportedSite& site, Dice& dice, Xy phone);
void plant_trees(ImportedSite& site, Dice& dice, Xy phone);
void plant_pole(ImportedSite& site, Dice& dice, Xy phone);
void plant_vehicle(ImportedSite& site, Dice& dice, Xy phone);
/// Something a map may lack: a truck, a hoarding, a container, a tree.
void plant_unmapped(ImportedSite& site, Dice& dice, Xy phone);

inline const std::string planted_id = "planted";

}  // namespace sim::test
