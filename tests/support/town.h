// An invented town for tests and benchmarks.
#pragma once

#include <cstdint>

#include "sim/cast/ray_caster.h"
#include "sim/import/records.h"

namespace sim::test {

struct TownSize {
  int blocks = 6;         ///< per side, each 60 m
  bool terrain = true;    ///< a rolling 2 m raster, else flat at 0
  bool furniture = true;  ///< poles, trees, vehicles
};

/// The same seed gives the same town: blocks of buildings, every third with a courtyard, poles,
/// trees and vehicles in the streets between, one node on the crossing in the middle.
ImportedSite town(std::uint64_t seed, const TownSize& size = {});

/// An empty flat site 200 m wide about 0/0, with one node at (-90, -90) to be filled by a test.
ImportedSite empty_site();

/// A building on an axis-parallel rectangle.
BuildingRecord box_building(const std::string& id, double west_m, double south_m, double east_m,
                            double north_m, double height_m);

/// Ends of a ray: anywhere in the square of the town, 1 to 20 m above the flat datum.
Segment random_segment(const ImportedSite& site, std::uint64_t& state);

/// A number in [0, 1) of a fixed sequence (SplitMix64; from memory).
double next_number(std::uint64_t& state);

}  // namespace sim::test
