// How fast reflected paths are found and priced in a real quarter, beside trying every image.
#include <benchmark/benchmark.h>

#include <filesystem>
#include <fstream>
#include <memory>

#include "sim/cast/mirror_paths.h"
#include "sim/import/records.h"
#include "sim/link/link.h"
#include "sim/scene/scene_builder.h"
#include "tests/places.h"
#include "tests/support/town.h"

namespace {

using namespace sim;

const std::string west_village_folder = KERBRAY_OPEN_DATA "/nyc_west_village";

/// The node stands 8 m up on a crossing.
ImportedSite quarter() {
  if (!std::filesystem::exists(west_village_folder)) {
    return test::town(1, {.blocks = 12, .terrain = false});
  }
  const auto folder = std::filesystem::temp_directory_path() / "kerbray_bench_reflections";
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "site.toml")
      << "[site]\nname = \"bench\"\n[[buildings]]\nfile = \"" << west_village_folder
      << "/buildings.geojson\"\nheight_field = \"height\"\n"
      << "[[nodes.node]]\nid = \"n\"\nlon = -74.005854\nlat = 40.736534\nheight_agl_m = 8\n"
      << "[[nodes.node.sector]]\nsector = \"1\"\nazimuth_deg = 0\npattern = \"isotropic\"\n";
  return import_site(read_site((folder / "site.toml").string()));
}

struct Stage {
  Stage() {
    ImportReport report;
    ImportedSite site = quarter();
    scene = build_scene(site, report);
    caster = std::make_unique<RayCaster>(scene);
    const FootprintIndex footprints(scene);
    const ScenePoint node = scene.nodes.at(0).position;
    for (double y = -300.0; y < 300.0; y += 4.0) {
      for (double x = -300.0; x < 300.0; x += 4.0) {
        const ScenePoint p{node.x_m + x, node.y_m + y, scene.ground.flat_m + 1.5};
        if (!footprints.building_at(p.x_m, p.y_m)) places.push_back(p);
      }
    }
  }
  Scene scene;
  std::unique_ptr<RayCaster> caster;
  std::vector<ScenePoint> places;
};
const Stage& stage() {
  static const Stage the_stage;
  return the_stage;
}

/// Points a second on one core, images included once they stand.
void find_paths(benchmark::State& state) {
  const MirrorPaths mirrors(stage().scene,
                            {.order = static_cast<int>(state.range(0)), .longest_m = 1000.0});
  state.counters["images"] = static_cast<double>(mirrors.tree(*stage().caster, 0).images().size());
  std::size_t i = 0, paths = 0;
  for (auto _ : state) {
    paths += mirrors.find(*stage().caster, 0, stage().places[i]).size();
    i = (i + 97) % stage().places.size();
  }
  state.counters["points/s"] =
      benchmark::Counter(static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
  state.counters["paths/s"] =
      benchmark::Counter(static_cast<double>(paths), benchmark::Counter::kIsRate);
}
BENCHMARK(find_paths)->Arg(1)->Arg(2)->Arg(3);

/// The same paths of one bounce with no tree: every face of the quarter is tried for every point.
/// The ratio of points/s to find_paths/1 is what the tree saves.
void try_every_face(benchmark::State& state) {
  const ReflectingFaces faces(stage().scene);
  const ScenePoint node = stage().scene.nodes[0].position;
  const Transparent walls{.blocking = wide_mask, .ignored = {}};
  std::size_t i = 0, paths = 0;
  for (auto _ : state) {
    const ScenePoint to = stage().places[i];
    for (const ReflectingFace& face : faces.all()) {
      const double a = face.height_over_m(node), b = face.height_over_m(to);
      if (a < MirrorPaths::least_height_m || b < MirrorPaths::least_height_m) continue;
      const ScenePoint at =
          node + (a / (a + b)) * (to - node) - (2.0 * a * b / (a + b)) * face.normal;
      if (!face.contains(face.in_plane(at))) continue;
      const ScenePoint start = at + MirrorPaths::lift_m * face.normal;
      if (stage().caster->is_clear(start, to, walls) &&
          stage().caster->is_clear(node, start, walls)) {
        ++paths;
      }
    }
    i = (i + 97) % stage().places.size();
  }
  state.counters["points/s"] =
      benchmark::Counter(static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
  state.counters["paths/s"] =
      benchmark::Counter(static_cast<double>(paths), benchmark::Counter::kIsRate);
}
BENCHMARK(try_every_face);

/// Making the images of one node: once for all its receivers.
void make_images(benchmark::State& state) {
  for (auto _ : state) {
    const MirrorPaths mirrors(stage().scene,
                              {.order = static_cast<int>(state.range(0)), .longest_m = 1000.0});
    benchmark::DoNotOptimize(mirrors.tree(*stage().caster, 0).images().size());
  }
}
BENCHMARK(make_images)->Arg(1)->Arg(2)->Arg(3)->Unit(benchmark::kMillisecond);

/// The whole ledger, 0 to 3 bounces: links a second on one core.
void full_ledger(benchmark::State& state) {
  LinkSettings settings = link_settings(stage().scene);
  if (state.range(0) > 0) {
    settings.mirrors = std::make_shared<const MirrorPaths>(
        stage().scene,
        MirrorLimits{.order = static_cast<int>(state.range(0)), .longest_m = 1000.0});
    settings.mirrors->tree(*stage().caster, 0);
  }
  const Frequency f = stage().scene.nodes[0].sectors[0].frequency;
  std::size_t i = 0;
  for (auto _ : state) {
    const Receiver phone{.position = stage().places[i]};
    benchmark::DoNotOptimize(
        link_on(stage().scene, trace_path(*stage().caster, 0, f, phone, settings), 0, settings)
            .rsrp);
    i = (i + 97) % stage().places.size();
  }
  state.counters["links/s"] =
      benchmark::Counter(static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(full_ledger)->Arg(0)->Arg(1)->Arg(2)->Arg(3);

}  // namespace
