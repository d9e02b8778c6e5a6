#include <algorithm>
#include <cmath>

#include "sim/cast/ground_line.h"
#include "sim/link/way_round.h"
#include "sim/loss/upright_screen.h"

namespace sim {
namespace {

constexpr double least_v = -1.5;  // points lower than this cannot decide beside any other

struct Candidate {
  ProfileEdge edge;
  ObstacleId owner = no_obstacle;
};

/// Whether the ground may matter: it is crossed, or comes near, or the path is blocked and its
/// detour may pass a crest.
bool ground_matters(const PathSight& sight) {
  const Clearance& wide = sight.path.wide_clearance;
  return wide.nearest != no_obstacle &&
         (wide.fresnel_radii < 0.0 ||
          (wide.nearest == 0 && wide.fresnel_radii < -least_v / std::numbers::sqrt2));
}

void profile_under(const PathSight& sight, std::vector<Candidate>& points) {
  const PathProfile& path = sight.path;
  const Scene& scene = sight.caster.scene();
  const double upright =
      horizontal_distance_m(path.a, path.b) / std::max(path.length_m, 1e-9);  // cos of the slope
  points.clear();
  bool valley = false;  // of ground left out since the last point of it
  const double wavelength_m = sight.frequency.wavelength_m();
  const auto too_low = [&](double at_m, double square_m) {
    if (square_m >= 0.0) return false;
    // Without roots first: v^2 is at least this.
    const double d1 = at_m, d2 = path.length_m - at_m, h = -square_m;
    const double least = h * h / (2.0 * d1 + h) + h * h / (2.0 * d2 + h);
    return 4.0 * least > least_v * least_v * wavelength_m ||
           edge_parameter(sight.frequency, path.length_m, at_m, square_m) < least_v;
  };
  const auto add = [&](double at_m, double above_m, ObstacleId owner, bool smooth) {
    if (at_m <= 0.0 || at_m >= path.length_m) return;
    const double square_m = above_m * upright;
    if (too_low(at_m, square_m)) {
      valley = smooth;
      return;
    }
    points.push_back(
        {{.at_m = at_m, .above_m = square_m, .apart = smooth && valley, .smooth = smooth}, owner});
    if (smooth) valley = false;
  };
  for (const Crossing& c : path.crossings) {
    const Obstacle& obstacle = scene.obstacles[c.obstacle];
    if (obstacle.kind != ObstacleKind::building) continue;
    const auto over = [&](double at_m) {
      return obstacle.top_m - (path.a.z_m + at_m / path.length_m * (path.b.z_m - path.a.z_m));
    };
    add(c.enter_m, over(c.enter_m), c.obstacle, false);
    add(c.exit_m, over(c.exit_m), c.obstacle, false);
  }
  for (const Passing& p : path.passing) {
    const Outline& o = p.outline;
    if (scene.obstacles[p.obstacle].kind != ObstacleKind::building) continue;
    if (o.left_m <= 0.0 || o.right_m <= 0.0 || o.above_m > 0.0) continue;  // beside, not under
    add(o.above_at_m, o.above_m, p.obstacle, false);
  }
  const auto along = [](const Candidate& p, const Candidate& q) {
    return p.edge.at_m < q.edge.at_m;
  };
  if (!std::is_sorted(points.begin(), points.end(), along)) {
    std::stable_sort(points.begin(), points.end(), along);
  }
  const auto of_ground = static_cast<std::ptrdiff_t>(points.size());
  const bool ground_ignored =
      std::find(sight.ignored.begin(), sight.ignored.end(), ObstacleId{0}) != sight.ignored.end();
  if (!ground_ignored && ground_matters(sight)) {
    thread_local std::vector<GroundPoint> line;
    ground_line(scene.ground, path.a, path.b, line);
    for (const GroundPoint& g : line) add(g.share * path.length_m, g.above_m, 0, true);
  }
  // A merge of nothing would still ask for room.
  if (of_ground > 0 && static_cast<std::size_t>(of_ground) < points.size()) {
    std::inplace_merge(points.begin(), points.begin() + of_ground, points.end(), along);
  }
}

/// Where the line from `from` touches the ground before (or from behind) a crest.
std::size_t touching(const std::vector<Candidate>& points, const ProfileEdge& from,
                     std::size_t crest, bool ahead) {
  std::size_t best = crest;
  double steepest = -1e300;
  for (std::size_t i = crest;; ahead ? ++i : --i) {
    if (points[i].edge.smooth) {
      const double run = std::abs(points[i].edge.at_m - from.at_m);
      if (run < 1e-6) break;
      const double slope = (points[i].edge.above_m - from.above_m) / run;
      if (slope > steepest) {
        steepest = slope;
        best = i;
      }
    }
    if (i == (ahead ? points.size() - 1 : 0)) break;
    if (points[ahead ? i + 1 : i].edge.apart) break;
    if (!ahead && points[i - 1].edge.at_m <= from.at_m) break;
    if (ahead && points[i + 1].edge.at_m >= from.at_m) break;
  }
  return best;
}

/// Where a sight line of slope `slope` leaves the ground at a point of the profile: the corner is
/// taken as rounded off to the middles of the facets beside it, so that the place moves steadily
/// from one point to the next as the line turns.
struct Contact {
  double at_m = 0.0;
  double spacing_m = 0.0;  ///< of the profile there
};
Contact contact(const std::vector<Candidate>& points, std::size_t i, double slope) {
  const ProfileEdge& here = points[i].edge;
  if (i == 0 || i + 1 == points.size() || !points[i - 1].edge.smooth ||
      !points[i + 1].edge.smooth) {
    return {.at_m = here.at_m, .spacing_m = 0.0};
  }
  const ProfileEdge &before = points[i - 1].edge, &after = points[i + 1].edge;
  const double before_m = std::max(here.at_m - before.at_m, 1e-6),
               after_m = std::max(after.at_m - here.at_m, 1e-6);
  const double rise = (here.above_m - before.above_m) / before_m;
  const double fall = (after.above_m - here.above_m) / after_m;
  const double share = rise > fall ? std::clamp((rise - slope) / (rise - fall), 0.0, 1.0) : 0.5;
  const double spacing = 0.5 * (before_m + after_m);
  return {.at_m = here.at_m - 0.5 * before_m + share * spacing, .spacing_m = spacing};
}

/// A crest of the ground as a cylinder: radius by the angle through which the sight lines from both
/// sides turn over the ground between their contacts, top where they meet (P.526 section 4.4, from
/// memory). What the raster shows as a single point is sharp.
ProfileEdge rounded(const std::vector<Candidate>& points, const ProfileEdge& before,
                    std::size_t crest, const ProfileEdge& after) {
  const std::size_t x = touching(points, before, crest, false);
  const std::size_t y = touching(points, after, crest, true);
  const ProfileEdge &p = points[x].edge, &q = points[y].edge;
  const double rise = (p.above_m - before.above_m) / std::max(p.at_m - before.at_m, 1e-6);
  const double fall = (after.above_m - q.above_m) / std::max(after.at_m - q.at_m, 1e-6);
  const double turn = rise - fall;
  if (!(turn > 1e-9)) return points[crest].edge;
  const Contact near_side = contact(points, x, rise), far_side = contact(points, y, fall);
  const double across_m =
      far_side.at_m - near_side.at_m - 0.5 * (near_side.spacing_m + far_side.spacing_m);
  const double at_m = (q.above_m - p.above_m + rise * p.at_m - fall * q.at_m) / turn;
  return {.at_m = at_m,
          .above_m = p.above_m + rise * (at_m - p.at_m),
          .radius_m = std::max(0.0, across_m) / turn,
          .smooth = true};
}

}  // namespace

Way way_over(const PathSight& sight) {
  thread_local std::vector<Candidate> points;
  thread_local std::vector<ProfileEdge> profile;
  profile_under(sight, points);
  Way way;
  if (points.empty()) return way;
  profile.clear();
  for (const Candidate& p : points) profile.push_back(p.edge);
  const double length_m = sight.path.length_m;
  const std::vector<std::size_t> chosen = deciding_edges(sight.frequency, length_m, profile);
  way.edges.reserve(chosen.size());
  way.owners.reserve(chosen.size());
  for (std::size_t k = 0; k < chosen.size(); ++k) {
    ProfileEdge edge = profile[chosen[k]];
    if (edge.smooth) {
      const ProfileEdge before = k > 0 ? profile[chosen[k - 1]] : ProfileEdge{};
      const ProfileEdge after =
          k + 1 < chosen.size() ? profile[chosen[k + 1]] : ProfileEdge{.at_m = length_m};
      edge = rounded(points, before, chosen[k], after);
    }
    way.edges.push_back(edge);
    way.owners.push_back(points[chosen[k]].owner);
  }
  way.chain = edge_chain_loss(sight.frequency, length_m, way.edges);
  return way;
}

}  // namespace sim
