#include "sim/link/facade_scatter.h"

#include <algorithm>
#include <cmath>

#include "sim/link/foliage_terms.h"
#include "sim/loss/rough_surface.h"

namespace sim {
namespace {

constexpr double widest_m = 6.0, tallest_m = 8.0;  // of a piece: a house front, two floors
constexpr double nearest_m = 1.0;
constexpr double rest_of_scatter = 0.02, rest_of_direct = 1e-3;
constexpr std::size_t most_paths = 16;
/// Thin things do not darken a piece of a wall.
constexpr KindMask dark_mask =
    wide_mask | mask_of(ObstacleKind::vehicle) | mask_of(ObstacleKind::object);

/// Part of a wall, a rectangle in its plane.
struct Piece {
  const ReflectingFace* face = nullptr;
  FlatPoint middle;
  double wide_m = 0.0, tall_m = 0.0;
  double gain = 0.0;  ///< received over radiated power, both isotropic

  ScenePoint before(double share) const {
    return face->in_space({middle.x_m + (share - 0.5) * wide_m, middle.y_m}) +
           MirrorPaths::lift_m * face->normal;
  }
};

/// The two ends, and what a piece of a wall sends from one to the other.
struct Ends {
  ScenePoint from, to;
  Frequency f;
  double scattering;

  double gain(const Piece& piece) const {
    const ReflectingFace& face = *piece.face;
    const FlatPoint near_from = face.in_plane(from), near_to = face.in_plane(to);
    const double from_over_m = face.height_over_m(from), to_over_m = face.height_over_m(to);
    const auto away_m = [](FlatPoint p, FlatPoint end, double over_m) {
      const double x = p.x_m - end.x_m, y = p.y_m - end.y_m;
      return std::max(std::sqrt(x * x + y * y + over_m * over_m), nearest_m);
    };
    // Midpoints, as many as the nearer end asks for.
    constexpr double per_distance = 2.0, most = 6.0;
    const double near_m = std::min(away_m(piece.middle, near_from, from_over_m),
                                   away_m(piece.middle, near_to, to_over_m));
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
        const double in_m = away_m(p, near_from, from_over_m),
                     out_m = away_m(p, near_to, to_over_m);
        sum += lambert_scatter_gain(f, scattering, from_over_m / in_m, to_over_m / out_m, area_m2,
                                    in_m, out_m);
      }
    }
    return sum;
  }
};

/// Adds the pieces of a face within a window that holds all that is lit of it.
void cut(const ReflectingFace& face, const FaceWindow& lit, const Ends& ends,
         std::vector<Piece>& pieces) {
  const FaceWindow& b = face.bounds;
  const double u0 = std::max(lit.u0_m, b.u0_m), u1 = std::min(lit.u1_m, b.u1_m);
  const double v0 = std::max(lit.v0_m, b.v0_m), v1 = std::min(lit.v1_m, b.v1_m);
  const double columns = std::ceil((u1 - u0) / widest_m), rows = std::ceil((v1 - v0) / tallest_m);
  for (double column = 0.5; column < columns; column += 1.0) {
    for (double row = 0.5; row < rows; row += 1.0) {
      Piece piece{.face = &face,
                  .middle = {u0 + column / columns * (u1 - u0), v0 + row / rows * (v1 - v0)},
                  .wide_m = (u1 - u0) / columns,
                  .tall_m = (v1 - v0) / rows};
      if (!face.contains(piece.middle)) continue;
      piece.gain = ends.gain(piece);
      pieces.push_back(piece);
    }
  }
}

/// Cuts a piece back to what both ends see of it; false where that is nothing. A street corner
/// hides part of a piece with an upright edge, which is found by halving.
bool cut_to_seen(const RayCaster& caster, const Transparent& past, const Ends& ends, Piece& piece) {
  constexpr double first = 0.125, last = 0.875;
  constexpr int halvings = 4;
  const auto seen = [&](double share) {
    const ScenePoint at = piece.before(share);
    return caster.is_clear(at, ends.to, past) && caster.is_clear(ends.from, at, past);
  };
  const bool one = seen(first), other = seen(last);
  if (one == other) return one;
  double bright = one ? first : last, dark = one ? last : first;
  for (int i = 0; i < halvings; ++i) {
    const double middle = 0.5 * (bright + dark);
    (seen(middle) ? bright : dark) = middle;
  }
  const double edge = 0.5 * (bright + dark);
  const double share = one ? edge : 1.0 - edge;
  piece.middle.x_m += (one ? 0.5 * edge - 0.5 : 0.5 * edge) * piece.wide_m;
  piece.wide_m *= share;
  piece.gain = ends.gain(piece);
  return true;
}

