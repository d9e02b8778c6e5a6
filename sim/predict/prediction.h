// Many links at once: named points, or a grid over the street.
#pragma once

#include <array>
#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sim/base/grid.h"
#include "sim/link/link.h"
#include "sim/scene/scene_builder.h"

namespace sim {

struct PredictOptions {
  double spacing_m = 2.0;
  double radius_m = 400.0;
  double receiver_height_agl_m = 1.5;
  /// Told from any thread how many of how many steps of the work at hand are done; may be empty.
  std::function<void(std::size_t done, std::size_t of)> progress;
};

/// A place asked for. `place` is in the scene; z is the phone.
struct ReceiverPoint {
  std::string id;
  Receiver receiver;
  double elevation_m = 0.0;  ///< of the ground, above the vertical datum
  double height_agl_m = 1.5;
};

struct ReceiverRow {
  ReceiverPoint point;
  LinkResult link;
};

struct ReceiverAnswers {
  std::vector<ReceiverRow> rows;    ///< by point in the order asked, node, sector
  std::size_t beyond_radius = 0;    ///< point-node pairs farther than radius_m: no row
  std::size_t off_ground = 0;       ///< points outside the ground raster: no row
  std::size_t inside_building = 0;  ///< answered, but standing in a footprint
};

/// Stands a point on the ground; nullopt outside the ground raster.
std::optional<ReceiverPoint> receiver_point(const Scene& scene, std::string id, MapPoint place,
                                            double height_agl_m, ReceiverContext context);

/// The links of every sector of a node to one receiver, in the order of the sectors; the path is
/// traced once per frequency.
std::vector<LinkResult> node_links(const RayCaster& caster, NodeIndex node,
                                   const Receiver& receiver, const LinkSettings& settings);

/// The links of every sector of every node within the radius, with what they do to each other:
/// the SNR of each is over noise and the other sectors.
std::vector<LinkResult> point_links(const RayCaster& caster, const Receiver& receiver,
                                    const LinkSettings& settings, double radius_m);

ReceiverAnswers predict_points(const RayCaster& caster, const std::vector<ReceiverPoint>& points,
                               const LinkSettings& settings, const PredictOptions& options);

/// What leaves cost the best sector of a cell, within its band, dB.
struct FoliageOfCell {
  float low_db = 0.0F, loss_db = 0.0F, high_db = 0.0F;
};

/// What the best sector of a cell is made of, by the columns of receivers.csv, dB; NaN without an
/// answer.
struct LedgerOfCell {
  static constexpr float none = std::numeric_limits<float>::quiet_NaN();
  float free_space_db = none, diffraction_db = none, foliage_db = none, penetration_db = none,
        gas_rain_db = none, pattern_db = none, reflection_gain_db = none;
};

/// One band per contract name, in the contract's order. best_sector counts the sectors of all nodes
/// in order, from 1; 0 = none within radius.
struct PredictionGrid {
  GridSpec spec;
  std::vector<Band> bands;
  std::vector<std::string> sector_names;  ///< "node/sector" by best_sector - 1
  std::vector<std::uint8_t> cause;        ///< Cause of the best sector per cell
  std::vector<ObstacleId> cause_obstacle;
  std::vector<FoliageOfCell> foliage;
  std::vector<LedgerOfCell> ledger;
  std::size_t cells_answered = 0, cells_off_ground = 0, cells_in_buildings = 0;
  std::size_t cells_held_by_reflection = 0;  ///< nlos, and walls serve it
  const Band& band(const std::string& name) const;
  Band& band(const std::string& name);
};

/// All cells within radius_m of a node; cell centres on multiples of the spacing in the site CRS.
PredictionGrid predict_grid(const RayCaster& caster, const LinkSettings& settings,
                            const PredictOptions& options);

/// The same grid with no cell answered yet.
PredictionGrid unanswered_grid(const Scene& scene, const PredictOptions& options);

/// Answers the cells named, each as predict_grid() answers it, and adds to the counts. On all
/// threads; no cell twice. `footprints` is of the caster's scene.
void predict_cells(const RayCaster& caster, const FootprintIndex& footprints,
                   const LinkSettings& settings, const PredictOptions& options,
                   std::span<const std::size_t> cells, PredictionGrid& grid);

}  // namespace sim
