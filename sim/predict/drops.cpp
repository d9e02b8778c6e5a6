#include "sim/predict/drops.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "sim/base/parallel.h"
#include "sim/base/quantile.h"

namespace sim {
namespace {

constexpr double blame_m = 30.0;     // what takes a link away stands near the stretch's nearer end
constexpr double heading_m = 100.0;  // a side goes where it leads within this distance

/// Places of a side, by position in the walk outward, without a link.
struct Run {
  std::size_t first = 0, last = 0;
};

/// Places without an answer neither begin nor end a run.
std::vector<Run> runs_of(const StreetWalk& walk, const std::vector<std::size_t>& order,
                         const std::vector<bool>& held) {
  std::vector<Run> runs;
  bool open = false;
  for (std::size_t k = 0; k < order.size(); ++k) {
    if (!walk.stations[order[k]].best) continue;
    if (held[k]) {
      open = false;
    } else if (open) {
      runs.back().last = k;
    } else {
      runs.push_back({k, k});
      open = true;
    }
  }
  return runs;
}

/// Held or not by position in the walk outward, whichever way it is walked.
std::vector<bool> held_on(const std::vector<std::size_t>& order, const std::vector<Dbm>& levels,
                          WalkDirection direction, const LinkSettings& settings) {
  std::vector<Dbm> met;
  met.reserve(order.size());
  for (const std::size_t i : order) met.push_back(levels[i]);
  const bool inward = direction == WalkDirection::inward;
  if (inward) std::reverse(met.begin(), met.end());
  std::vector<bool> held = walk_states(met, settings.drop_rsrp, settings.hold_rsrp);
  if (inward) std::reverse(held.begin(), held.end());
  return held;
}

Interval interval_of(const std::vector<double>& values, std::size_t draws) {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  if (10 * values.size() < draws) return {nan, nan};
  return {quantile(values, 0.1), quantile(values, 0.9)};
}

/// One side of one walk, in one direction, with what its draws make of each stretch.
struct SideWalk {
  bool forward = true;
  WalkDirection direction = WalkDirection::outward;
  std::vector<std::size_t> order;
  std::vector<Run> runs;
  std::vector<std::vector<double>> starts_m, ends_m;  ///< by run, one per draw that has it

