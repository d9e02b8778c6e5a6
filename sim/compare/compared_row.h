// What a comparison is made of: measured rows and predicted places, each with its group.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/gis/crs.h"
#include "sim/link/link.h"

namespace sim {

/// What is compared. The level and the rates have predictions; the latency has none.
enum class Measure : std::uint8_t { downlink, uplink, latency, level };
inline constexpr std::size_t measure_count = 4;
inline constexpr std::array all_measures{Measure::downlink, Measure::uplink, Measure::latency,
                                         Measure::level};
/// "downlink_mbps".
std::string_view column_of(Measure measure);

template <class Value>
struct ByMeasure {
  std::array<Value, measure_count> values{};
  Value& operator[](Measure m) { return values[static_cast<std::size_t>(m)]; }
  const Value& operator[](Measure m) const { return values[static_cast<std::size_t>(m)]; }
};

/// Of the direct path on the map: `in` is los, `out` is olos and nlos; unknown without a node.
enum class InSight : std::uint8_t { in, out, unknown };
std::string_view to_string(InSight sight);
InSight in_sight(Sight sight);

/// One survey row, with what the map foretells there.
struct ComparedRow {
  std::string group;  ///< empty = the row does not say to which it belongs
  std::string walk;   ///< site, survey and run: rows of one walk follow each other
  std::optional<Xy> place;
  std::string spot;                  ///< what it calls its place
  std::string situation;             ///< "outdoor", "in_vehicle", …
  std::optional<double> distance_m;  ///< level distance from the node
  InSight sight = InSight::unknown;
  ByMeasure<std::optional<double>> measured;
  std::optional<bool> linked;  ///< nullopt = the row does not say
  ByMeasure<std::optional<double>> predicted;
  std::optional<double> predicted_hold;  ///< p_hold
};

/// A place of a street or of the map, with the best link there.
struct PredictedPlace {
  std::string group;
  double distance_m = 0.0;
  InSight sight = InSight::unknown;
  ByMeasure<std::optional<double>> predicted;
  double p_hold = 0.0;
  bool beside_beam = false;  ///< the sector's edge is what costs most there
};

/// What a group's radio is made of; groups that differ in it are not alike.
struct RadioKind {
  double frequency_ghz = 0.0, bandwidth_mhz = 0.0;  ///< of all carriers together
  auto operator<=>(const RadioKind&) const = default;
};

/// What one site gives to a comparison.
struct ComparedSite {
  std::string name;
  std::vector<ComparedRow> rows;
  std::vector<PredictedPlace> places;
  std::vector<std::pair<std::string, RadioKind>> radios;  ///< by group, each once
  bool leaf_on = true;
  double rain_mm_per_h = 0.0;
  std::string predicted_context;  ///< of the places
  bool has_node = false;
  std::string places_from;  ///< "streets" or "map"; empty = no places
};

}  // namespace sim
