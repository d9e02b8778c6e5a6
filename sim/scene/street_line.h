// A street as one line, however many ways the map cut it into: "120 m along the street".
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/import/records.h"

namespace sim {

/// The centre line of a street, its ways of one name joined end to end.
class StreetLine {
 public:
  explicit StreetLine(std::vector<Xy> line) : line_(std::move(line)) {}
  /// The line of that name that is nearest to a place; nullopt when no street has the name.
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

/// Grows a line at both ends by the ways that meet them within a metre, as drawn or turned round;
/// of several, by the one that goes on straightest. Returns the positions of the ways it took.
std::vector<std::size_t> grow_line(std::vector<Xy>& line, const std::vector<std::vector<Xy>>& ways);

}  // namespace sim
