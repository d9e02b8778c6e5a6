#include "sim/link/facade_scatter.h"

#include <algorithm>
#include <cmath>

#include "sim/link/foliage_terms.h"
#include "sim/link/scatter_pieces.h"
#include "sim/loss/free_space.h"

namespace sim {
namespace {

constexpr double rest_of_scatter = 0.02, rest_of_direct = 1e-3, least_rest = 1e-18;
constexpr double free_enough = 0.1;          // of free space: the direct path decides
constexpr double farthest_mirror_m = 100.0;  // of the receiver's own
constexpr std::size_t most_paths = 16;
/// Thin things do not darken a piece of a wall.
constexpr KindMask dark_mask =
    wide_mask | mask_of(ObstacleKind::vehicle) | mask_of(ObstacleKind::object);

bool is_facade(const ReflectingFace& face) {
  return face.kind == ObstacleKind::building && face.is_upright();
}

/// A wall that the node lights, with its ends in plan.
struct LitWall {
  const ReflectingFace* face = nullptr;
  FaceWindow window;
  ScenePoint p, q;
};

/// What an end sees of the plan through an upright mirror.
class PlanWedge {
 public:
  explicit PlanWedge(const ScatterEnd& end) : eye_(end.seems), all_(!end.mirror->is_upright()) {
    const FaceWindow& b = end.mirror->bounds;
    one_ = end.mirror->in_space({b.u0_m, b.v0_m}) - eye_;
    other_ = end.mirror->in_space({b.u1_m, b.v0_m}) - eye_;
    if (side(one_, other_) < 0.0) std::swap(one_, other_);
  }
  bool may_hold(const LitWall& wall) const {
    const ScenePoint p = wall.p - eye_, q = wall.q - eye_;
    return all_ || ((side(one_, p) >= 0.0 || side(one_, q) >= 0.0) &&
                    (side(other_, p) <= 0.0 || side(other_, q) <= 0.0));
  }

 private:
  static double side(ScenePoint a, ScenePoint b) { return a.x_m * b.y_m - a.y_m * b.x_m; }

