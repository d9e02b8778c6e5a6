// "12 High Street": places by address, from a file of address points.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "sim/gis/crs.h"

namespace sim {

class AddressPoints {
 public:
  /// Reads points, or outlines by their middle, with a field `address`, or with addr:housenumber
  /// and addr:street (also housenumber and street). Throws InputError when the file has neither.
  static AddressPoints read(const std::string& path, const Crs& target);

  struct Found {
    Xy place;
    double gap_m = 0.0;   ///< between the neighbours that it was put between; 0 = the very one
    std::string between;  ///< "8 and 16 high street"; empty = the very one
  };
  /// Without regard to case, spaces and commas, with the number before or after the street. Where
  /// the number itself is missing: on the straight line between the nearest lower and higher number
  /// of the same street and the same side (odd or even), by the number.
  std::optional<Found> find(const std::string& address) const;
  /// "the numbers known of high street run from 2 to 16", for a number past either end of its side;
  /// empty for a street that is not known.
  std::string known_numbers(const std::string& address) const;
  /// The address that is spelt most alike; empty when none is near.
  std::string nearest(const std::string& address) const;

 private:
  std::map<std::string, Xy> places_;
  std::map<std::string, std::map<int, Xy>> numbers_;  ///< street → plain numbers
};

}  // namespace sim
