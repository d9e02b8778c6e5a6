// What a survey may correct in a site.
#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

#include "sim/fit/observations.h"

namespace sim {

enum class FitQuantity : std::uint8_t {
  azimuth,         ///< of a sector, degrees
  downtilt,        ///< of a sector, degrees
  eirp,            ///< of a sector or all of a node: dB over the site's
  foliage_scale,   ///< factor on what leaves cost
  vehicle_offset,  ///< dB over the published entry loss
  body_loss,       ///< dB
  drop_level       ///< RSRP at which the phone lets go, dBm
};

/// One number that the fit may change.
struct Unknown {
  FitQuantity quantity = FitQuantity::eirp;
  NodeIndex node = 0;
  std::uint32_t sector = 0;
  bool whole_node = false;  ///< eirp: of every sector of the node
  std::string name;         ///< "azimuth of n1/a"
  std::string unit;         ///< "deg", "dB", "dBm" or empty
  double site = 0.0;        ///< value in the site; 0 for eirp
  double lower = 0.0, upper = 0.0;
  double step = 0.1;          ///< of central differences
  double known_within = 1.0;  ///< a larger standard deviation means: the rows do not tell it
  double plausible = 1.0;     ///< standard deviation of what it may be before any row
  bool is_angle() const {
    return quantity == FitQuantity::azimuth || quantity == FitQuantity::downtilt;
  }
};

/// Every number that some row depends on. `nodes` are as in the site.
std::vector<Unknown> unknowns_of(const std::vector<Node>& nodes,
                                 const std::vector<Observation>& rows, const LinkSettings& settings,
                                 bool eirp_per_sector);

Eigen::VectorXd site_values(const std::vector<Unknown>& unknowns);

/// The nodes of the site with fitted sectors.
std::vector<Node> with_values(std::vector<Node> nodes, const std::vector<Unknown>& unknowns,
                              const Eigen::VectorXd& values);

}  // namespace sim
