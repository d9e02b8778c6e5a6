#include "sim/plan/step_positions.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "sim/base/parallel.h"
#include "sim/explain/wording.h"

namespace sim {
namespace {

constexpr int most_beyond = 2;           // steps past the edge: one may be luck
constexpr double enough_margin_m = 2.0;  // more does not make a side better
constexpr double least_margin_m = 0.2;   // nobody stands stiller than this
constexpr std::array shifts{0.0, 0.025, -0.025, 0.05, -0.05};  // shares of a step
constexpr double same_side_m = 0.5;  // what crossing the street must gain in margin

struct Option {
  Candidate candidate;
  double score = 0.0;
};

/// The best place of one step on each side, and why there is none.
struct StepOptions {
  std::array<std::optional<Option>, 2> in_sight;  ///< left, right
  std::optional<Candidate> out_of_sight;
  Unfit unfit = Unfit::none;
};

StepOptions options_of(const PlanGround& ground, const Walks& walks, const StreetStep& step,
                       NodeIndex node) {
  StepOptions options;
  const bool feet = ground.ways[ground.graph.pieces()[step.piece].way].for_feet_alone;
  for (const bool left : {true, false}) {
    if (feet && !left) continue;  // the line itself
    for (const double share : shifts) {
      Unfit unfit = Unfit::none;
      auto c = stand_at(ground, walks, step, node, left, share * ground.step_m, unfit);
      if (!c) {
        if (share == 0.0 && options.unfit == Unfit::none) options.unfit = unfit;
        continue;
      }
      if (!c->sight) {
        if (!options.out_of_sight) options.out_of_sight = *c;
        continue;
      }
      const double margin = sight_margin(ground.caster, ground.footprints, node, c->phone,
                                         c->height_agl_m, enough_margin_m)
                                .margin_m;
      if (margin < least_margin_m) continue;
      const Option option{*c, margin - 2.0 * std::abs(share)};
      auto& best = options.in_sight[left ? 0 : 1];
      if (!best || option.score > best->score) best = option;
    }
  }
  return options;
}

/// Counts steps of each street with the reasons of those that were not kept.
class Gaps {
 public:
  Gaps(const PlanGround& ground, NodeIndex node) : ground_(ground), node_(node) {}
  StreetGap& of(const StreetStep& step) {
    const std::string street = name_of(ground_.ways[ground_.graph.pieces()[step.piece].way]);
    for (StreetGap& gap : gaps) {
      if (gap.street == street) return gap;
    }
    gaps.push_back({.street = street, .node = node_, .reasons = {}});
    return gaps.back();
  }
  void missed(const StreetStep& step, const std::string& words, const std::string& thing = {}) {
    StreetGap& gap = of(step);
    ++gap.steps;
    const auto known = std::find_if(gap.reasons.begin(), gap.reasons.end(),
                                    [&](const auto& r) { return r.words == words; });
    StreetGap::Reason& reason =
        known != gap.reasons.end()
            ? *known
            : gap.reasons.emplace_back(StreetGap::Reason{.words = words, .things = {}});
    ++reason.count;
    if (!thing.empty() &&
        std::find(reason.things.begin(), reason.things.end(), thing) == reason.things.end()) {
      reason.things.push_back(thing);
    }
  }
  void kept(const StreetStep& step) {
    StreetGap& gap = of(step);
    ++gap.steps;
    ++gap.kept;
  }
  std::vector<StreetGap> gaps;

