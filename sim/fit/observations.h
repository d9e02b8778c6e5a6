// Survey rows as a fit sees them: what was measured, and what each ray to the place costs.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "sim/link/link.h"
#include "sim/predict/prediction.h"
#include "sim/survey/survey.h"

namespace sim {

/// One sector's way to a place, with everything that a fit may change taken out.
struct Ray {
  NodeIndex node = 0;
  std::uint32_t sector = 0;
  double fixed_dbm = 0.0;  ///< RSRP at the site's EIRP without pattern, leaves and body
  Angle azimuth, elevation;
  double foliage_db = 0.0;  ///< at scale 1
  bool in_vehicle = false, behind_body = false;
  bool reflected = false;  ///< other paths add to it: their pattern is held as traced
};

enum class Evidence : std::uint8_t {
  level,      ///< RSRP read off the phone
  connected,  ///< above the level at which a phone lets go
  lost        ///< below it
};

struct Observation {
  std::size_t measurement = 0;  ///< index in the survey
  Evidence evidence = Evidence::level;
  double level_dbm = 0.0;  ///< measured; of a bound with no rays, the level that is compared
  double sigma_db = 1.0;   ///< spread of measured minus predicted
  double weight = 1.0;     ///< share of an independent row: near ones share their shadowing
  Receiver receiver;
  std::vector<Ray> rays;  ///< empty: a level measured beside connected or lost
  std::size_t strongest = 0;
};

struct LeftOut {
  std::size_t measurement = 0;
  std::string why;
};

struct Observations {
  std::vector<Observation> rows;
  std::vector<LeftOut> left_out;
};

struct ObservationOptions {
  double radius_m = 400.0;
  double receiver_height_agl_m = 1.5;
  bool deep_shadow_too = false;  ///< keep rows behind more than fit_shadow_db of edges
  /// The site's own nodes, to take fitted EIRPs out again; empty = those of the scene.
  std::vector<Node> site_nodes;
};

/// The settings a fit traces with: leaves at scale 1 and the published vehicle.
LinkSettings fit_settings(const Scene& scene);

/// Traces every row of the survey that says something about a level.
Observations observe(const RayCaster& caster, const Survey& survey, const LinkSettings& settings,
                     const ObservationOptions& options);

/// The rays of all sectors of a node, or of every node within the radius, to one receiver.
/// `loudest`, where given, gets the link of the strongest.
std::vector<Ray> rays_to(const RayCaster& caster, const Receiver& receiver,
                         const LinkSettings& settings, const ObservationOptions& options,
                         const std::string& node_id, LinkResult* loudest = nullptr);

/// Sets the weights: 1 / (1 + sum of the correlations with the other rows of its kind), which makes
/// k rows at one place count as much as their mean does. Source: variance of a mean of equally
/// correlated values; shadow correlation of TR 38.901 section 7.4.4.
void weigh_rows(std::vector<Observation>& rows, const LinkSettings& settings);

}  // namespace sim
