// What the map may be missing: upright things of plausible size, and what they leave of a ray.
#pragma once

#include <array>
#include <cstddef>

#include "sim/base/points.h"
#include "sim/base/units.h"

namespace sim {

/// How wide and long a missing thing may be: half of its sides, the direction of its long
/// side, and how often things are so.
struct ThingShape {
  double half_length_m, half_width_m, lies_east, lies_north, prior;
};

/// Posts and crowns, kiosks, houses; cars, trucks, and walls or hoardings lying any way. Sizes are
/// those of the vehicles of [TR37.885] section 6.1.2 (from memory) and common practice, no source.
inline constexpr double diagonal = 0.70710678118654752;
inline constexpr std::array<ThingShape, 16> thing_shapes{{{0.3, 0.3, 1.0, 0.0, 0.1},
                                                          {1, 1, 1.0, 0.0, 0.15},
                                                          {2, 2, 1.0, 0.0, 0.1},
                                                          {5, 5, 1.0, 0.0, 0.05},
                                                          {2.5, 1.0, 1.0, 0.0, 0.05},
                                                          {2.5, 1.0, diagonal, diagonal, 0.05},
                                                          {2.5, 1.0, 0.0, 1.0, 0.05},
                                                          {2.5, 1.0, -diagonal, diagonal, 0.05},
                                                          {4.0, 1.25, 1.0, 0.0, 0.06},
                                                          {4.0, 1.25, diagonal, diagonal, 0.06},
                                                          {4.0, 1.25, 0.0, 1.0, 0.06},
                                                          {4.0, 1.25, -diagonal, diagonal, 0.06},
                                                          {7.0, 1.0, 1.0, 0.0, 0.04},
                                                          {7.0, 1.0, diagonal, diagonal, 0.04},
                                                          {7.0, 1.0, 0.0, 1.0, 0.04},
                                                          {7.0, 1.0, -diagonal, diagonal, 0.04}}};
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
inline constexpr double prior_of_guess(std::size_t guess) {
  return shape_of_guess(guess).prior * thing_height_priors[guess % thing_heights_m.size()];
}

/// Direct path from a node to where a phone may have been.
struct DirectRay {
  ScenePoint node, phone;
  Frequency frequency;
};

/// Of the power of the direct path, what each guess about `foot` (its middle, on the ground)
/// leaves: 1 where it does not touch the ray. A phone does not stand inside a thing: 0 there.
using PowerLeft = std::array<double, thing_guesses>;

/// Fills `left`; false, and `left` as it was, where no guess takes a decibel's fraction.
bool power_left(const DirectRay& ray, ScenePoint foot, PowerLeft& left);

}  // namespace sim
