// Quantities that are easily confused, as types. Everything else is a double with its unit in the
// name.
#pragma once

#include <cmath>
#include <compare>
#include <numbers>

namespace sim {

inline constexpr double speed_of_light_m_per_s = 299'792'458.0;  // BIPM SI brochure, exact

/// A ratio in decibels: a gain or, where the name says so, a loss (positive = attenuation).
struct Db {
  double value = 0.0;

  constexpr Db() = default;
  constexpr explicit Db(double db) : value(db) {}
  static Db from_power_ratio(double ratio) { return Db(10.0 * std::log10(ratio)); }
  double power_ratio() const { return std::pow(10.0, value / 10.0); }

  constexpr auto operator<=>(const Db&) const = default;
  constexpr Db operator-() const { return Db(-value); }
  constexpr Db& operator+=(Db other) {
    value += other.value;
    return *this;
  }
};
constexpr Db operator+(Db a, Db b) { return Db(a.value + b.value); }
constexpr Db operator-(Db a, Db b) { return Db(a.value - b.value); }
constexpr Db operator*(double factor, Db a) { return Db(factor * a.value); }

/// A level relative to one milliwatt. Two levels cannot be added; their difference is a ratio.
struct Dbm {
  double value = 0.0;

  constexpr Dbm() = default;
  constexpr explicit Dbm(double dbm) : value(dbm) {}
  constexpr auto operator<=>(const Dbm&) const = default;
};
constexpr Dbm operator+(Dbm level, Db gain) { return Dbm(level.value + gain.value); }
constexpr Dbm operator-(Dbm level, Db loss) { return Dbm(level.value - loss.value); }
constexpr Db operator-(Dbm a, Dbm b) { return Db(a.value - b.value); }

class Frequency {
 public:
  constexpr Frequency() = default;
  static constexpr Frequency ghz(double f) { return Frequency(f * 1e9); }
  static constexpr Frequency mhz(double f) { return Frequency(f * 1e6); }
  static constexpr Frequency hz(double f) { return Frequency(f); }

  constexpr double ghz() const { return hz_ / 1e9; }
  constexpr double mhz() const { return hz_ / 1e6; }
  constexpr double hz() const { return hz_; }
  constexpr double wavelength_m() const { return speed_of_light_m_per_s / hz_; }
  constexpr auto operator<=>(const Frequency&) const = default;

 private:
  constexpr explicit Frequency(double hz) : hz_(hz) {}
  double hz_ = 0.0;
};

class Angle {
 public:
  constexpr Angle() = default;
  static constexpr Angle degrees(double a) { return Angle(a * std::numbers::pi / 180.0); }
  static constexpr Angle radians(double a) { return Angle(a); }

  constexpr double degrees() const { return radians_ * 180.0 / std::numbers::pi; }
  constexpr double radians() const { return radians_; }
  /// The same direction in (-180, 180] degrees.
  Angle wrapped() const {
    const double turned = std::remainder(radians_, 2.0 * std::numbers::pi);
    return Angle(turned <= -std::numbers::pi ? turned + 2.0 * std::numbers::pi : turned);
  }

  constexpr auto operator<=>(const Angle&) const = default;
  constexpr Angle operator-() const { return Angle(-radians_); }

 private:
  constexpr explicit Angle(double radians) : radians_(radians) {}
  double radians_ = 0.0;
};
constexpr Angle operator+(Angle a, Angle b) { return Angle::radians(a.radians() + b.radians()); }
constexpr Angle operator-(Angle a, Angle b) { return Angle::radians(a.radians() - b.radians()); }

}  // namespace sim