/// Leaves what both ends see, strongest first.
void keep_seen(const RayCaster& caster, const Node& node, const Ends& ends, Db direct,
               std::vector<Piece>& pieces) {
  const auto stronger = [](const Piece& a, const Piece& b) { return a.gain > b.gain; };
  std::stable_sort(pieces.begin(), pieces.end(), stronger);
  double rest = 0.0, sum = 0.0;
  for (const Piece& piece : pieces) rest += piece.gain;
  const double of_direct = rest_of_direct * (-direct).power_ratio();
  const Transparent past{.blocking = dark_mask, .ignored = node.own_poles};
  std::size_t kept = 0;
  for (Piece piece : pieces) {
    if (rest <= std::max(of_direct, rest_of_scatter * sum)) break;
    rest -= piece.gain;
    if (!cut_to_seen(caster, past, ends, piece)) continue;
    sum += piece.gain;
    pieces[kept++] = piece;
  }
  pieces.resize(kept);
  std::stable_sort(pieces.begin(), pieces.end(), stronger);
}

Db leaves_on(const RayCaster& caster, ScenePoint a, ScenePoint b, Frequency f,
             const LinkSettings& settings) {
  if (caster.is_clear(a, b, {.blocking = foliage_mask, .ignored = {}})) return Db(0.0);
  std::vector<LossTerm> terms;
  add_foliage(caster, caster.profile(a, b, f.wavelength_m()), f, {}, settings, terms);
  Db sum;
  for (const LossTerm& term : terms) sum += term.loss;
  return sum;
}

}  // namespace

std::vector<ScatteredPath> trace_scatter(const RayCaster& caster, NodeIndex node_index, Frequency f,
                                         ScenePoint to, Db direct, const LinkSettings& settings) {
  std::vector<ScatteredPath> paths;
  if (!settings.mirrors) return paths;
  const double scattering = settings.defaults("facade_scattering");
  if (!(scattering > 0.0)) return paths;
  const Scene& scene = caster.scene();
  const Node& node = scene.nodes[node_index];
  const ScenePoint from = node.position;
  const Ends ends{.from = from, .to = to, .f = f, .scattering = scattering};
  thread_local std::vector<Piece> pieces;
  pieces.clear();
  for (const ImageTree::Image& image : settings.mirrors->tree(caster, node_index).images()) {
    if (image.order > 1) break;
    const ReflectingFace& face = settings.mirrors->faces()[image.face];
    if (face.kind != ObstacleKind::building || !face.is_upright()) continue;
    if (face.height_over_m(to) <= 0.0) continue;
    cut(face, image.window, ends, pieces);
  }
  keep_seen(caster, node, ends, direct, pieces);
  const std::size_t count = std::min(pieces.size(), most_paths);
  double all = 0.0, taken = 0.0;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    all += pieces[i].gain;
    if (i < count) taken += pieces[i].gain;
  }
  const double gas = gas_db_per_km(settings, f);
  paths.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    const Piece& piece = pieces[i];
    const ScenePoint at = piece.before(0.5);
    const double length_m = distance_m(from, at) + distance_m(at, to);
    paths.push_back({.at = at,
                     .obstacle = piece.face->obstacle,
                     .azimuth = scene.frame.true_azimuth(from, at),
                     .elevation = elevation_angle(from, at),
                     .loss = -Db::from_power_ratio(piece.gain * all / taken) +
                             Db(gas * length_m / 1000.0) +
                             leaves_on(caster, from, at, f, settings) +
                             leaves_on(caster, at, to, f, settings)});
  }
  return paths;
}

}  // namespace sim
