// A measured row, as it is asked about things that the map lacks.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "sim/base/points.h"
#include "sim/explain/evidence.h"
#include "sim/scene/scene.h"

namespace sim {

inline constexpr std::size_t power_steps = 48;  ///< quarters of an octave: to 36 dB

/// The link by the map at one of the places where a row's phone may have been.
struct MappedEnd {
  ScenePoint phone;
  double level_dbm = 0.0, sigma_db = 0.0;  ///< expected by the map, and how far one strays from it
  double direct_share = 1.0;               ///< of its power, that of the direct path
  bool blocked = false;                    ///< by the map: another thing makes no difference
  std::array<float, power_steps> likelihoods{};  ///< of the row, by what is left of the direct path
};

/// A measured row, and what the map says of it.
struct SuspectRow {
  std::size_t point = 0;  ///< index among the explained points
  NodeIndex node = 0;
  Frequency frequency;
  LevelEvidence evidence;
  bool weaker = false;  ///< likelier with something unmapped in the way than without
  std::string walk;     ///< rows of one walk follow each other, and their places stray alike
  double time_s = 0.0;
  ScenePoint reported;
  double place_sigma_m = 1.0;   ///< of the place, along each axis
  std::vector<MappedEnd> ends;  ///< equally likely before anything is measured
};

/// Fills the likelihoods of all ends. Rows may each err by themselves, whatever stands there, and
/// things may let something through.
void set_likelihoods(SuspectRow& row);

/// Which of MappedEnd::likelihoods holds for what is left of the direct path's power, 0..1.
std::size_t power_index(double share);

/// Of the level, where the direct path keeps that share of its power and other paths stay.
double level_change_db(const MappedEnd& end, double direct_left);

/// Likelihood of a row that may be anything: a passer-by, a turned phone.
double erring_likelihood(const SuspectRow& row);

/// Every so many of the ends, the first among them.
std::vector<SuspectRow> with_every(std::size_t step, std::vector<SuspectRow> rows);

}  // namespace sim
