#include "sim/link/facade_scatter.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sim/loss/rough_surface.h"

namespace sim {
namespace {

constexpr std::size_t most_pieces = 8;
constexpr double reach = 1.5;  // half a side of a piece, in heights of the nearer end over the wall
constexpr double nearest_m = 1.0;
constexpr double least_gain_db = 60.0;  // below free space by more, it adds nothing

struct Piece {
  ScenePoint at, normal;
  ObstacleId obstacle = no_obstacle;
  double gain = 0.0;  ///< received over radiated power, both isotropic
};

/// The piece of a lit window about the foot of one end, summed by its quarters.
Piece piece_about(ScenePoint end, const ReflectingFace& face, const FaceWindow& window,
                  ScenePoint from, ScenePoint to, Frequency f, double scattering) {
  const double half_m = reach * std::max(face.height_over_m(end), nearest_m);
  const FlatPoint foot = face.in_plane(end);
  const double u0 = std::max(window.u0_m, std::min(foot.x_m, window.u1_m) - half_m),
               u1 = std::min(window.u1_m, std::max(foot.x_m, window.u0_m) + half_m);
  const double v0 = std::max(window.v0_m, std::min(foot.y_m, window.v1_m) - half_m),
               v1 = std::min(window.v1_m, std::max(foot.y_m, window.v0_m) + half_m);
  Piece piece{.at = face.in_space({0.5 * (u0 + u1), 0.5 * (v0 + v1)}),
              .normal = face.normal,
              .obstacle = face.obstacle};
  for (const double u : {0.25, 0.75}) {
    for (const double v : {0.25, 0.75}) {
      const ScenePoint quarter = face.in_space({u0 + u * (u1 - u0), v0 + v * (v1 - v0)});
      const double in_m = std::max(distance_m(from, quarter), nearest_m),
                   out_m = std::max(distance_m(to, quarter), nearest_m);
      piece.gain += lambert_scatter_gain(f, scattering, face.height_over_m(from) / in_m,
                                         face.height_over_m(to) / out_m,
                                         0.25 * (u1 - u0) * (v1 - v0), in_m, out_m);
    }
  }
  return piece;
}

}  // namespace

std::vector<ScatteredPath> trace_scatter(const RayCaster& caster, NodeIndex node_index, Frequency f,
                                         ScenePoint to, const LinkSettings& settings) {
  std::vector<ScatteredPath> paths;
  if (!settings.mirrors) return paths;
  const double scattering = settings.defaults("facade_scattering");
  if (!(scattering > 0.0)) return paths;
  const Scene& scene = caster.scene();
  const Node& node = scene.nodes[node_index];
  const ScenePoint from = node.position;
  const double direct_m = std::max(distance_m(from, to), nearest_m);
  const double free = f.wavelength_m() / (4.0 * std::numbers::pi * direct_m);
  const double least = free * free * std::pow(10.0, -least_gain_db / 10.0);
  std::vector<Piece> pieces;
  for (const ImageTree::Image& image : settings.mirrors->tree(caster, node_index).images()) {
    if (image.order != 1) continue;
    const ReflectingFace& face = settings.mirrors->faces()[image.face];
    if (face.kind != ObstacleKind::building || !face.is_upright()) continue;
    if (face.height_over_m(to) <= 0.0) continue;
    const bool from_nearer = face.height_over_m(from) < face.height_over_m(to);
    const ScenePoint nearer = from_nearer ? from : to, farther = from_nearer ? to : from;
    const Piece piece = piece_about(nearer, face, image.window, from, to, f, scattering);
    if (piece.gain > least) pieces.push_back(piece);
    // The other end's piece too, where the two do not meet.
    const double apart = std::abs(face.in_plane(from).x_m - face.in_plane(to).x_m);
    if (apart < reach * (face.height_over_m(from) + face.height_over_m(to))) continue;
    const Piece other = piece_about(farther, face, image.window, from, to, f, scattering);
    if (other.gain > least) pieces.push_back(other);
  }
  std::stable_sort(pieces.begin(), pieces.end(),
                   [](const Piece& a, const Piece& b) { return a.gain > b.gain; });
  if (pieces.size() > most_pieces) pieces.resize(most_pieces);
  const Transparent past{.blocking = opaque_mask, .ignored = node.own_poles};
  for (const Piece& piece : pieces) {
    const ScenePoint before = piece.at + MirrorPaths::lift_m * piece.normal;
    if (!caster.is_clear(from, before, past) || !caster.is_clear(before, to, past)) continue;
    paths.push_back({.at = piece.at,
                     .obstacle = piece.obstacle,
                     .azimuth = scene.frame.true_azimuth(from, piece.at),
                     .elevation = elevation_angle(from, piece.at),
                     .loss = Db(-10.0 * std::log10(piece.gain))});
  }
  return paths;
}

}  // namespace sim
