// The benchmark of truth: invented sites with one planted cause each. What is checked against is
// what was planted, which the explaining code does not see.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdlib>
#include <iostream>
#include <mutex>

#include "sim/base/parallel.h"
#include "sim/explain/explanation.h"
#include "tests/explain/score.h"
#include "tests/explain/seeds.h"
#include "tests/explain/truth_site.h"
#include "tests/explain/truth_street.h"

namespace sim::test {
namespace {

constexpr std::array causes{Cause::none,      Cause::distance, Cause::sector,   Cause::terrain,
                            Cause::building,  Cause::foliage,  Cause::pole,     Cause::vehicle,
                            Cause::enclosure, Cause::body,     Cause::unmapped, Cause::load,
                            Cause::position};
const PredictOptions options{.radius_m = 800.0};

struct Outcome {
  Judged verdict;
  std::uint64_t seed = 0;
  std::string named, sentence;
  double named_cost_db = 1e9;  ///< in truth, at the true place
  bool step_offered = false, step_sought = false, step_regains = false;
};

/// What the named thing costs in truth: the level without it less the level with it.
double true_cost_db(const TruthSite& site, const Street& truth, Cause cause,
                    const std::string& id) {
  ImportedSite lighter = without(site.truth, id);
  if (cause == Cause::terrain) lighter.ground = {};
  const Street without_it(lighter);
  ScenePoint p = site.true_place;
  p.z_m = without_it.scene.ground.height_at(p.x_m, p.y_m) + 1.5;
  return (link_at(without_it, p, site.context).rsrp -
          link_at(truth, site.true_place, site.context).rsrp)
      .value;
}

bool is_thing(Cause cause) {
  return cause == Cause::terrain || cause == Cause::building || cause == Cause::foliage ||
         cause == Cause::pole || cause == Cause::vehicle || cause == Cause::object;
}

Outcome judge(const TruthSite& site) {
  const Street map(site.map), truth(site.truth);
  const Explanation explanation = explain(map.caster, site.survey, map.settings, options);
  const ExplainedPoint& p = explanation.points.back();
  Outcome outcome;
  outcome.verdict = {site.planted, p.cause, p.confidence,
                     p.cause == site.planted || (site.second && p.cause == *site.second)};
  outcome.sentence = p.sentence;
  if (is_thing(p.cause) && p.cause_obstacle != no_obstacle) {
    outcome.named = map.scene.obstacles[p.cause_obstacle].id;
    outcome.named_cost_db = true_cost_db(site, truth, p.cause, outcome.named);
  }
  outcome.step_sought = p.step_sought;
  if (p.step) {
    outcome.step_offered = true;
    ScenePoint there = site.true_place;
    there.x_m += p.step->east_m;
    there.y_m += p.step->north_m;
    there.z_m = truth.scene.ground.height_at(there.x_m, there.y_m) + 1.5;
    const bool inside = FootprintIndex(truth.scene).building_at(there.x_m, there.y_m).has_value();
    outcome.step_regains = !inside && link_at(truth, there, site.context).state == LinkState::hold;
  }
  return outcome;
}

/// All sites, each made and explained once for all checks.
const std::vector<Outcome>& outcomes() {
  static const std::vector<Outcome> all = [] {
    const auto each = static_cast<std::size_t>(sites_per_cause());
    std::vector<Outcome> list(causes.size() * each);
    parallel_blocks(list.size(), 1, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) {
        const std::uint64_t seed = first_seed() + i / causes.size();
        list[i] = judge(truth_site(causes[i % causes.size()], seed));
        list[i].seed = seed;
      }
    });
    return list;
  }();
  return all;
}

std::vector<Judged> verdicts() {
  std::vector<Judged> list;
  for (const Outcome& o : outcomes()) list.push_back(o.verdict);
  return list;
}

