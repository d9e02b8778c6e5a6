// What must hold of every plan, whatever the town: recomputed here without the plan's own code.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <numbers>

#include "tests/places.h"
#include "tests/support/planned_site.h"
#include "tests/support/temp_folder.h"
#include "tests/support/west_village.h"

namespace sim {
namespace {

/// Crosses the triangle between the ends? By signed volumes.
bool crosses(ScenePoint a, ScenePoint b, ScenePoint v0, ScenePoint v1, ScenePoint v2) {
  const auto volume = [](ScenePoint p, ScenePoint q, ScenePoint r, ScenePoint s) {
    return dot(q - p, cross(r - p, s - p));
  };
  if ((volume(a, v0, v1, v2) > 0.0) == (volume(b, v0, v1, v2) > 0.0)) return false;
  const double e0 = volume(a, b, v0, v1), e1 = volume(a, b, v1, v2), e2 = volume(a, b, v2, v0);
  return (e0 >= 0.0 && e1 >= 0.0 && e2 >= 0.0) || (e0 <= 0.0 && e1 <= 0.0 && e2 <= 0.0);
}

/// Whether nothing but the node's own pole stands between, by every triangle in double.
bool brute_sight(const Scene& scene, const Node& node, ScenePoint phone) {
  const double length = distance_m(node.position, phone);
  const ScenePoint gap = (RayCaster::endpoint_gap_m / length) * (phone - node.position);
  const ScenePoint a = node.position + gap, b = phone - gap;
  for (const TriangleMesh& mesh : scene.meshes) {
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
      const auto& own = node.own_poles;
      if (std::find(own.begin(), own.end(), mesh.obstacle_of_triangle[t]) != own.end()) continue;
      const auto& v = mesh.triangles[t];
      if (crosses(a, b, mesh.vertices[v[0]], mesh.vertices[v[1]], mesh.vertices[v[2]]))
        return false;
    }
  }
  return true;
}

bool in_ring(const std::vector<ScenePoint>& ring, ScenePoint p) {
  bool inside = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    if ((ring[i].y_m > p.y_m) != (ring[j].y_m > p.y_m) &&
        p.x_m < (ring[j].x_m - ring[i].x_m) * (p.y_m - ring[i].y_m) / (ring[j].y_m - ring[i].y_m) +
                    ring[i].x_m) {
      inside = !inside;
    }
  }
  return inside;
}

/// Even-odd over shell and holes: courtyards are outside.
bool in_a_house(const Scene& scene, ScenePoint p) {
  for (const BuildingOutline& outline : scene.outlines) {
    for (const auto& polygon : outline.polygons) {
      bool inside = false;
      for (const auto& ring : polygon) inside = inside != in_ring(ring, p);
      if (inside) return true;
    }
  }
  return false;
}

double to_line_m(const std::vector<ScenePoint>& line, ScenePoint p) {
  double least = 1e300;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const double dx = line[i + 1].x_m - line[i].x_m, dy = line[i + 1].y_m - line[i].y_m;
    const double length = dx * dx + dy * dy;
    const double t =
        length == 0.0
            ? 0.0
            : std::clamp(((p.x_m - line[i].x_m) * dx + (p.y_m - line[i].y_m) * dy) / length, 0.0,
                         1.0);
    least = std::min(least, std::hypot(line[i].x_m + t * dx - p.x_m, line[i].y_m + t * dy - p.y_m));
  }
  return least;
}

ImportedSite town_with_streets(std::uint64_t seed, bool terrain) {
  ImportedSite site = test::town(seed, {.blocks = 6, .terrain = terrain, .furniture = true});
  for (int i = 0; i <= 6; ++i) {
    const double at = -180.0 + 60.0 * i, end = 178.0;
    site.streets.push_back({.id = fmt::format("row {}", i),
                            .name = fmt::format("Row {}", i),
                            .line = {{-end, at}, {end, at}},
                            .source = {}});
    site.streets.push_back({.id = fmt::format("column {}", i),
                            .name = fmt::format("Column {}", i),
                            .line = {{at, -end}, {at, end}},
                            .source = {}});
  }
  return site;
}

