// Seeded draws that are the same on every machine.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

#include "tests/support/town.h"

namespace sim::test {

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed) {}
  double between(double low, double high) { return low + (high - low) * next_number(state_); }
  int pick(int choices) { return static_cast<int>(choices * next_number(state_)); }
  bool chance(double probability) { return next_number(state_) < probability; }
  /// Normal, by the transform of Box and Muller (1958, from memory).
  double normal(double mean, double sigma) {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - next_number(state_)));
    return mean + sigma * radius * std::cos(2.0 * std::numbers::pi * next_number(state_));
  }

 private:
  std::uint64_t state_;
};

}  // namespace sim::test
