// Measured rows as walks: what each says of a missing thing, with the phone's place unknown.
#pragma once

#include <Eigen/Core>
#include <array>
#include <string>
#include <vector>

#include "sim/explain/suspect_rows.h"
#include "sim/explain/suspect_things.h"
#include "sim/scene/scene.h"

namespace sim {

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
