#include "sim/link/scatter_pieces.h"

#include <algorithm>
#include <cmath>

#include "sim/loss/rough_surface.h"

namespace sim {
namespace {

constexpr double widest_m = 6.0, tallest_m = 8.0;
constexpr double nearest_m = 1.0;

}  // namespace

ScenePoint ScatterEnd::turn(ScenePoint place) const {
  if (mirror == nullptr) return at;
  const double behind = -mirror->height_over_m(seems), ahead = mirror->height_over_m(place);
  return seems + (behind / std::max(behind + ahead, 1e-12)) * (place - seems);
}

bool ScatterEnd::sees(const RayCaster& caster, const Transparent& past, ScenePoint place) const {
  if (mirror == nullptr) {
    return !hidden(place) && caster.is_clear(place, at, past);
  }
  if (mirror->height_over_m(place) < MirrorPaths::least_height_m) return false;
  const ScenePoint bounce = turn(place);
  if (!mirror->contains(mirror->in_plane(bounce)) || hidden(place)) return false;
  const ScenePoint lifted = bounce + MirrorPaths::lift_m * mirror->normal;
  return caster.is_clear(place, lifted, past) && caster.is_clear(lifted, at, past);
}

bool ScatterEnd::hidden(ScenePoint place) const {
  return walls != nullptr && walls->hide(mirror == nullptr ? place : turn(place));
}

bool ScatterEnd::may_see(ScenePoint p, ScenePoint q) const {
  const double p_over_m = mirror->height_over_m(p), q_over_m = mirror->height_over_m(q);
  if (p_over_m <= 0.0 && q_over_m <= 0.0) return false;
  if (p_over_m <= 0.0 || q_over_m <= 0.0) return true;
  const FlatPoint one = mirror->in_plane(turn(p)), other = mirror->in_plane(turn(q));
  const FaceWindow& b = mirror->bounds;
  return std::max(one.x_m, other.x_m) >= b.u0_m && std::min(one.x_m, other.x_m) <= b.u1_m &&
         std::max(one.y_m, other.y_m) >= b.v0_m && std::min(one.y_m, other.y_m) <= b.v1_m;
}

double ScatterEnd::kept(const MirrorSurfaces& surfaces, ScenePoint place) const {
  if (mirror == nullptr) return 1.0;
  const ScenePoint ray = place - seems;
  const double cosine = dot(ray, mirror->normal) / std::sqrt(dot(ray, ray));
  return surfaces.power_share(*mirror, Angle::radians(std::acos(std::clamp(cosine, 0.0, 1.0))));
}

double scatter_gain(const ScatterPiece& piece, const ScatterWay& way, Frequency f,
                    double scattering) {
  const ReflectingFace& face = *piece.face;
  const FlatPoint from = face.in_plane(way.from.seems), to = face.in_plane(way.to.seems);
  const double from_over_m = face.height_over_m(way.from.seems),
               to_over_m = face.height_over_m(way.to.seems);
  if (from_over_m <= 0.0 || to_over_m <= 0.0) return 0.0;
  const auto away_m = [](FlatPoint p, FlatPoint end, double over_m) {
    const double x = p.x_m - end.x_m, y = p.y_m - end.y_m;
    return std::max(std::sqrt(x * x + y * y + over_m * over_m), nearest_m);
  };
  constexpr double per_distance = 2.0, most = 6.0;
  const double near_m =
      std::min(away_m(piece.middle, from, from_over_m), away_m(piece.middle, to, to_over_m));
  const auto steps = [&](double side_m) {
    return std::clamp(std::ceil(per_distance * side_m / near_m), 1.0, most);
  };
  const double across = steps(piece.wide_m), upwards = steps(piece.tall_m);
  const double area_m2 = piece.wide_m * piece.tall_m / (across * upwards);
  double sum = 0.0;
  for (double i = 0.5; i < across; i += 1.0) {
    for (double k = 0.5; k < upwards; k += 1.0) {
      const FlatPoint p{piece.middle.x_m + (i / across - 0.5) * piece.wide_m,
                        piece.middle.y_m + (k / upwards - 0.5) * piece.tall_m};
      const double in_m = away_m(p, from, from_over_m), out_m = away_m(p, to, to_over_m);
      sum += lambert_scatter_gain(f, scattering, from_over_m / in_m, to_over_m / out_m, area_m2,
                                  in_m, out_m);
    }
  }
  return sum;
}

void cut_to_pieces(const ReflectingFace& face, const FaceWindow& lit, const ScatterWay& way,
                   std::uint32_t way_index, std::vector<ScatterPiece>& pieces) {
  const FaceWindow& b = face.bounds;
  const double u0 = std::max(lit.u0_m, b.u0_m), u1 = std::min(lit.u1_m, b.u1_m);
  const double v0 = std::max(lit.v0_m, b.v0_m), v1 = std::min(lit.v1_m, b.v1_m);
  const double columns = std::ceil((u1 - u0) / widest_m), rows = std::ceil((v1 - v0) / tallest_m);
  const auto shown = [&](double from_m, double to_m) {
    // Corner to corner: both the width and the height of the part.
    return way.to.mirror == nullptr ||
           way.to.may_see(face.in_space({from_m, v0}), face.in_space({to_m, v1})) ||
           way.to.may_see(face.in_space({from_m, v1}), face.in_space({to_m, v0}));
  };
  if (!shown(u0, u1)) return;
  for (double column = 0.5; column < columns; column += 1.0) {
    const double middle_m = u0 + column / columns * (u1 - u0), half_m = 0.5 * (u1 - u0) / columns;
    if (!shown(middle_m - half_m, middle_m + half_m)) continue;
    for (double row = 0.5; row < rows; row += 1.0) {
      const ScatterPiece piece{.face = &face,
                               .way = way_index,
                               .middle = {middle_m, v0 + row / rows * (v1 - v0)},
                               .wide_m = 2.0 * half_m,
                               .tall_m = (v1 - v0) / rows};
      if (way.to.hidden(piece.before(ScatterPiece::first_look)) &&
          way.to.hidden(piece.before(ScatterPiece::last_look))) {
        continue;
      }
      if (face.contains(piece.middle)) pieces.push_back(piece);
    }
  }
}

bool cut_to_seen(const RayCaster& caster, const Transparent& past, const ScatterWay& way,
                 ScatterPiece& piece) {
  constexpr double first = ScatterPiece::first_look, last = ScatterPiece::last_look;
  constexpr int halvings = 4;
  const auto seen = [&](double share) {
    const ScenePoint place = piece.before(share);
    return way.to.sees(caster, past, place) && way.from.sees(caster, past, place);
  };
  const bool one = seen(first), other = seen(last);
  if (one == other) return one;
  double bright = one ? first : last, dark = one ? last : first;
  for (int i = 0; i < halvings; ++i) {
    const double middle = 0.5 * (bright + dark);
    (seen(middle) ? bright : dark) = middle;
  }
  const double edge = 0.5 * (bright + dark);
  piece.middle.x_m += (one ? 0.5 * edge - 0.5 : 0.5 * edge) * piece.wide_m;
  piece.wide_m *= one ? edge : 1.0 - edge;
  return true;
}

}  // namespace sim
