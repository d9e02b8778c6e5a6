// "120 m along the street": places without GPS.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/import/records.h"

namespace sim {

/// The centre line of a street, its ways of one name joined end to end.
class StreetLine {
 public:
  /// nullopt when no street of that name is there.
  static std::optional<StreetLine> find(const std::vector<StreetRecord>& streets,
                                        const std::string& name, Xy near);

  /// Distance along the line of the point of it that is nearest to the place.
  double along_of(Xy place) const;
  double length_m() const;
  /// The place at a distance along the line and to a side of it (positive left); beyond the ends
  /// the line goes on straight.
  Xy at(double along_m, double left_m) const;

 private:
  std::vector<Xy> line_;
};

}  // namespace sim