  void add_draw(const StreetWalk& walk, const std::vector<Dbm>& levels,
                const LinkSettings& settings) {
    const auto drawn = runs_of(walk, order, held_on(order, levels, direction, settings));
    for (std::size_t r = 0; r < runs.size(); ++r) {
      // All of the draw that touches the stretch, from its first place to its last.
      Run hull{order.size(), 0};
      for (const Run& run : drawn) {
        if (run.last < runs[r].first || run.first > runs[r].last) continue;
        hull.first = std::min(hull.first, run.first);
        hull.last = std::max(hull.last, run.last);
      }
      if (hull.first == order.size()) continue;
      starts_m[r].push_back(walk.stations[order[hull.first]].along_m);
      ends_m[r].push_back(walk.stations[order[hull.last]].along_m);
    }
  }
};

std::vector<SideWalk> sides_of(const StreetWalk& walk, const LinkSettings& settings) {
  std::vector<Dbm> levels;
  for (const Station& station : walk.stations) levels.push_back(level_of(station));
  std::vector<SideWalk> sides;
  for (const bool forward : {true, false}) {
    for (const WalkDirection direction : {WalkDirection::outward, WalkDirection::inward}) {
      SideWalk side{.forward = forward,
                    .direction = direction,
                    .order = walk.outward(forward),
                    .runs = {},
                    .starts_m = {},
                    .ends_m = {}};
      // A street that begins at the foot has one side; the foot alone is no walk.
      if (side.order.size() < 2) continue;
      side.runs = runs_of(walk, side.order, held_on(side.order, levels, direction, settings));
      side.starts_m.resize(side.runs.size());
      side.ends_m.resize(side.runs.size());
      sides.push_back(std::move(side));
    }
  }
  return sides;
}

void draw_sides(const StreetWalk& walk, std::uint64_t stream, std::size_t draws,
                const LinkSettings& settings, std::vector<SideWalk>& sides) {
  std::vector<ShadowPlace> places;
  for (std::size_t i = 0; i < walk.stations.size(); ++i) {
    const Station& station = walk.stations[i];
    places.push_back(
        {.step_m = i == 0 ? 0.0 : station.along_m - walk.stations[i - 1].along_m,
         .shadowing = shadowing_of(station.best ? station.best->sight : Sight::nlos, settings),
         .spread = station.best ? station.best->spread : Db()});
  }
  ShadowDraws shadow(static_cast<std::uint64_t>(std::abs(settings.defaults("shadow_seed"))),
                     stream);
  for (std::size_t draw = 0; draw < draws; ++draw) {
    const std::vector<Db> strays = shadow.next(places);
    std::vector<Dbm> levels;
    for (std::size_t i = 0; i < strays.size(); ++i) {
      levels.push_back(level_of(walk.stations[i]) + strays[i]);
    }
    for (SideWalk& side : sides) side.add_draw(walk, levels, settings);
  }
}

StreetSide side_of(const Scene& scene, const StreetWalk& walk, const SideWalk& side) {
  const Station& foot = walk.stations[side.order.front()];
  const Station* ahead = &foot;
  for (const std::size_t i : side.order) {
    if (std::abs(walk.stations[i].along_m - foot.along_m) <= heading_m) ahead = &walk.stations[i];
  }
  return {.street_id = walk.street_id,
          .street = name_of(walk),
          .from_node = scene.nodes[walk.from_node].id,
          .off_street_m = walk.off_street_m,
          .forward = side.forward,
          .heading = scene.frame.true_azimuth(foot.place, ahead->place)};
}

/// What takes the link away most often where the stretch begins.
void blame(DropStretch& stretch, const StreetWalk& walk, const SideWalk& side, const Run& run) {
  std::map<std::pair<Cause, ObstacleId>, std::size_t> votes;
  for (std::size_t k = run.first; k <= run.last; ++k) {
    const Station& station = walk.stations[side.order[k]];
    stretch.line.push_back(station.place);
    if (!station.best) continue;
    stretch.worst = std::min(stretch.worst, station.best->state);
    if (std::abs(station.along_m - stretch.from_m) > blame_m) continue;
    ++votes[{station.best->cause, station.best->cause_obstacle}];
  }
  const auto most = std::max_element(
      votes.begin(), votes.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  stretch.cause = most->first.first;
  stretch.cause_obstacle = most->first.second;
}

std::size_t last_answered(const StreetWalk& walk, const std::vector<std::size_t>& order) {
  std::size_t last = order.size();
  for (std::size_t k = 0; k < order.size(); ++k) {
    if (walk.stations[order[k]].best) last = k;
  }
  return last;
}

void add_drops(const Scene& scene, const StreetWalk& walk, const SideWalk& side, std::size_t draws,
               std::vector<DropStretch>& drops) {
  for (std::size_t r = 0; r < side.runs.size(); ++r) {
    const Run& run = side.runs[r];
    DropStretch stretch{.side = side_of(scene, walk, side),
                        .direction = side.direction,
                        .from_m = walk.stations[side.order[run.first]].along_m,
                        .to_m = walk.stations[side.order[run.last]].along_m,
                        .from_interval = interval_of(side.starts_m[r], draws),
                        .to_interval = interval_of(side.ends_m[r], draws),
                        .open_end = run.last == last_answered(walk, side.order),
                        .line = {},
                        .worst = LinkState::hold};
    stretch.probability =
        draws == 0 ? std::numeric_limits<double>::quiet_NaN()
                   : static_cast<double>(side.starts_m[r].size()) / static_cast<double>(draws);
    blame(stretch, walk, side, run);
    std::size_t middle = (run.first + run.last) / 2;
    while (!walk.stations[side.order[middle]].best) ++middle;
    const StationLink& link = *walk.stations[side.order[middle]].best;
    stretch.node = scene.nodes[link.node].id;
    stretch.sector = scene.nodes[link.node].sectors[link.sector].id;
    drops.push_back(std::move(stretch));
  }
}

/// Of a walk outward: its first stretch with the link, up to the drop that ends it.
std::optional<StreetReach> reach_of(const Scene& scene, const StreetWalk& walk,
                                    const SideWalk& side, std::size_t draws) {
  const std::size_t last = last_answered(walk, side.order);
  if (last == side.order.size()) return std::nullopt;
  const auto distance = [&](std::size_t k) {
    return std::abs(walk.stations[side.order[k]].along_m);
  };
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  StreetReach reach{.side = side_of(scene, walk, side),
                    .answered_to_m = distance(last),
                    .to_interval = {nan, nan}};
  std::size_t r = 0, first = 0;
  while (!walk.stations[side.order[first]].best) ++first;
  if (!side.runs.empty() && side.runs[0].first == first) {
    first = side.runs[0].last + 1;
    r = 1;
    while (first <= last && !walk.stations[side.order[first]].best) ++first;
    if (first > last) return reach;
  }
  reach.holds = true;
  reach.from_m = distance(first);
  reach.to_the_end = r == side.runs.size();
  std::size_t end = reach.to_the_end ? last : side.runs[r].first - 1;
  while (!walk.stations[side.order[end]].best) --end;
  reach.to_m = distance(end);
  if (!reach.to_the_end) {
    const Interval signed_m = interval_of(side.starts_m[r], draws);
    reach.to_interval = {std::abs(signed_m.low), std::abs(signed_m.high)};
    if (!side.forward) std::swap(reach.to_interval.low, reach.to_interval.high);
  }
  return reach;
}

}  // namespace

std::string_view to_string(WalkDirection direction) {
  return direction == WalkDirection::outward ? "outward" : "inward";
}

StreetVerdicts judge_walks(const Scene& scene, const std::vector<StreetWalk>& walks,
                           const LinkSettings& settings) {
  const auto draws =
      static_cast<std::size_t>(std::clamp(settings.defaults("shadow_draws"), 0.0, 1e6));
  std::vector<StreetVerdicts> by_walk(walks.size());
  parallel_blocks(walks.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t w = begin; w < end; ++w) {
      std::vector<SideWalk> sides = sides_of(walks[w], settings);
      draw_sides(walks[w], w, draws, settings, sides);
      for (const SideWalk& side : sides) {
        add_drops(scene, walks[w], side, draws, by_walk[w].drops);
        if (side.direction == WalkDirection::inward) continue;
        if (const auto reach = reach_of(scene, walks[w], side, draws)) {
          by_walk[w].reaches.push_back(*reach);
        }
      }
    }
  });
  StreetVerdicts all;
  for (StreetVerdicts& verdicts : by_walk) {
    std::move(verdicts.drops.begin(), verdicts.drops.end(), std::back_inserter(all.drops));
    std::move(verdicts.reaches.begin(), verdicts.reaches.end(), std::back_inserter(all.reaches));
  }
  return all;
}

}  // namespace sim
