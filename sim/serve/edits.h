// What the live page changes: a list of edits, and the site as they leave it.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "sim/import/records.h"

namespace sim {

// One struct per `Edit` of tools/viewer/src/live.ts. Nodes and sectors count from 0 in the site's
// order; places are in scene axes, metres.

struct MoveNode {
  std::size_t node = 0;
  double x_m = 0.0, y_m = 0.0;
  bool operator==(const MoveNode&) const = default;
};
struct RaiseNode {
  std::size_t node = 0;
  double height_agl_m = 0.0;
  bool operator==(const RaiseNode&) const = default;
};
struct TurnSector {
  std::size_t node = 0, sector = 0;
  double azimuth_deg = 0.0, downtilt_deg = 0.0;
  bool operator==(const TurnSector&) const = default;
};
enum class AddedKind : std::uint8_t { car, van, lorry, bus, tree, pole };
std::string_view to_string(AddedKind kind);
struct AddThing {
  AddedKind what = AddedKind::car;
  double x_m = 0.0, y_m = 0.0, heading_deg = 0.0;  ///< true north
  std::optional<double> height_m;                  ///< missing = the usual one
  bool operator==(const AddThing&) const = default;
};
struct RemoveThing {
  std::string source;  ///< as source_in_site() names a record
  bool operator==(const RemoveThing&) const = default;
};
struct UnaddThing {
  std::size_t add = 0;  ///< which of the list's `add`s, from 0, those taken back counted too
  bool operator==(const UnaddThing&) const = default;
};
struct LeafOn {
  bool on = true;
  bool operator==(const LeafOn&) const = default;
};
struct RainRate {
  double mm_per_h = 0.0;
  bool operator==(const RainRate&) const = default;
};
using Edit = std::variant<MoveNode, RaiseNode, TurnSector, AddThing, RemoveThing, UnaddThing,
                          LeafOn, RainRate>;

/// What an added record names as its file, so that it can be told from those of the site.
inline constexpr const char* added_path = "added";

/// The site as the edits leave it, in their order. Throws InputError "edits[2]: …" for a node,
/// sector or source that the site does not have, a size that cannot be, or a place off the ground.
ImportedSite edited_site(const ImportedSite& site, std::span<const Edit> edits);

/// Whether an edit changes what rays can meet; the others change only nodes and weather.
bool changes_what_stands(const Edit& edit);

/// The parts of edited_site(): what stands, and the nodes and weather.
void apply_to_things(ImportedSite& site, std::span<const Edit> edits);
struct NodesAndWeather {
  std::vector<NodeRecord> nodes;
  bool leaf_on = true;
  double rain_mm_per_h = 0.0;
};
NodesAndWeather nodes_and_weather(const ImportedSite& site, std::span<const Edit> edits);

}  // namespace sim
