// What a walk needs to know of the map beside its streets: where nobody may stand, where cars may,
// and which house is which.
#pragma once

#include <string>
#include <vector>

#include "sim/import/records.h"

namespace sim {

struct AvoidArea {
  std::string what;  ///< "water", or the file it is from
  std::vector<MapPolygon> polygons;
};
/// A mapped place where a car may legally stand: an area, a line along the kerb, or a bay.
struct ParkingPlace {
  std::string id;
  std::vector<MapPolygon> polygons;
  std::vector<Xy> line;  ///< a bay is a line of one point
};
struct AddressPlace {
  std::string text;  ///< "12 High Street"
  Xy place;
};
struct WalkingMap {
  std::vector<AvoidArea> avoid;
  std::vector<ParkingPlace> parking;
  std::vector<AddressPlace> addresses;
};

/// Reads [[plan.avoid]], [[plan.parking]] and [plan] addresses; where the streets come from an
/// OpenStreetMap file, also the water, car parks and house numbers of it. Only what lies in the
/// area of the site. Throws InputError as read_vectors() does, and for addresses without numbers.
WalkingMap read_walking_map(const ImportedSite& imported);

}  // namespace sim
