// Whether a link holds: by how much it may stray, and what a walk makes of it.
#pragma once

#include <cstdint>
#include <random>
#include <span>
#include <vector>

#include "sim/link/link.h"

namespace sim {

/// Standard deviation of what a link may stray from its prediction: shadowing that the map does not
/// explain and the spread of the terms, independent of each other.
/// Source: sum of variances; shadowing of TR 38.901 Table 7.4.1-1.
Db total_sigma(Db shadowing, Db spread) noexcept;

/// Shadowing at a place: its standard deviation, and the distance over which it forgets itself.
struct Shadowing {
  Db sigma;
  double correlation_m = 10.0;
};
/// UMi street canyon by sight: LOS where the path is clear, else NLOS.
/// Source: TR 38.901 Table 7.4.1-1 (sigma) and Table 7.5-6 (distance; table number from memory).
Shadowing shadowing_of(Sight sight, const LinkSettings& settings);
Db shadowing_sigma(Sight sight, const LinkSettings& settings) noexcept;

/// Probability that the level stays above its threshold, by how far it is predicted above it.
/// Source: normal distribution in dB (log-normal shadowing), TR 38.901 section 7.4.
double hold_probability(Db margin, Db sigma) noexcept;

/// Correlation of the shadowing of two places.
///   rho = exp(-distance / correlation distance)
/// Source: TR 38.901 section 7.4.4.
double shadow_correlation(double distance_m, double correlation_m) noexcept;

/// One place of a walk, for drawing what it may be like.
struct ShadowPlace {
  double step_m = 0.0;  ///< walked since the place before
  Shadowing shadowing;
  Db spread;  ///< of the terms: the same all along one draw, as a model is off the same way
};

/// Draws how far the level of each place of a walk strays. The same seed and stream give the same
/// draws whatever runs beside it.
class ShadowDraws {
 public:
  ShadowDraws(std::uint64_t seed, std::uint64_t stream);
  /// Gauss-Markov along the walk: each place has its closed-form total_sigma, and two places the
  /// correlation of the distance between them.
  std::vector<Db> next(std::span<const ShadowPlace> walk);

 private:
  std::mt19937_64 numbers_;
  std::normal_distribution<double> normal_;
};

/// Which places of a walk have the link, in the order walked: it is kept down to `keep`, and once
/// lost comes back only at `regain`. A walk begins without it. NaN is a place without an answer: it
/// has no link, and changes nothing for the places after it.
std::vector<bool> walk_states(std::span<const Dbm> levels, Dbm keep, Dbm regain);

}  // namespace sim
