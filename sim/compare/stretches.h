// Rows that are one sample together: what a walk measures within a few steps is not new each
// second.
#pragma once

#include "sim/compare/compared_row.h"
#include "sim/compare/like_with_like.h"

namespace sim {

/// Rows of one walk that follow each other and are alike, as one value of each measure.
struct Stretch {
  std::string group;
  Likeness like;
  std::size_t rows = 0;
  std::optional<double> distance_m;           ///< mean
  ByMeasure<std::optional<double>> measured;  ///< median of the rows that had a link
  ByMeasure<std::size_t> measured_rows;
  ByMeasure<std::optional<double>> predicted;  ///< median, of the rows measured
  ByMeasure<std::optional<double>> residual;   ///< median of measured less predicted
  std::optional<double> linked;                ///< share of the rows that say and had a link
  std::size_t linked_rows = 0;                 ///< rows that say
  std::optional<double> predicted_hold;        ///< mean p_hold of the rows that say
};

/// A stretch ends with its walk, its group, its distance bin, its sight, the way the phone was
/// held, or `stretch_m` from where it began; without places, where the place is called otherwise.
/// Rows without a group are left out. A rate or delay of a row that had no link is left out, for it
/// is that of another layer or of none.
std::vector<Stretch> stretches_of(const std::vector<ComparedRow>& rows, double bin_m,
                                  double stretch_m);

/// Bin of a distance; -1 = not known.
int bin_of(const std::optional<double>& distance_m, double bin_m);

}  // namespace sim
