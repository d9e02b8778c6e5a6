// Where a tester may stand: on the footway or at the kerb side, never in a building, on a
// carriageway, in water or in something parked.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/cast/ray_caster.h"
#include "sim/import/walking_map.h"
#include "sim/plan/ways.h"
#include "sim/scene/scene_builder.h"

namespace sim {

enum class Unfit : std::uint8_t {
  none,
  off_ground,  ///< outside the ground raster
  building,
  carriageway,  ///< of this or another street
  avoided,      ///< water, rails or what the site names
  obstacle,     ///< a vehicle, pole or other thing stands there
  no_room       ///< houses leave no footway
};
std::string_view to_string(Unfit unfit);

struct Stand {
  ScenePoint ground;
  double off_m = 0.0;  ///< from the centre line; 0 on a way for feet alone
  /// How the footway was found: "footway", "record", "lanes", "default" (width of the
  /// carriageway) or "facade".
  std::string placed_by;
};

class Footways {
 public:
  /// All must outlive it.
  Footways(const RayCaster& caster, const std::vector<WalkerStreet>& ways, const WalkingMap& map);

  /// A place on the footway beside a way's centre line; `unfit` tells why there is none.
  /// `heading` is the unit vector along the way.
  std::optional<Stand> beside(std::size_t way, Xy center, Xy heading, bool left,
                              Unfit& unfit) const;
  /// Whether a tester may stand at a place at all. Of `own`, where given, and ways of its name the
  /// half width is `own_half_m`.
  Unfit unfit(Xy place, std::optional<std::size_t> own = std::nullopt,
              double own_half_m = 0.0) const;
  /// Whether a place lies on the strip that people walk on: fit, and no farther from a kerb than a
  /// footway is wide, or on a way for feet.
  bool on_a_footway(Xy place) const;
  /// A parked car's place: mapped parking, and not in a building or avoided area.
  bool parking_at(Xy place) const;

 private:
  double facade_m(Xy center, Xy normal) const;
  double distance_to_way_m(std::size_t way, Xy place) const;

  struct Box {
    double west, south, east, north;
  };
  const RayCaster* caster_;
  const std::vector<WalkerStreet>* ways_;
  std::vector<Box> boxes_;  ///< of the ways
  const WalkingMap* map_;
  FootprintIndex footprints_;
  double footway_m_, facade_gap_m_, facade_reach_m_;
  double least_half_m_, kerb_gap_m_, head_m_, half_bay_m_;
};

}  // namespace sim