 private:
  const PlanGround& ground_;
  NodeIndex node_;
};

}  // namespace

std::string what_blocks(const PlanGround& ground, const Candidate& c) {
  const Scene& scene = ground.caster.scene();
  const Node& node = scene.nodes[c.node];
  const auto crossings = ground.caster.crossings(
      node.position, c.phone, {.blocking = everything_mask, .ignored = node.own_poles});
  // The triangles round a crown reach a little farther than its leaves.
  return crossings.empty() ? "the edge of a crown" : name_of(scene, crossings.back().obstacle);
}

NodeSteps step_positions(const PlanGround& ground, NodeIndex node, const Walks& walks) {
  const Scene& scene = ground.caster.scene();
  const std::vector<StreetStep> steps = steps_of(ground, walks, ground.step_m);
  std::vector<StepOptions> options(steps.size());
  parallel_blocks(steps.size(), 4, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      options[i] = options_of(ground, walks, steps[i], node);
    }
  });
  // Sides, nearest first, so that the step before has its own.
  std::vector<std::optional<Candidate>> picked(steps.size());
  for (std::size_t i = 0; i < steps.size(); ++i) {
    double best = -1.0;
    for (const auto& option : options[i].in_sight) {
      if (!option) continue;
      double score = option->score;
      const auto& before = steps[i].before;
      if (before != StreetStep::none && picked[before] &&
          picked[before]->left == option->candidate.left) {
        score += same_side_m;
      }
      if (score > best) {
        best = score;
        picked[i] = option->candidate;
      }
    }
  }
  std::vector<NodeIndex> louder(steps.size(), node);
  parallel_blocks(steps.size(), 4, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      std::optional<Candidate>& c = picked[i] ? picked[i] : options[i].out_of_sight;
      if (c) predict_at(ground, *c, &louder[i]);
    }
  });
  const auto feet = [&](std::size_t i) {
    return ground.ways[ground.graph.pieces()[steps[i].piece].way].for_feet_alone;
  };
  // A footway beside a street, or the other half of a wide one, needs no steps of its own.
  const auto beside_another = [&](std::size_t i, const std::vector<bool>& kept) {
    for (std::size_t j = 0; j < steps.size(); ++j) {
      if (j == i || !picked[j] || !(kept[j] || (feet(i) && !feet(j)))) continue;
      if (horizontal_distance_m(picked[i]->phone, picked[j]->phone) < 0.5 * ground.step_m) {
        return true;
      }
    }
    return false;
  };
  NodeSteps result;
  Gaps gaps(ground, node);
  std::vector<int> beyond(steps.size(), 0);
  std::vector<bool> kept(steps.size(), false);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const std::size_t before = steps[i].before;
    beyond[i] = before == StreetStep::none ? 0 : beyond[before];
    const bool dark = !picked[i];
    const std::optional<Candidate>& c = dark ? options[i].out_of_sight : picked[i];
    if (!c || !c->link) {
      gaps.missed(steps[i],
                  options[i].unfit == Unfit::none
                      ? "sight of " + scene.nodes[node].id + " hangs by a hair there"
                      : "nobody can stand there: " + std::string(to_string(options[i].unfit)));
      continue;
    }
    const bool holds = c->link->p_hold >= 0.5;
    result.any_sight = result.any_sight || !dark;
    if (louder[i] != node) {
      gaps.missed(steps[i], scene.nodes[louder[i]].id + " is louder");
    } else if (dark) {
      const bool first = before != StreetStep::none && kept[before] && beyond[before] == 0;
      if (first && !holds) {
        result.chosen.push_back(
            {.kind = PositionKind::beyond,
             .at = *c,
             .why = "past the edge: out of sight behind " + what_blocks(ground, *c),
             .note = {}});
        gaps.kept(steps[i]);
      } else {
        gaps.missed(steps[i], scene.nodes[node].id + " is out of sight behind",
                    what_blocks(ground, *c));
      }
    } else if (beyond[i] >= most_beyond) {
      gaps.missed(steps[i], "enough steps past the edge are planned already");
    } else if (beside_another(i, kept)) {
      beyond[i] = holds ? 0 : beyond[i] + 1;
      gaps.missed(steps[i], "another position is within half a step");
    } else {
      beyond[i] = holds ? 0 : beyond[i] + 1;
      kept[i] = true;
      gaps.kept(steps[i]);
      if (holds) {
        result.edge_m =
            std::max(result.edge_m, horizontal_distance_m(scene.nodes[node].position, c->phone));
      }
      result.chosen.push_back({.kind = PositionKind::step, .at = *c, .why = {}, .note = {}});
    }
  }
  result.gaps = std::move(gaps.gaps);
  return result;
}

}  // namespace sim
