// The same places walked again: how often each of them drops. Needs no node.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "sim/survey/survey.h"

namespace sim {

/// A square of the map, side `walked_cell_m`, and what the walks through it found.
struct WalkedPlace {
  Xy middle;  ///< site CRS
  struct Pass {
    std::size_t rows = 0, connected = 0;  ///< rows that say whether the link was there
    double connected_share() const {
      return static_cast<double>(connected) / static_cast<double>(rows);
    }
    /// Of a walk through the place, most of it without a link.
    bool dropped() const { return 2 * connected < rows; }
  };
  std::map<std::string, Pass> passes;  ///< by survey and run
  std::size_t dropped() const;
};

inline constexpr double walked_cell_m = 20.0;  // a few times a phone's accuracy

/// Places with at least one row that says whether there was a link, from west to east, then south
/// to north.
std::vector<WalkedPlace> walked_places(const std::vector<Measurement>& measurements,
                                       double drop_rsrp_dbm);

/// How alike two walks are: Pearson correlation of the connected share over the places both went
/// through, each with at least `least_rows` rows; NaN for fewer than three of them or no spread.
struct WalkAgreement {
  std::string one, other;
  std::size_t places = 0;
  double correlation = 0.0;
};
std::vector<WalkAgreement> walk_agreements(const std::vector<WalkedPlace>& places,
                                           std::size_t least_rows = 3);

}  // namespace sim
