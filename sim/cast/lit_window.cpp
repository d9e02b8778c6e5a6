#include "sim/cast/lit_window.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

using FlatPolygon = std::vector<FlatPoint>;  // convex, counter-clockwise
using Polygon = std::vector<ScenePoint>;     // convex and flat

constexpr double least_width_m = 1e-3;
constexpr double touching_m = 0.02;  // what is nearer than this to an end of a ray may not block it
constexpr double margin_m = 0.02;    // on each side of a window: rounding of rays and shadows
constexpr double fine_m = 4.0;       // lit pieces are not told apart below this
constexpr int most_rays = 200;       // then what is left counts as lit

/// The part of a convex polygon where the value, linear over it, is positive or zero.
template <class P, class Value>
std::vector<P> clipped(const std::vector<P>& polygon, const Value& value) {
  std::vector<P> kept;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const P& a = polygon[i];
    const P& b = polygon[(i + 1) % polygon.size()];
    const double at_a = value(a), at_b = value(b);
    if (at_a >= 0.0) kept.push_back(a);
    if ((at_a > 0.0 && at_b < 0.0) || (at_a < 0.0 && at_b > 0.0)) {
      const double t = at_a / (at_a - at_b);
      if constexpr (std::is_same_v<P, FlatPoint>) {
        kept.push_back({a.x_m + t * (b.x_m - a.x_m), a.y_m + t * (b.y_m - a.y_m)});
      } else {
        kept.push_back(a + t * (b - a));
      }
    }
  }
  if (kept.size() < 3) kept.clear();
  return kept;
}

double signed_area_m2(const FlatPolygon& p) {
  double twice = 0.0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const FlatPoint a = p[i], b = p[(i + 1) % p.size()];
    twice += a.x_m * b.y_m - b.x_m * a.y_m;
  }
  return 0.5 * twice;
}

FaceWindow box_of(const FlatPolygon& polygon) {
  FaceWindow box{1e300, -1e300, 1e300, -1e300};
  for (const FlatPoint p : polygon) {
    box.u0_m = std::min(box.u0_m, p.x_m);
    box.u1_m = std::max(box.u1_m, p.x_m);
    box.v0_m = std::min(box.v0_m, p.y_m);
    box.v1_m = std::max(box.v1_m, p.y_m);
  }
  return box;
}

bool too_thin(const FlatPolygon& polygon) {
  if (polygon.size() < 3) return true;
  const FaceWindow box = box_of(polygon);
  const double longest = std::hypot(box.u1_m - box.u0_m, box.v1_m - box.v0_m);
  return std::abs(signed_area_m2(polygon)) < least_width_m * longest;
}

FlatPoint middle_of(const FlatPolygon& polygon) {
  FlatPoint middle;
  for (const FlatPoint p : polygon) {
    middle.x_m += p.x_m / static_cast<double>(polygon.size());
    middle.y_m += p.y_m / static_cast<double>(polygon.size());
  }
  return middle;
}

/// The shadow of a convex occluder on the face's plane, from the beam's apex. Only what stands
/// clearly between the beam's opening and the face throws one.
FlatPolygon shadow_of(Polygon occluder, const Beam& beam, const ReflectingFace& face) {
  const double apex = face.height_over_m(beam.apex);
  occluder = clipped(occluder, [&](ScenePoint q) { return face.height_over_m(q) - touching_m; });
  occluder = clipped(occluder, [&](ScenePoint q) { return 0.999 * apex - face.height_over_m(q); });
  if (beam.through != nullptr) {
    occluder = clipped(occluder,
                       [&](ScenePoint q) { return beam.through->height_over_m(q) - touching_m; });
  }
  FlatPolygon shadow;
  for (const ScenePoint q : occluder) {
    const double stretch = apex / (apex - face.height_over_m(q));
    shadow.push_back(face.in_plane(beam.apex + stretch * (q - beam.apex)));
  }
  if (signed_area_m2(shadow) < 0.0) std::reverse(shadow.begin(), shadow.end());
  return shadow;
}

/// What of `from` lies outside `shadow`, as convex pieces.
std::vector<FlatPolygon> outside(FlatPolygon from, const FlatPolygon& shadow) {
  std::vector<FlatPolygon> pieces;
  for (std::size_t i = 0; i < shadow.size(); ++i) {
    const FlatPoint a = shadow[i], b = shadow[(i + 1) % shadow.size()];
    const double length = std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
    if (length < 1e-12) continue;
    const auto left_of = [&](FlatPoint p) {
      return ((b.x_m - a.x_m) * (p.y_m - a.y_m) - (b.y_m - a.y_m) * (p.x_m - a.x_m)) / length;
    };
    FlatPolygon piece = clipped(from, [&](FlatPoint p) { return -left_of(p); });
    if (!too_thin(piece)) pieces.push_back(std::move(piece));
    from = clipped(from, left_of);
    if (from.empty()) break;
  }
  return pieces;
}

