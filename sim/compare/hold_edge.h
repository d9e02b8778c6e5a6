// The distance at which a link stops holding, from points that hold and points that do not.
#pragma once

#include <optional>
#include <vector>

#include "sim/survey/bootstrap.h"

namespace sim {

struct HoldPoint {
  double distance_m = 0.0;
  double held = 0.0;  ///< 0..1: lost or held, the share of a stretch that held, or p_hold
};

/// Share that holds at a distance: 1 / (1 + exp(-(level + slope * distance))).
struct HoldCurve {
  double level = 0.0, slope_per_m = 0.0;
  double at(double distance_m) const;
};

/// Logistic regression of holding on distance with Firth's penalty, which keeps it finite where
/// near points all hold and far ones do not. nullopt for points at one distance.
/// Source: D. Firth, Biometrika 80 (1993) 27-38; for separated points G. Heinze and M. Schemper,
/// Statistics in Medicine 21 (2002) 2409-2419; from memory.
std::optional<HoldCurve> fit_hold_curve(const std::vector<HoldPoint>& points);

/// Where the curve passes a probability. An edge outside the distances that were asked is not
/// known: it is then their end, and said to be open.
struct HoldEdge {
  double probability = 0.5;
  double distance_m = 0.0;
  bool beyond = false;          ///< holds as far as asked: the edge lies farther
  bool before = false;          ///< holds nowhere as often: the edge lies nearer
  ConfidenceInterval interval;  ///< bootstrap over the points; NaN unless asked for
  bool low_open = false, high_open = false;
};

struct HoldEdges {
  std::optional<HoldCurve> curve;            ///< none where no curve was assumed
  double nearest_m = 0.0, farthest_m = 0.0;  ///< of the points
  std::vector<HoldEdge> edges;               ///< at 0.9, 0.5 and 0.1
};

inline constexpr double edge_probabilities[]{0.9, 0.5, 0.1};

/// With `intervals`, each edge gets that of its draws; the points are taken as independent.
std::optional<HoldEdges> hold_edges(const std::vector<HoldPoint>& points,
                                    const BootstrapSettings* intervals);

/// Of all places there are, which need no curve: the farthest place at which the share that holds,
/// made to fall with distance by pooling neighbours that do not, is still the probability.
/// Source: pool adjacent violators: M. Ayer et al., Annals of Mathematical Statistics 26 (1955)
/// 641-647, from memory.
std::optional<HoldEdges> edges_of_all(std::vector<HoldPoint> points);

}  // namespace sim