PlanOptions all_controls(double step_m = 30.0) {
  return {.step_m = step_m,
          .reach_m = 170.0,
          .count = {},
          .controls = {"pairs", "off_side", "in_car", "informative"},
          .node = {},
          .progress = {}};
}

class PlannedTown : public testing::TestWithParam<int> {
 protected:
  PlannedTown()
      : planned(town_with_streets(static_cast<std::uint64_t>(GetParam()), GetParam() % 2 == 1),
                all_controls()) {}
  test::PlannedSite planned;
};

TEST_P(PlannedTown, KeepsSightByTheMarginItStates) {
  const Scene& scene = planned.street.scene;
  std::uint64_t state = 17;
  std::size_t looked = 0, sure = 0;
  for (const PlannedPosition& p : planned.plan.positions) {
    const Node& node = scene.nodes[p.at.node];
    const bool dark = p.kind == PositionKind::pair_blocked || p.kind == PositionKind::beyond;
    EXPECT_EQ(brute_sight(scene, node, p.at.phone), !dark) << p.id << " " << to_string(p.kind);
    if (dark) continue;
    EXPECT_GT(p.margin.margin_m, 0.0) << p.id;
    for (int i = 0; i < 12; ++i) {
      const double turn = 2.0 * std::numbers::pi * test::next_number(state);
      const double r = p.margin.margin_m * std::sqrt(test::next_number(state));
      ScenePoint step{p.at.phone.x_m + r * std::cos(turn), p.at.phone.y_m + r * std::sin(turn),
                      0.0};
      const double ground = scene.ground.height_at(step.x_m, step.y_m);
      if (std::isnan(ground) || in_a_house(scene, step)) continue;
      step.z_m = ground + p.at.height_agl_m;
      ++looked;
      EXPECT_TRUE(brute_sight(scene, node, step))
          << p.id << " " << r << " of " << p.margin.margin_m;
    }
    if (!p.margin.at_least) ++sure;
  }
  EXPECT_GT(looked, 50U);
  EXPECT_GT(sure, 0U) << "no margin was ever limited: the town is too empty to test it";
}

TEST_P(PlannedTown, SetsStepsATenthOfAStepApartAtMost) {
  // Every walking distance is a multiple of the step to within a twentieth, so that neighbours on a
  // street are a step apart to within a tenth.
  std::size_t steps = 0;
  for (const PlannedPosition& p : planned.plan.positions) {
    if (p.kind != PositionKind::step) continue;
    ++steps;
    const double nearest = std::round(p.at.along_street_m / 30.0) * 30.0;
    EXPECT_GE(nearest, 30.0);
    EXPECT_NEAR(p.at.along_street_m, nearest, 1.5 + 1e-6) << p.id;
  }
  EXPECT_GT(steps, 5U);
}

TEST_P(PlannedTown, StandsInNoForbiddenPlace) {
  const Scene& scene = planned.street.scene;
  const double half = 0.5 * scene.conditions.defaults("street_width_local_m");
  for (const PlannedPosition& p : planned.plan.positions) {
    EXPECT_FALSE(in_a_house(scene, p.at.phone)) << p.id;
    EXPECT_FALSE(std::isnan(p.at.stand.ground.z_m)) << p.id;
    if (p.kind == PositionKind::in_car) {
      EXPECT_FALSE(p.note.empty()) << p.id;
      continue;
    }
    for (const Street& street : scene.streets) {
      // Rows of houses leave 16 m, so no street here is narrower than its class.
      EXPECT_GE(to_line_m(street.line, p.at.phone), half - 1e-6) << p.id << " in " << street.name;
    }
  }
}