void print_misses() {
  if (std::getenv("KERBRAY_TRUTH_MISSES") == nullptr) return;
  const bool all = std::string(std::getenv("KERBRAY_TRUTH_MISSES")) == "all";
  for (const Outcome& o : outcomes()) {
    if (o.verdict.right && !all) continue;
    std::cout << fmt::format("seed {} {}: said {} {:.2f}: {}\n", o.seed,
                             to_string(o.verdict.planted), to_string(o.verdict.said),
                             o.verdict.confidence, o.sentence);
  }
}

TEST(BenchmarkOfTruth, NamesThePlantedCause) {
  ASSERT_GE(verdicts().size(), 300U);
  std::cout << confusion_text(verdicts());
  print_misses();
  const double share = share_right(verdicts());
  std::cout << fmt::format("cause right: {:.1f} % of {}\n", 100.0 * share, verdicts().size());
  EXPECT_GE(share, 0.90);
}

TEST(BenchmarkOfTruth, NeverNamesAThingOfLessThanADecibel) {
  int named = 0, idle = 0;
  for (const Outcome& o : outcomes()) {
    if (o.named.empty()) continue;
    ++named;
    if (o.named_cost_db >= 1.0) continue;
    ++idle;
    std::cout << fmt::format("costs {:.1f} dB in truth: seed {}, planted {}: {}; {}\n",
                             o.named_cost_db, o.seed, to_string(o.verdict.planted), o.named,
                             o.sentence);
  }
  std::cout << fmt::format("things named {}, of less than a decibel {}\n", named, idle);
  EXPECT_GT(named, static_cast<int>(outcomes().size()) / 8);  // and it does name things
  EXPECT_EQ(idle, 0);
}

TEST(BenchmarkOfTruth, IsAsSureAsItIsRight) {
  const std::vector<Reliability> bins = reliability(verdicts());
  std::cout << reliability_text(bins)
            << fmt::format("calibration error {:.3f}\n", calibration_error(bins));
  for (const Reliability& bin : bins) {
    if (bin.count < 10) continue;
    const double right = static_cast<double>(bin.right) / bin.count;
    if (bin.from == 0.7) {  // when it says 0.8 it is right in 70-90 % of cases
      EXPECT_GE(right, 0.70);
      EXPECT_LE(right, 0.90);
    }
    if (bin.from < 0.5) continue;
    EXPECT_GE(right, bin.mean_confidence - 0.10);
  }
  EXPECT_LE(calibration_error(bins), 0.10);
}

TEST(BenchmarkOfTruth, OfTwoCausesNamesOne) {
  const int count = 2 * sites_per_cause();
  std::vector<Outcome> list(static_cast<std::size_t>(count));
  parallel_blocks(list.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) list[i] = judge(compound_site(first_seed() + i));
  });
  std::vector<Judged> judged;
  for (const Outcome& o : list) judged.push_back(o.verdict);
  std::cout << "two causes at once (rows: the first of them)\n" << confusion_text(judged);
  std::cout << fmt::format("one of the two named: {:.1f} % of {}\n", 100.0 * share_right(judged),
                           judged.size());
  EXPECT_GE(share_right(judged), 0.85);
}

TEST(BenchmarkOfTruth, StepsRegainTheLink) {
  int offered = 0, regained = 0, sought = 0;
  for (const Outcome& o : outcomes()) {
    // Of an obstacle that is not in the map no step can know.
    if (o.verdict.planted == Cause::unmapped) continue;
    sought += o.step_sought ? 1 : 0;
    if (!o.step_offered) continue;
    ++offered;
    regained += o.step_regains ? 1 : 0;
    if (!o.step_regains && std::getenv("KERBRAY_TRUTH_MISSES") != nullptr) {
      std::cout << fmt::format("step fails: seed {} {}: {}\n", o.seed, to_string(o.verdict.planted),
                               o.sentence);
    }
  }
  std::cout << fmt::format("steps: sought {}, offered {}, regain the link {}\n", sought, offered,
                           regained);
  ASSERT_GT(offered, 0);
  EXPECT_GE(static_cast<double>(regained) / offered, 0.95);
}

}  // namespace
}  // namespace sim::test
