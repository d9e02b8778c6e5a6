// A recorded track that lends its positions by time.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/gis/crs.h"

namespace sim {

class Track {
 public:
  /// Reads the timed points of a GPX (or any vector file with a time field). Throws InputError when
  /// it has none.
  static Track read(const std::string& path, const Crs& target);

  /// Between the two neighbours in time; nullopt outside the track or across a gap of more than
  /// longest_gap_s.
  std::optional<Xy> at(double time_s) const;

  double first_s() const { return fixes_.front().time_s; }
  double last_s() const { return fixes_.back().time_s; }

  static constexpr double longest_gap_s = 30.0;

 private:
  struct Fix {
    double time_s;
    Xy place;
  };
  std::vector<Fix> fixes_;  ///< by time
};

}  // namespace sim