TEST_P(PlannedTown, TheRouteVisitsAll) {
  const Plan& plan = planned.plan;
  ASSERT_EQ(plan.route.reached_m.size(), plan.positions.size());
  double walked = 0.0;
  std::size_t next = 0;
  for (std::size_t i = 1; i < plan.route.line.size(); ++i) {
    walked += horizontal_distance_m(plan.route.line[i - 1], plan.route.line[i]);
    while (next < plan.positions.size() &&
           horizontal_distance_m(plan.route.line[i], plan.positions[next].at.stand.ground) < 1e-6) {
      EXPECT_NEAR(walked, plan.route.reached_m[next], 1e-6);
      ++next;
    }
  }
  EXPECT_EQ(next, plan.positions.size());
  EXPECT_NEAR(walked, plan.route.length_m, 1e-6);
}

INSTANTIATE_TEST_SUITE_P(Towns, PlannedTown, testing::Values(3, 4, 8));

/// Properties that need no list of triangles: for towns of real size.
void expect_sound(const test::PlannedSite& planned) {
  const Scene& scene = planned.street.scene;
  for (const PlannedPosition& p : planned.plan.positions) {
    EXPECT_FALSE(in_a_house(scene, p.at.phone)) << p.id;
    EXPECT_TRUE(p.at.link.has_value()) << p.id;
    if (!p.at.sight) continue;
    const Node& node = scene.nodes[p.at.node];
    for (int i = 0; i < 16; ++i) {
      const double turn = i * std::numbers::pi / 8.0, r = p.margin.margin_m;
      ScenePoint step{p.at.phone.x_m + r * std::cos(turn), p.at.phone.y_m + r * std::sin(turn),
                      0.0};
      const double ground = scene.ground.height_at(step.x_m, step.y_m);
      if (std::isnan(ground) || in_a_house(scene, step)) continue;
      step.z_m = ground + p.at.height_agl_m;
      EXPECT_TRUE(planned.street.caster.is_clear(
          node.position, step, {.blocking = everything_mask, .ignored = node.own_poles}))
          << p.id;
    }
  }
}

TEST(PlannedWestVillage, IsSoundAndReachesAlongTheStreets) {
  if (!test::has_west_village()) GTEST_SKIP() << "no open data in " << test::west_village_folder;
  // Real footprints and streets (OpenStreetMap, see SOURCE.md); the node is invented.
  ImportedSite site = test::west_village(-74.004618, 40.734460, 9.0, true);
  const test::PlannedSite planned(site, {.step_m = 30.0,
                                         .reach_m = 300.0,
                                         .count = {},
                                         .controls = {"pairs"},
                                         .node = {},
                                         .progress = {}});
  EXPECT_GT(planned.count(PositionKind::step), 8U);
  EXPECT_GE(planned.count(PositionKind::pair_blocked), 1U);
  expect_sound(planned);
}

TEST(PlannedHelsinki, IsSoundAmongLampsTreesAndFootways) {
  const std::string file = KERBRAY_OPEN_DATA "/helsinki_lamps_trees/helsinki_2019.osm.pbf";
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "no open data in " << file;
  // Node on the mapped lamp node/2124509669 (OpenStreetMap, see SOURCE.md); its sectors are
  // invented.
  TempFolder folder;
  std::string text = "[site]\nname = \"Helsinki\"\n";
  for (const char* layer : {"[[buildings]]", "[[poles]]", "[[trees]]", "[streets]"}) {
    text += fmt::format("{}\nfile = \"{}\"\n", layer, file);
  }
  text +=
      "[[node]]\nid = \"n\"\nlon = 24.9440623\nlat = 60.1677344\nheight_agl_m = 7\n"
      "[[node.sector]]\nazimuth_deg = 80\nfrequency_ghz = 28\neirp_dbm = 50\npattern = "
      "\"isotropic\"\n";
  const ImportedSite site = import_site(read_site(folder.write("site.toml", text)));
  const WalkingMap map = read_walking_map(site);
  EXPECT_GT(map.addresses.size(), 10U);
  const test::PlannedSite planned(site,
                                  {.step_m = 30.0,
                                   .reach_m = 300.0,
                                   .count = {},
                                   .controls = {"pairs", "in_car"},
                                   .node = {},
                                   .progress = {}},
                                  map);
  EXPECT_GT(planned.count(PositionKind::step), 8U);
  expect_sound(planned);
}

}  // namespace
}  // namespace sim
