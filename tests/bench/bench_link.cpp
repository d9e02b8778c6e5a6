// How fast the whole ledger of a link is, beside the tracing of its path alone.
#include <benchmark/benchmark.h>

#include <chrono>
#include <cmath>
#include <memory>

#include "sim/link/link.h"
#include "sim/predict/prediction.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"
#include "tests/support/west_village.h"

namespace {

using namespace sim;

/// Outdoor points 2 m apart, 600 m x 600 m about a node 8 m up.
struct Stage {
  explicit Stage(const ImportedSite& site) {
    ImportReport report;
    scene = build_scene(site, report);
    caster = std::make_unique<RayCaster>(scene);
    settings = link_settings(scene);
    const FootprintIndex footprints(scene);
    const ScenePoint node = scene.nodes.at(0).position;
    for (double y = -300.0; y < 300.0; y += 2.0) {
      for (double x = -300.0; x < 300.0; x += 2.0) {
        const double px = node.x_m + x, py = node.y_m + y;
        const double ground = scene.ground.height_at(px, py);
        if (std::isnan(ground) || footprints.building_at(px, py)) continue;
        places.push_back({px, py, ground + 1.5});
      }
    }
  }
  Scene scene;
  std::unique_ptr<RayCaster> caster;
  LinkSettings settings;
  std::vector<ScenePoint> places;
};

ImportedSite village() { return test::west_village(-74.005854, 40.736534, 8.0, true); }

/// With three sectors all round, each a panel with its beams.
ImportedSite village_of_three_sectors() {
  ImportedSite site = village();
  std::vector<SectorRecord>& sectors = site.nodes.at(0).sectors;
  sectors.resize(3, sectors.at(0));
  for (std::size_t s = 0; s < sectors.size(); ++s) {
    sectors[s].id = std::to_string(s + 1);
    sectors[s].pattern = "3gpp-array";
    sectors[s].azimuth = Angle::degrees(120.0 * static_cast<double>(s));
  }
  return site;
}

const Stage& stage_of(int which) {
  if (which == 0) {
    static const Stage stage(test::town(1, {.blocks = 12}));
    return stage;
  }
  if (which == 1) {
    static const Stage stage(village());
    return stage;
  }
  static const Stage stage(village_of_three_sectors());
  return stage;
}

/// 0 = invented town with terrain, 1 = West Village with its poles and trees. One thread, no
/// reflections. Counter `ratio`: ledgers a second over traced paths a second, in the same run.
void ledgers(benchmark::State& state) {
  if (state.range(0) == 1 && !test::has_west_village()) {
    state.SkipWithError("no open data");
    return;
  }
  const Stage& stage = stage_of(static_cast<int>(state.range(0)));
  const Node& node = stage.scene.nodes[0];
  const Frequency f = node.sectors[0].frequency;
  const auto seconds = [](auto work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  };
  double ledger_s = 0.0, path_s = 0.0;
  std::size_t i = 0, count = 0, seen = 0;
  for (auto _ : state) {
    const std::size_t block = 256;
    const double elapsed = seconds([&] {
      for (std::size_t k = 0; k < block; ++k) {
        const ScenePoint b = stage.places[i = (i + 7919) % stage.places.size()];
        const LinkResult link =
            link_on(stage.scene, trace_path(*stage.caster, 0, f, {.position = b}, stage.settings),
                    0, stage.settings);
        seen += link.sight == Sight::los;
        benchmark::DoNotOptimize(link.rsrp);
      }
    });
    state.SetIterationTime(elapsed);
    ledger_s += elapsed;
    path_s += seconds([&] {
      for (std::size_t k = 0; k < block; ++k) {
        const ScenePoint b = stage.places[i = (i + 7919) % stage.places.size()];
        benchmark::DoNotOptimize(
            stage.caster->profile(node.position, b, f.wavelength_m()).length_m);
      }
    });
    count += block;
  }
  state.counters["ledgers_per_s"] = static_cast<double>(count) / ledger_s;
  state.counters["paths_per_s"] = static_cast<double>(count) / path_s;
  state.counters["ratio"] = path_s / ledger_s;
  state.counters["los_share"] = static_cast<double>(seen) / static_cast<double>(count);
}
BENCHMARK(ledgers)->Arg(0)->Arg(1)->UseManualTime()->Unit(benchmark::kMillisecond);

/// A point to one node with its three sectors, as a prediction does it: one path, three ledgers.
void points(benchmark::State& state) {
  if (!test::has_west_village()) {
    state.SkipWithError("no open data");
    return;
  }
  const Stage& stage = stage_of(2);
  std::size_t i = 0;
  for (auto _ : state) {
    const ScenePoint place = stage.places[i = (i + 7919) % stage.places.size()];
    benchmark::DoNotOptimize(
        node_links(*stage.caster, 0, {.position = place}, stage.settings).front().rsrp);
  }
  state.counters["points_per_s"] =
      benchmark::Counter(static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(points);

}  // namespace