/// The face's bounds within the beam, before any shadow.
FlatPolygon in_beam(const Beam& beam, const ReflectingFace& face) {
  const FaceWindow& b = face.bounds;
  FlatPolygon polygon{{b.u0_m, b.v0_m}, {b.u1_m, b.v0_m}, {b.u1_m, b.v1_m}, {b.u0_m, b.v1_m}};
  if (beam.through == nullptr) return polygon;
  const ReflectingFace& opening = *beam.through;
  polygon = clipped(polygon, [&](FlatPoint p) { return opening.height_over_m(face.in_space(p)); });
  const FaceWindow& w = beam.window;
  const std::array<ScenePoint, 4> corners{
      opening.in_space({w.u0_m, w.v0_m}), opening.in_space({w.u1_m, w.v0_m}),
      opening.in_space({w.u1_m, w.v1_m}), opening.in_space({w.u0_m, w.v1_m})};
  // Seen from behind the opening its corners run clockwise: the inside of each side is known by the
  // corner across.
  for (std::size_t i = 0; i < 4 && !polygon.empty(); ++i) {
    ScenePoint inward = cross(corners[i] - beam.apex, corners[(i + 1) % 4] - beam.apex);
    if (dot(inward, corners[(i + 2) % 4] - beam.apex) < 0.0) inward = -1.0 * inward;
    polygon =
        clipped(polygon, [&](FlatPoint p) { return dot(inward, face.in_space(p) - beam.apex); });
  }
  return polygon;
}

/// Where the ray of the beam towards p leaves the opening.
ScenePoint start_of(const Beam& beam, ScenePoint p) {
  if (beam.through == nullptr) return beam.apex;
  const double behind = -beam.through->height_over_m(beam.apex);
  const double before = beam.through->height_over_m(p);
  return beam.apex + (behind / std::max(behind + before, 1e-12)) * (p - beam.apex);
}

Polygon polygon_of(const ReflectingFaces& faces, const TriangleMesh& mesh,
                   const RayCaster::Blocker& blocker) {
  const ReflectingFace* face = faces.face_of(blocker.kind, blocker.triangle);
  if (face != nullptr && face->fills_bounds) {
    const FaceWindow& b = face->bounds;
    return {face->in_space({b.u0_m, b.v0_m}), face->in_space({b.u1_m, b.v0_m}),
            face->in_space({b.u1_m, b.v1_m}), face->in_space({b.u0_m, b.v1_m})};
  }
  const auto& [a, b, c] = mesh.triangles[blocker.triangle];
  return {mesh.vertices[a], mesh.vertices[b], mesh.vertices[c]};
}

void widen(FaceWindow& window, const FlatPolygon& polygon) {
  const FaceWindow box = box_of(polygon);
  if (window.empty()) {
    window = box;
    return;
  }
  window = {std::min(window.u0_m, box.u0_m), std::max(window.u1_m, box.u1_m),
            std::min(window.v0_m, box.v0_m), std::max(window.v1_m, box.v1_m)};
}

bool inside(const FaceWindow& window, const FlatPolygon& polygon) {
  return std::all_of(polygon.begin(), polygon.end(), [&](FlatPoint p) { return window.holds(p); });
}

}  // namespace

std::optional<FaceWindow> lit_window(const RayCaster& caster, const ReflectingFaces& faces,
                                     const Beam& beam, const ReflectingFace& face) {
  FaceWindow lit;
  std::vector<FlatPolygon> waiting{in_beam(beam, face)};
  // Shadows on flat ground are many and no help: a beam that comes down reaches it.
  const bool look_for_shadows = face.kind != ObstacleKind::ground;
  int rays = 0;
  while (!waiting.empty()) {
    FlatPolygon piece = std::move(waiting.back());
    waiting.pop_back();
    if (too_thin(piece) || inside(lit, piece)) continue;
    if (!look_for_shadows || ++rays > most_rays) {
      widen(lit, piece);
      continue;
    }
    const ScenePoint p = face.in_space(middle_of(piece));
    const auto blocker = caster.blocker(start_of(beam, p), p, wide_mask);
    if (blocker) {
      const TriangleMesh& mesh = caster.scene().mesh(blocker->kind);
      const FlatPolygon shadow = shadow_of(polygon_of(faces, mesh, *blocker), beam, face);
      if (!too_thin(shadow)) {
        const double before = std::abs(signed_area_m2(piece));
        double left = 0.0;
        std::vector<FlatPolygon> pieces = outside(piece, shadow);
        for (const FlatPolygon& rest : pieces) left += std::abs(signed_area_m2(rest));
        if (left < before * (1.0 - 1e-9)) {
          for (FlatPolygon& rest : pieces) waiting.push_back(std::move(rest));
          continue;
        }
      }
    }
    const FaceWindow box = box_of(piece);
    const bool wide = box.u1_m - box.u0_m >= box.v1_m - box.v0_m;
    if (std::max(box.u1_m - box.u0_m, box.v1_m - box.v0_m) <= fine_m) {
      widen(lit, piece);
      continue;
    }
    const double cut = 0.5 * (wide ? box.u0_m + box.u1_m : box.v0_m + box.v1_m);
    const auto beyond = [&](FlatPoint q) { return (wide ? q.x_m : q.y_m) - cut; };
    waiting.push_back(clipped(piece, beyond));
    waiting.push_back(clipped(piece, [&](FlatPoint q) { return -beyond(q); }));
  }
  if (lit.empty()) return std::nullopt;
  return FaceWindow{lit.u0_m - margin_m, lit.u1_m + margin_m, lit.v0_m - margin_m,
                    lit.v1_m + margin_m};
}

}  // namespace sim
