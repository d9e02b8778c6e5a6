#include "sim/explain/suspect_things.h"

#include <algorithm>
#include <cmath>

#include "sim/loss/knife_edge.h"

namespace sim {
namespace {

constexpr double gap_at_node_m = 2.0;   ///< what stands before a node is seen from it
constexpr double gap_at_phone_m = 0.3;  ///< edges stand between the ends
constexpr double beside_m = 2.0;        ///< farther outside, a ray keeps all its power

/// A ray from above, seen from a thing's foot.
struct Seen {
  double length_m, along_m, across_m, runs_east, runs_north, node_height_m, phone_height_m;

  double height_at_m(double at_m) const {
    return node_height_m + (phone_height_m - node_height_m) * at_m / length_m;
  }
};

/// Which way a shape's long side lies.
PlanDirection lie_of(const ThingShape& shape, PlanDirection street) {
  return {shape.lies_along * street.east - shape.lies_across * street.north,
          shape.lies_along * street.north + shape.lies_across * street.east};
}

bool stands_inside(PlanDirection lies, const ThingShape& shape, ScenePoint phone, ScenePoint foot) {
  const double c = lies.east, s = lies.north;
  const double east = phone.x_m - foot.x_m, north = phone.y_m - foot.y_m;
  return std::abs(c * east + s * north) < shape.half_length_m &&
         std::abs(c * north - s * east) < shape.half_width_m;
}

/// Heights of one shape; false where none takes anything. Three edges in power (finite_screen.h,
/// mean), as a row's place is not known to a wavelength.
bool shape_leaves(const DirectRay& ray, const Seen& seen, const ThingShape& shape,
                  const ThingPlace& place, double* left) {
  const PlanDirection lies = lie_of(shape, place.street);
  const double s = std::abs(seen.runs_north * lies.east - seen.runs_east * lies.north);
  const double c = std::abs(seen.runs_east * lies.east + seen.runs_north * lies.north);
  const double half_across = shape.half_length_m * s + shape.half_width_m * c;
  const double half_along = shape.half_length_m * c + shape.half_width_m * s;
  std::fill_n(left, thing_heights_m.size(), 1.0);
  if (std::abs(seen.across_m) > half_across + beside_m) return false;
  if (seen.along_m - half_along > seen.length_m) return false;
  if (stands_inside(lies, shape, ray.phone, place.foot)) {
    std::fill_n(left, thing_heights_m.size(), 0.0);
    return true;
  }
  // A ray that comes down is lowest over the far end.
  const double at = std::min(seen.along_m + half_along, seen.length_m - gap_at_phone_m);
  const double height = seen.height_at_m(at);
  if (height > thing_heights_m.back() + beside_m) return false;
  const double scale =
      fresnel_parameter(ray.frequency, at, seen.length_m - at, 1.0);  // v of a metre
  const double sides = knife_edge_power(scale * (half_across - seen.across_m)) +
                       knife_edge_power(scale * (half_across + seen.across_m));
  for (std::size_t h = 0; h < thing_heights_m.size(); ++h) {
    left[h] = std::min(1.0, sides + knife_edge_power(scale * (thing_heights_m[h] - height)));
  }
  return true;
}

}  // namespace

bool power_left(const DirectRay& ray, const ThingPlace& place, PowerLeft& left) {
  const double east = ray.phone.x_m - ray.node.x_m, north = ray.phone.y_m - ray.node.y_m;
  const double length = std::hypot(east, north);
  if (length < gap_at_node_m + gap_at_phone_m) return false;
  const ScenePoint foot = place.foot;
  const double from_east = foot.x_m - ray.node.x_m, from_north = foot.y_m - ray.node.y_m;
  const Seen seen{.length_m = length,
                  .along_m = (from_east * east + from_north * north) / length,
                  .across_m = (east * from_north - north * from_east) / length,
                  .runs_east = east / length,
                  .runs_north = north / length,
                  .node_height_m = ray.node.z_m - foot.z_m,
                  .phone_height_m = ray.phone.z_m - foot.z_m};
  if (seen.along_m < gap_at_node_m || seen.along_m > length + farthest_thing_reach_m) return false;
  if (std::abs(seen.across_m) > farthest_thing_reach_m + beside_m) return false;
  bool touched = false;
  for (std::size_t k = 0; k < thing_shapes.size(); ++k) {
    touched |= shape_leaves(ray, seen, thing_shapes[k], place, &left[k * thing_heights_m.size()]);
  }
  return touched;
}

}  // namespace sim
