// Zones that clocks are set by: "UTC", "+02:00", "Europe/Lisbon".
#pragma once

#include <memory>
#include <optional>
#include <string>

namespace sim {

class TimeZone {
 public:
  /// A fixed offset, or a name of the IANA time zone database with its continent. nullopt for
  /// anything else: three letters ("CST") mean several zones.
  static std::optional<TimeZone> find(const std::string& name);
  /// The IANA name that is spelt most alike; empty when none is near.
  static std::string nearest(const std::string& name);

  struct Offset {
    double seconds = 0.0;      ///< east of UTC
    bool shown_twice = false;  ///< clocks were set back: the earlier of the two was taken
    bool skipped = false;      ///< clocks were set forward: none showed this time
  };
  /// When the clocks of the zone show a time, given as seconds since 1970 by those clocks.
  Offset at(double clock_s) const;

 private:
  struct Rules;
  double fixed_s_ = 0.0;
  std::shared_ptr<const Rules> rules_;  ///< none = fixed
};

}  // namespace sim
