// "12 High Street": places by address, from a file of address points.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "sim/gis/crs.h"

namespace sim {

class AddressPoints {
 public:
  /// Reads points with a field `address`, or with addr:housenumber and addr:street (also
  /// housenumber and street). Throws InputError when the file has neither.
  static AddressPoints read(const std::string& path, const Crs& target);

  /// Without regard to case, spaces and commas, with the number before or after the street.
  std::optional<Xy> find(const std::string& address) const;
  /// The address that is spelt most alike; empty when none is near.
  std::string nearest(const std::string& address) const;

 private:
  std::map<std::string, Xy> places_;
};

}  // namespace sim
