// Measured rows as walks: what each says of a missing thing, with the phone's place unknown.
#pragma once

#include <Eigen/Core>
#include <array>
#include <string>
#include <vector>

#include "sim/explain/evidence.h"
#include "sim/explain/suspect_things.h"
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

/// log of how much likelier all rows are with a thing than without, by guess.
using LogRatios = std::array<double, thing_guesses>;

using GuessesByPlace = Eigen::MatrixXf;

/// Rows of one walk at one place and time: one unknown place of the phone.
struct Fix {
  std::size_t first = 0, last = 0;  ///< rows, `last` excluded
  std::vector<ScenePoint> places;
  std::vector<std::vector<std::size_t>> ends;  ///< by row and place: index among the row's ends
  double kept = 0.0;                           ///< of the error of the fix before
  double plain_sum = 1.0;                      ///< what `before` was divided by
  Eigen::MatrixXf from_before;                 ///< places before x places: share that goes there
  Eigen::MatrixXf moved_plain;  ///< the same, with what the rows here say of a place by the map
  Eigen::VectorXf before;       ///< by place: by the map, of all rows up to and with this fix
  Eigen::VectorXf after;        ///< by place: by the map, of all rows after it
};

/// The walks of a survey by a hidden Markov model: the state of a fix is where the phone truly was,
/// of its possible places. Errors of a place stray slowly: from fix to fix they keep a share of
/// exp(-distance / place_correlation_m), the rest is new. Missing things change what the rows of a
/// state are likely to be. Rows may each err by themselves, whatever stands there.
class SuspectWalks {
 public:
  SuspectWalks(const Scene& scene, std::vector<SuspectRow> rows);

  const std::vector<SuspectRow>& rows() const { return rows_; }
  std::size_t fixes() const { return fixes_.size(); }

  /// Adds what all rows say of each guess about a place; false where none is touched.
  bool add_log_ratios(const ThingPlace& thing, LogRatios& ratios) const;

  /// Chance by the places alone that the guess takes half of a row's direct path or more.
  double takes(const SuspectRow& row, const ThingPlace& thing, std::size_t guess) const;

  /// From here on the thing is taken to stand there.
  void put(const ThingPlace& thing, std::size_t guess);

 private:
  void prepare();
  /// By place and guess: what a thing there makes of the likelihood of the fix's rows.
  bool touched(const Fix& fix, const ThingPlace& thing, GuessesByPlace& factors) const;
  Eigen::VectorXf plain_likelihoods(const Fix& fix) const;
  const Scene& scene_;
  std::vector<SuspectRow> rows_;
  std::vector<Fix> fixes_;
  std::vector<std::size_t> walk_ends_;  ///< one past the last fix of each walk
};

}  // namespace sim
