// What the map may be missing: upright things of plausible size, and what they leave of a ray.
#pragma once

#include <array>
#include <cstddef>

#include "sim/base/points.h"
#include "sim/base/units.h"
#include "sim/explain/street_directions.h"

namespace sim {

/// How wide and long a missing thing may be: half of its sides, the direction of its long side from
/// the street's (along it, across it), and how often things are so in a street and elsewhere.
struct ThingShape {
  double half_length_m, half_width_m, lies_along, lies_across, prior, prior_off_street;
};

/// Posts, crowns and kiosks, sheds; cars, trucks, and walls or hoardings, which mostly stand along
/// their street. Common practice, no source.
inline constexpr double diagonal = 0.70710678118654752;
inline constexpr std::array<ThingShape, 16> thing_shapes{
    {{0.3, 0.3, 1.0, 0.0, 0.1, 0.1},
     {1, 1, 1.0, 0.0, 0.15, 0.15},
     {2, 2, 1.0, 0.0, 0.1, 0.1},
     {5, 5, 1.0, 0.0, 0.05, 0.05},
     {2.5, 1.0, 1.0, 0.0, 0.14, 0.05},
     {2.5, 1.0, diagonal, diagonal, 0.016, 0.05},
     {2.5, 1.0, 0.0, 1.0, 0.028, 0.05},
     {2.5, 1.0, -diagonal, diagonal, 0.016, 0.05},
     {4.0, 1.25, 1.0, 0.0, 0.168, 0.06},
     {4.0, 1.25, diagonal, diagonal, 0.0192, 0.06},
     {4.0, 1.25, 0.0, 1.0, 0.0336, 0.06},
     {4.0, 1.25, -diagonal, diagonal, 0.0192, 0.06},
     {7.0, 1.0, 1.0, 0.0, 0.112, 0.04},
     {7.0, 1.0, diagonal, diagonal, 0.0128, 0.04},
     {7.0, 1.0, 0.0, 1.0, 0.0224, 0.04},
     {7.0, 1.0, -diagonal, diagonal, 0.0128, 0.04}}};
inline constexpr std::array<double, 4> thing_heights_m{1.8, 2.8, 3.8, 6.0};
inline constexpr std::array<double, 4> thing_height_priors{0.25, 0.3, 0.25, 0.2};
inline constexpr std::size_t thing_guesses = thing_shapes.size() * thing_heights_m.size();
inline constexpr double farthest_thing_reach_m = 7.1;  ///< of any shape from its middle

/// A guess is a shape with a height: guess = shape * heights + height.
inline constexpr const ThingShape& shape_of_guess(std::size_t guess) {
  return thing_shapes[guess / thing_heights_m.size()];
}
inline constexpr double height_of_guess(std::size_t guess) {
  return thing_heights_m[guess % thing_heights_m.size()];
}
inline constexpr double prior_of_guess(std::size_t guess, bool in_street) {
  const ThingShape& shape = shape_of_guess(guess);
  return (in_street ? shape.prior : shape.prior_off_street) *
         thing_height_priors[guess % thing_heights_m.size()];
}

/// Where a missing thing may stand: its middle, on the ground, and which way the street runs there.
struct ThingPlace {
  ScenePoint foot;
  PlanDirection street;
};

/// Direct path from a node to where a phone may have been.
struct DirectRay {
  ScenePoint node, phone;
  Frequency frequency;
};

/// Of the power of the direct path, what each guess about `foot` (its middle, on the ground)
/// leaves: 1 where it does not touch the ray. A phone does not stand inside a thing: 0 there.
using PowerLeft = std::array<double, thing_guesses>;

/// Fills `left`; false, and `left` as it was, where no guess takes a decibel's fraction.
bool power_left(const DirectRay& ray, const ThingPlace& place, PowerLeft& left);

}  // namespace sim
