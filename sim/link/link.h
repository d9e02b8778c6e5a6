// One sector, one receiver: the ledger of the link.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/base/assets.h"
#include "sim/base/receiver_context.h"
#include "sim/cast/mirror_paths.h"
#include "sim/cast/ray_caster.h"
#include "sim/link/antenna.h"
#include "sim/link/rate.h"
#include "sim/link/reflected_path.h"
#include "sim/scene/scene.h"

namespace sim {

enum class Sight : std::uint8_t { none, los, olos, nlos };  // values of coverage.tif
std::string_view to_string(Sight sight);

/// Names of the contract's `cause` column.
enum class Cause : std::uint8_t {
  none,
  distance,
  sector,
  terrain,
  building,
  foliage,
  pole,
  vehicle,
  object,
  enclosure,
  body,
  unmapped,
  load,
  position
};
std::string_view to_string(Cause cause);
Cause cause_of(ObstacleKind kind);

enum class Validity : std::uint8_t { inside, outside };

/// Which column of receivers.csv a term adds to.
enum class TermGroup : std::uint8_t { free_space, diffraction, foliage, penetration, gas_rain };

/// A loss that nobody knows to a decibel: what it may be at least and at most.
struct LossBand {
  Db low, high;
};

/// One cost of the link.
struct LossTerm {
  std::string_view model;   ///< name in the formula book: "knife_edge"
  std::string_view source;  ///< document and section
  TermGroup group = TermGroup::free_space;
  Db loss;  ///< positive
  Cause cause = Cause::none;
  ObstacleId obstacle = no_obstacle;  ///< the thing that costs it
  Validity validity = Validity::inside;
  Db spread;  ///< standard deviation of the loss about its median; 0 = none stated
  std::optional<LossBand> band = std::nullopt;  ///< of foliage: round `loss`
};

/// The values of coverage.tif. `marginal` is the hysteresis between keeping and regaining: a link
/// that is up stays up there, one that is lost does not come back before it holds.
enum class LinkState : std::uint8_t { drop, marginal, hold };
std::string_view to_string(LinkState state);

/// Who listens, and how.
struct Receiver {
  ScenePoint position;
  ReceiverContext context = ReceiverContext::outdoor;
  std::optional<Facing> facing = std::nullopt;  ///< missing = the site's
};

struct LinkResult {
  NodeIndex node = 0;
  std::uint32_t sector = 0;
  Receiver receiver;
  PathProfile path;
  Sight sight = Sight::none;
  Angle azimuth, elevation;  ///< of the receiver seen from the node, true north and above horizon
  double distance_2d_m = 0.0, distance_3d_m = 0.0;
  Dbm eirp;                    ///< peak, whole carrier
  Db pattern;                  ///< of the beam that carries data, relative to the peak, <= 0
  int beam = -1;               ///< its index in the sector's codebook; -1 = no beams
  WorldDirection beam_points;  ///< where that beam looks
  Db broadcast;                ///< the broadcast beam (SSB) over the data beam here: mostly <= 0
  Db beside_beam;              ///< the mean of the sector's other beams over the data beam here
  Db receiver_gain;            ///< of the phone's panel as it is turned
  Db turned_away;              ///< what the turning costs of it, >= 0
  Db reflection_gain;          ///< what other paths add to the direct one in power, >= 0
  std::vector<LossTerm> terms;
  std::vector<ReflectedPath> reflected;
  Db scattered;  ///< what scattering facades add to all other paths, >= 0; in reflection_gain
  int strongest_reflection = -1;  ///< in `reflected`, where it is stronger than the direct path
  Angle arrival_azimuth, arrival_elevation;  ///< of the strongest path, seen from the receiver
  Dbm received;  ///< whole carrier: eirp + pattern + receiver_gain + reflection_gain - sum(terms)
  Dbm per_element;  ///< of the data beam, per resource element
  Dbm rsrp;         ///< SS-RSRP: of the broadcast beam, per resource element
  Db snr;           ///< of the data beam, over noise and, by add_interference, over other sectors
  Db interference;  ///< noise with interference over noise alone, >= 0; in `snr` already
  Db foliage_low, foliage_high;    ///< band of the foliage terms' sum
  double foliage_spread_db = 0.0;  ///< standard deviation that the band stands for
  Db sigma;  ///< what the level may stray by: shadowing and spread(), independent
  double downlink_mbps = 0.0, uplink_mbps = 0.0;
  /// The same one sigma below and above the predicted level.
  double downlink_low_mbps = 0.0, downlink_high_mbps = 0.0;
  double uplink_low_mbps = 0.0, uplink_high_mbps = 0.0;
  double p_hold = 0.0;
  LinkState state = LinkState::drop;
  Cause cause = Cause::none;  ///< what decides: the dearest thing, the sector's edge or distance
  ObstacleId cause_obstacle = no_obstacle;

  Db path_loss() const;  ///< sum of the terms minus reflection_gain
  Db sum(TermGroup group) const;
  Db spread() const;  ///< of all terms and the leaves together: the root of the sum of squares
};

/// Every number of the link that does not come from the scene; from assets/defaults.csv and the
/// site.
struct LinkSettings {
  double receiver_gain_dbi = 0.0, noise_figure_db = 0.0;
  double rain_mm_per_h = 0.0;
  Facing facing;
  Housing housing;
  std::vector<std::vector<SectorBeams>> beams;  ///< by node and sector
  std::vector<std::vector<SectorRates>> rates;  ///< likewise
  bool leaf_on = true;
  double sway_m = 0.0;  ///< standard deviation of the receiver's place about where it is held
  Dbm hold_rsrp, drop_rsrp;
  double shadow_sigma_los_db = 4.0, shadow_sigma_nlos_db = 7.82;
  double scs_khz = 120.0, sector_edge_db = 0.0, foliage_band_sigmas = 1.0;
  Defaults defaults;
  /// Specific attenuation of the air at the frequencies of the scene: thousands of lines of a
  /// spectrum, summed once and not for every ray.
  std::vector<std::pair<Frequency, double>> gas_db_per_km;
  /// Finds reflected paths of the scene; null where none are asked for.
  std::shared_ptr<const MirrorPaths> mirrors;
};
/// The scene must outlive the settings: its mirrors are looked for when they are first needed.
LinkSettings link_settings(const Scene& scene);
double gas_db_per_km(const LinkSettings& settings, Frequency frequency);

/// Thermal noise of the receiver in one resource element.
Dbm noise_level(const LinkSettings& settings);

/// What lies between a node and a receiver, and what it costs one frequency: shared by all sectors
/// of the node at that frequency.
struct TracedPath {
  NodeIndex node = 0;
  Receiver receiver;
  PathProfile path;
  Sight sight = Sight::none;
  std::vector<LossTerm> terms;  ///< free space, gas, edges, foliage, enclosure
  std::vector<ReflectedPath> reflected;
  std::vector<ScatteredPath> scattered;
};
TracedPath trace_path(const RayCaster& caster, NodeIndex node, Frequency frequency,
                      const Receiver& receiver, const LinkSettings& settings);

/// Puts one sector's antenna, rain and receiver on a traced path.
LinkResult link_on(const Scene& scene, TracedPath traced, std::uint32_t sector,
                   const LinkSettings& settings);

}  // namespace sim
