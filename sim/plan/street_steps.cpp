#include "sim/plan/street_steps.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/predict/prediction.h"

namespace sim {
namespace {

constexpr double served_by_db = 3.0;  // a phone stays with its node against less; common practice,
                                      // no source

/// Steps on one piece, as distances from its first corner.
struct Cut {
  double on_piece_m, along_m;
};
std::vector<Cut> cuts_of(const StreetPiece& piece, double at_first, double at_second, double step) {
  std::vector<Cut> cuts;
  // Where the two ways round meet.
  const double meet =
      std::clamp(0.5 * (at_second + piece.length_m - at_first), 0.0, piece.length_m);
  constexpr double rounding = 1e-6;
  const auto walk = [&](double start, double length, bool from_first) {
    if (!std::isfinite(start)) return;
    for (double k = std::max(1.0, std::ceil((start + rounding) / step)); k * step <= start + length;
         k += 1.0) {
      const double on = k * step - start;
      cuts.push_back({from_first ? on : piece.length_m - on, k * step});
    }
  };
  walk(at_first, meet, true);
  walk(at_second, piece.length_m - meet, false);
  return cuts;
}

}  // namespace

std::vector<StreetStep> steps_of(const PlanGround& ground, const Walks& walks, double step_m) {
  const auto& pieces = ground.graph.pieces();
  std::vector<StreetStep> steps;
  const auto add = [&](std::size_t piece, double on, double along) {
    if (along <= ground.reach_m) {
      steps.push_back({.piece = piece, .on_piece_m = on, .along_m = along});
    }
  };
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    const StreetPiece& piece = pieces[p];
    if (p == walks.from.piece) {
      const double back = walks.from.along_m, on = piece.length_m - back;
      for (double s = step_m; s <= back; s += step_m) add(p, back - s, s);
      for (double s = step_m; s <= on; s += step_m) add(p, back + s, s);
      continue;
    }
    for (const Cut& cut :
         cuts_of(piece, walks.distance_m[piece.from], walks.distance_m[piece.to], step_m)) {
      add(p, cut.on_piece_m, cut.along_m);
    }
  }
  std::stable_sort(steps.begin(), steps.end(),
                   [](const StreetStep& a, const StreetStep& b) { return a.along_m < b.along_m; });
  // The step before: one step_m nearer, on the walk from the foot to this one.
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const Foot foot{steps[i].piece, steps[i].on_piece_m,
                    ground.graph.place_on(steps[i].piece, steps[i].on_piece_m), 0.0};
    const std::vector<Xy> path = ground.graph.path(walks, foot);
    double least = 1.0;  // metres off the walk
    for (std::size_t j = i; j-- > 0;) {
      const double nearer = steps[i].along_m - steps[j].along_m;
      if (nearer < 0.5 * step_m) continue;
      if (nearer > 1.5 * step_m) break;
      const Xy at = ground.graph.place_on(steps[j].piece, steps[j].on_piece_m);
      for (std::size_t k = path.size(); k-- > 1;) {
        const Xy a = path[k - 1], b = path[k];
        const double length = std::hypot(b.x - a.x, b.y - a.y);
        if (length == 0.0) continue;
        const double t = std::clamp(
            ((at.x - a.x) * (b.x - a.x) + (at.y - a.y) * (b.y - a.y)) / (length * length), 0.0,
            1.0);
        const double off = std::hypot(a.x + t * (b.x - a.x) - at.x, a.y + t * (b.y - a.y) - at.y);
        if (off < least) {
          least = off;
          steps[i].before = j;
        }
      }
    }
  }
  return steps;
}

std::optional<Candidate> stand_at(const PlanGround& ground, const Walks& walks,
                                  const StreetStep& step, NodeIndex node, bool left, double shift_m,
                                  Unfit& unfit) {
  const StreetPiece& piece = ground.graph.pieces()[step.piece];
  const double on = step.on_piece_m + shift_m;
  if (on < 0.0 || on > piece.length_m) {
    unfit = Unfit::carriageway;  // round the corner: the step itself stands for it
    return std::nullopt;
  }
  const Xy center = ground.graph.place_on(step.piece, on);
  const Xy a = ground.graph.corners()[piece.from], b = ground.graph.corners()[piece.to];
  const Xy heading{(b.x - a.x) / piece.length_m, (b.y - a.y) / piece.length_m};
  const auto stand = ground.footways.beside(piece.way, center, heading, left, unfit);
  if (!stand) return std::nullopt;
  Candidate c{.stand = *stand, .way = piece.way, .left = left};
  c.foot = {step.piece, on, center, stand->off_m};
  c.along_street_m = ground.graph.distance_m(walks, c.foot);
  c.node = node;
  c.height_agl_m = ground.height_agl_m;
  c.phone = stand->ground;
  c.phone.z_m += c.height_agl_m;
  c.sight = in_sight(ground.caster, node, c.phone);
  return c;
}

void predict_at(const PlanGround& ground, Candidate& c, NodeIndex* louder) {
  const Receiver receiver{.position = c.phone,
                          .context = c.context,
                          .facing = Facing{.way = Facing::Way::node, .heading = {}}};
  const Node& node = ground.caster.scene().nodes[c.node];
  const double radius =
      std::max(ground.reach_m, horizontal_distance_m(node.position, c.phone) + 1.0);
  std::optional<LinkResult> best_other;
  c.link.reset();
  for (LinkResult& link : point_links(ground.caster, receiver, ground.settings, radius)) {
    std::optional<LinkResult>& best = link.node == c.node ? c.link : best_other;
    if (!best || link.rsrp > best->rsrp) best = std::move(link);
  }
  if (louder == nullptr) return;
  *louder = c.node;
  if (best_other && c.link && best_other->rsrp - c.link->rsrp > Db(served_by_db)) {
    *louder = best_other->node;
  }
}

}  // namespace sim
