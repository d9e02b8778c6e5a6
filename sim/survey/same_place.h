// Rows that were measured at one place.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "sim/survey/survey.h"

namespace sim {

inline constexpr double same_place_m = 3.0;  // common practice, no source
/// A named place is no larger than this: the same word farther away means another; common practice,
/// no source.
inline constexpr double named_place_m = 50.0;

struct SamePlace {
  std::optional<Xy> place;        ///< of its first placed row
  std::string name;               ///< empty = not named
  std::vector<std::size_t> rows;  ///< positions in the measurements, in order
};

/// What a row calls its place: the column `place`, its distance along a street, or its address.
std::string place_name(const Measurement& m);

/// In the order of their first visit. A row that names its place belongs to the rows of the same
/// name; any other to the first place within the reach of the row. Rows with neither are left out.
std::vector<SamePlace> places_of(const std::vector<Measurement>& measurements,
                                 const std::function<double(const Measurement&)>& reach_m);

/// How often the place was come to: rows that follow each other in one run are one visit.
std::size_t visits_of(const SamePlace& place, const std::vector<Measurement>& measurements);

}  // namespace sim