  ScenePoint eye_, one_, other_;
  bool all_;
};

/// Room for the work of one receiver: one serves many, one after the other.
struct Room {
  std::vector<LitWall> lit;
  enum class Look : std::uint8_t { unknown, hidden, open };
  std::vector<Look> looks;  ///< by face
  std::vector<ScatterWay> ways;
  std::vector<ScatterPiece> pieces;
  std::vector<const ReflectingFace*> mirrors;
  NearWalls walls;
};

/// Mirrors that the receiver sees, by either end of their lower part.
void find_mirrors(const RayCaster& caster, const ReflectingFaces& faces, const ScatterEnd& receiver,
                  std::vector<const ReflectingFace*>& mirrors) {
  const ScenePoint to = receiver.at;
  mirrors.clear();
  const Transparent past{.blocking = dark_mask, .ignored = {}};
  for (const ReflectingFace& face : faces.all()) {
    const double over_m = face.height_over_m(to);
    if (over_m < MirrorPaths::least_height_m || over_m > farthest_mirror_m) continue;
    const FlatPoint foot = face.in_plane(to);
    const FaceWindow& b = face.bounds;
    const double du = std::max({b.u0_m - foot.x_m, foot.x_m - b.u1_m, 0.0}),
                 dv = std::max({b.v0_m - foot.y_m, foot.y_m - b.v1_m, 0.0});
    if (over_m * over_m + du * du + dv * dv > farthest_mirror_m * farthest_mirror_m) continue;
    constexpr double low_m = 3.0;
    const double v = std::min(b.v0_m + low_m, 0.5 * (b.v0_m + b.v1_m));
    const bool level = !is_facade(face);  // the ground, a roof or a thing: few, and kept
    const auto sees = [&](double share) {
      const ScenePoint p = face.in_space({b.u0_m + share * (b.u1_m - b.u0_m), v}) +
                           MirrorPaths::lift_m * face.normal;
      return receiver.sees(caster, past, p);
    };
    if (level || sees(0.1) || sees(0.9)) mirrors.push_back(&face);
  }
}

/// Whether walls about the receiver hide all of a face, looked at every few metres; kept by face.
bool all_hidden(const ReflectingFace& face, Room::Look& look, const NearWalls& walls) {
  if (look != Room::Look::unknown) return look == Room::Look::hidden;
  constexpr double step_m = 5.0;
  const FaceWindow& b = face.bounds;
  const double columns = std::ceil((b.u1_m - b.u0_m) / step_m),
               rows = std::ceil((b.v1_m - b.v0_m) / step_m);
  look = Room::Look::hidden;
  for (double column = 0.0; column <= columns; column += 1.0) {
    // The top first: it is what looks out over roofs.
    for (double row = rows; row >= 0.0; row -= 1.0) {
      const FlatPoint p{b.u0_m + column / columns * (b.u1_m - b.u0_m),
                        b.v0_m + row / rows * (b.v1_m - b.v0_m)};
      if (walls.hide(face.in_space(p) + MirrorPaths::lift_m * face.normal)) continue;
      look = Room::Look::open;
      return false;
    }
  }
  return true;
}

/// All pieces that either end may see straight or in one mirror.
void find_pieces(const RayCaster& caster, const MirrorPaths& mirrors, NodeIndex node_index,
                 ScenePoint to, bool with_mirrors, Room& room) {
  const std::vector<ImageTree::Image>& images = mirrors.tree(caster, node_index).images();
  const ReflectingFaces& faces = mirrors.faces();
  const ScenePoint from = caster.scene().nodes[node_index].position;
  const ScatterEnd node{.at = from, .seems = from},
      receiver{.at = to, .seems = to, .walls = &room.walls};
  room.walls.look(faces, to);
  room.ways.assign({{node, receiver}});
  room.pieces.clear();
  room.lit.clear();
  if (with_mirrors) room.looks.assign(faces.all().size(), Room::Look::unknown);
  std::int32_t last_parent = -1;
  for (const ImageTree::Image& image : images) {
    if (image.order > (with_mirrors ? 2 : 1)) break;
    const ReflectingFace& face = faces[image.face];
    if (!is_facade(face)) continue;
    if (image.order == 1 && with_mirrors) {
      const FaceWindow& w = image.window;
      room.lit.push_back({.face = &face,
                          .window = w,
                          .p = face.in_space({w.u0_m, w.v0_m}),
                          .q = face.in_space({w.u1_m, w.v0_m})});
    }
    if (face.height_over_m(to) <= 0.0) continue;
    if (with_mirrors && all_hidden(face, room.looks[image.face], room.walls)) continue;
    if (image.order == 2 && image.parent != last_parent) {
      const ImageTree::Image& parent = images[static_cast<std::size_t>(image.parent)];
      room.ways.push_back(
          {{.at = from, .seems = parent.at, .mirror = &faces[parent.face]}, receiver});
      last_parent = image.parent;
    }
    const auto way = static_cast<std::uint32_t>(image.order == 1 ? 0 : room.ways.size() - 1);
    cut_to_pieces(face, image.window, room.ways[way], way, room.pieces);
  }
  if (!with_mirrors) return;
  find_mirrors(caster, faces, receiver, room.mirrors);
  for (const ReflectingFace* mirror : room.mirrors) {
    const ScatterWay way{
        node, {.at = to, .seems = mirror->mirrored(to), .mirror = mirror, .walls = &room.walls}};
    const auto index = static_cast<std::uint32_t>(room.ways.size());
    room.ways.push_back(way);
    const PlanWedge wedge(way.to);
    for (const LitWall& wall : room.lit) {
      if (wall.face == mirror || !wedge.may_hold(wall)) continue;
      if (wall.face->height_over_m(way.to.seems) <= 0.0) continue;
      cut_to_pieces(*wall.face, wall.window, way, index, room.pieces);
    }
  }
}

/// Leaves what both ends see, strongest first.
void keep_seen(const RayCaster& caster, std::span<const ObstacleId> own_poles, Frequency f,
               Db direct, const LinkSettings& settings, Room& room) {
  const double scattering = settings.defaults("facade_scattering");
  const MirrorSurfaces surfaces(caster.scene(), f, settings);
  double rest = 0.0, sum = 0.0;
  for (ScatterPiece& piece : room.pieces) {
    piece.gain = scatter_gain(piece, room.ways[piece.way], f, scattering);
    rest += piece.gain;
  }
  const auto stronger = [](const ScatterPiece& a, const ScatterPiece& b) {
    return a.gain > b.gain;
  };
  std::stable_sort(room.pieces.begin(), room.pieces.end(), stronger);
  const double of_direct = rest_of_direct * (-direct).power_ratio();
  const Transparent past{.blocking = dark_mask, .ignored = own_poles};
  std::size_t kept = 0;
  for (ScatterPiece piece : room.pieces) {
    if (rest <= std::max({of_direct, rest_of_scatter * sum, least_rest})) break;
    rest -= piece.gain;
    const ScatterWay& way = room.ways[piece.way];
    if (!cut_to_seen(caster, past, way, piece)) continue;
    const ScenePoint at = piece.before(0.5);
    piece.gain = scatter_gain(piece, way, f, scattering) * way.from.kept(surfaces, at) *
                 way.to.kept(surfaces, at);
    sum += piece.gain;
    room.pieces[kept++] = piece;
  }
  room.pieces.resize(kept);
  std::stable_sort(room.pieces.begin(), room.pieces.end(), stronger);
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
  if (!settings.mirrors || !(settings.defaults("facade_scattering") > 0.0)) return paths;
  const Scene& scene = caster.scene();
  const Node& node = scene.nodes[node_index];
  thread_local Room room;
  const double free = free_space_loss(f, std::max(distance_m(node.position, to), 1.0)).value;
  const bool with_mirrors =
      settings.mirrors->limits().order > 1 && Db(free - direct.value).power_ratio() < free_enough;
  find_pieces(caster, *settings.mirrors, node_index, to, with_mirrors, room);
  keep_seen(caster, node.own_poles, f, direct, settings, room);
  const std::size_t count = std::min(room.pieces.size(), most_paths);
  double all = 0.0, taken = 0.0;
  for (std::size_t i = 0; i < room.pieces.size(); ++i) {
    all += room.pieces[i].gain;
    if (i < count) taken += room.pieces[i].gain;
  }
  const double gas = gas_db_per_km(settings, f);
  paths.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    const ScatterPiece& piece = room.pieces[i];
    const ScatterWay& way = room.ways[piece.way];
    const ScenePoint at = piece.before(0.5);
    const ScenePoint leaves_for = way.from.mirror != nullptr ? way.from.turn(at) : at;
    const ScenePoint arrives_from = way.to.mirror != nullptr ? way.to.turn(at) : at;
    const double length_m = distance_m(way.from.seems, at) + distance_m(at, way.to.seems);
    Db leaves = leaves_on(caster, node.position, leaves_for, f, settings) +
                leaves_on(caster, arrives_from, to, f, settings);
    if (way.from.mirror != nullptr) leaves += leaves_on(caster, leaves_for, at, f, settings);
    if (way.to.mirror != nullptr) leaves += leaves_on(caster, at, arrives_from, f, settings);
    paths.push_back({.at = arrives_from,
                     .obstacle = piece.face->obstacle,
                     .azimuth = scene.frame.true_azimuth(node.position, leaves_for),
                     .elevation = elevation_angle(node.position, leaves_for),
                     .loss = -Db::from_power_ratio(piece.gain * all / taken) +
                             Db(gas * length_m / 1000.0) + leaves});
  }
  return paths;
}

}  // namespace sim
