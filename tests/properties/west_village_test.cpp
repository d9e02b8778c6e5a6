// Rays between buildings of a real quarter against exact polygon intersection.
#include <fmt/format.h>
#include <geos_c.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "sim/cast/ray_caster.h"
#include "sim/import/records.h"
#include "sim/scene/scene_builder.h"
#include "tests/places.h"
#include "tests/support/temp_folder.h"
#include "tests/support/town.h"

namespace sim {
namespace {

const std::string data_folder = KERBRAY_OPEN_DATA "/nyc_west_village";

/// Footprints in GEOS, and the question whether a ray meets the prism over one of them.
class Prisms {
 public:
  explicit Prisms(const Scene& scene) : geos_(GEOS_init_r()) {
    for (const BuildingOutline& outline : scene.outlines) {
      for (const auto& rings : outline.polygons) {
        std::vector<GEOSGeometry*> made;
        for (const auto& ring : rings) made.push_back(linear_ring(ring));
        GEOSGeometry* polygon = GEOSGeom_createPolygon_r(geos_, made[0], made.data() + 1,
                                                         static_cast<unsigned>(made.size() - 1));
        const Obstacle& o = scene.obstacles[outline.obstacle];
        // The walls reach below the ground; where the thing is open below, base_m is its underside.
        prisms_.push_back(
            {polygon, GEOSPrepare_r(geos_, polygon), o.base_m - (o.base_m > 3.0 ? 0 : 1), o.top_m});
      }
    }
  }
  ~Prisms() {
    for (const Prism& p : prisms_) {
      GEOSPreparedGeom_destroy_r(geos_, p.prepared);
      GEOSGeom_destroy_r(geos_, p.polygon);
    }
    GEOS_finish_r(geos_);
  }
  Prisms(const Prisms&) = delete;
  Prisms& operator=(const Prisms&) = delete;

  /// Grown (or shrunk) by `grow_m` upwards and downwards only.
  bool blocked(ScenePoint a, ScenePoint b, double grow_m = 0.0) const {
    GEOSGeometry* line = segment(a, b);
    bool found = false;
    for (const Prism& p : prisms_) {
      if (GEOSPreparedIntersects_r(geos_, p.prepared, line) != 1) continue;
      GEOSGeometry* cut = GEOSIntersection_r(geos_, p.polygon, line);
      found = found || cut_blocks(cut, p, a, b, grow_m);
      GEOSGeom_destroy_r(geos_, cut);
      if (found) break;
    }
    GEOSGeom_destroy_r(geos_, line);
    return found;
  }

 private:
  struct Prism {
    GEOSGeometry* polygon;
    const GEOSPreparedGeometry* prepared;
    double bottom_m, top_m;
  };
  GEOSGeometry* linear_ring(const std::vector<ScenePoint>& ring) const {
    const auto n = static_cast<unsigned>(ring.size());
    GEOSCoordSequence* sequence = GEOSCoordSeq_create_r(geos_, n + 1, 2);
    for (unsigned i = 0; i <= n; ++i) {
      GEOSCoordSeq_setXY_r(geos_, sequence, i, ring[i % n].x_m, ring[i % n].y_m);
    }
    return GEOSGeom_createLinearRing_r(geos_, sequence);
  }
  GEOSGeometry* segment(ScenePoint a, ScenePoint b) const {
    GEOSCoordSequence* sequence = GEOSCoordSeq_create_r(geos_, 2, 2);
    GEOSCoordSeq_setXY_r(geos_, sequence, 0, a.x_m, a.y_m);
    GEOSCoordSeq_setXY_r(geos_, sequence, 1, b.x_m, b.y_m);
    return GEOSGeom_createLineString_r(geos_, sequence);
  }
  bool cut_blocks(const GEOSGeometry* cut, const Prism& p, ScenePoint a, ScenePoint b,
                  double grow_m) const {
    for (int i = 0; i < GEOSGetNumGeometries_r(geos_, cut); ++i) {
      const GEOSGeometry* part = GEOSGetGeometryN_r(geos_, cut, i);
      double low = 1e300, high = -1e300;
      const GEOSCoordSequence* sequence = GEOSGeom_getCoordSeq_r(geos_, part);
      unsigned n = 0;
      if (sequence == nullptr || GEOSCoordSeq_getSize_r(geos_, sequence, &n) == 0) continue;
      for (unsigned k = 0; k < n; ++k) {
        double x = 0.0, y = 0.0;
        GEOSCoordSeq_getXY_r(geos_, sequence, k, &x, &y);
        const double share = std::hypot(x - a.x_m, y - a.y_m) / horizontal_distance_m(a, b);
        const double z = a.z_m + share * (b.z_m - a.z_m);
        low = std::min(low, z);
        high = std::max(high, z);
      }
      if (low < p.top_m + grow_m && high > p.bottom_m - grow_m) return true;
    }
    return false;
  }
  GEOSContextHandle_t geos_;
  std::vector<Prism> prisms_;
};

/// Whether moving an end by 2 cm, or the roofs up or down, changes the exact answer: then a
/// silhouette is within 2 cm.
bool near_silhouette(const Prisms& prisms, ScenePoint a, ScenePoint b, bool exact) {
  const double length = horizontal_distance_m(a, b);
  const ScenePoint side{-0.02 * (b.y_m - a.y_m) / length, 0.02 * (b.x_m - a.x_m) / length, 0.0};
  return prisms.blocked(a + side, b + side) != exact ||
         prisms.blocked(a - side, b - side) != exact || prisms.blocked(a, b, 0.02) != exact ||
         prisms.blocked(a, b, -0.02) != exact;
}

TEST(WestVillage, BlockedExactlyWherePolygonsSayIt) {
  if (!std::filesystem::exists(data_folder)) GTEST_SKIP() << "no open data in " << data_folder;
  const auto folder = own_folder() / "exact";
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "site.toml")
      << "[site]\nname = \"test\"\n[[buildings]]\nfile = \"" << data_folder
      << "/buildings.geojson\"\nheight_field = \"height\"\n"
      << "[[nodes.node]]\nid = \"n\"\nlon = -74.00586\nlat = 40.73645\nheight_agl_m = 80\n"
      << "[[nodes.node.sector]]\nsector = \"1\"\nazimuth_deg = 0\n";
  const ImportedSite site = import_site(read_site((folder / "site.toml").string()));
  ImportReport report;
  const Scene scene = build_scene(site, report);
  const RayCaster caster(scene);
  const FootprintIndex footprints(scene);
  const Prisms prisms(scene);
  const ScenePoint middle = scene.nodes[0].position;
  std::uint64_t state = 17;
  const auto street_place = [&](double half_m, double z_m) {
    for (;;) {
      const double x = middle.x_m + half_m * (2.0 * test::next_number(state) - 1.0);
      const double y = middle.y_m + half_m * (2.0 * test::next_number(state) - 1.0);
      if (!footprints.building_at(x, y)) return ScenePoint{x, y, z_m};
    }
  };
  std::size_t rays = 0, blocked_count = 0, differ = 0, unexplained = 0;
  for (int node = 0; node < 5; ++node) {
    const ScenePoint a = street_place(250.0, 8.0 + 6.0 * node);
    for (int i = 0; i < 10'000; ++i) {
      const ScenePoint b = street_place(300.0, 1.5);
      const bool exact = prisms.blocked(a, b);
      const Transparent buildings_only{.blocking = mask_of(ObstacleKind::building), .ignored = {}};
      const bool ours = !caster.is_clear(a, b, buildings_only);
      ++rays;
      blocked_count += exact ? 1 : 0;
      if (ours == exact) continue;
      ++differ;
      if (!near_silhouette(prisms, a, b, exact)) {
        ++unexplained;
        fmt::print("  {:.3f} {:.3f} {:.1f} -> {:.3f} {:.3f}: exact {} ours {}\n", a.x_m, a.y_m,
                   a.z_m, b.x_m, b.y_m, exact, ours);
      }
    }
  }
  fmt::print("west village: {} buildings, {} rays, {} blocked, {} differ, {} farther than 2 cm\n",
             scene.outlines.size(), rays, blocked_count, differ, unexplained);
  EXPECT_GT(blocked_count, rays / 10);
  EXPECT_LT(blocked_count, rays);
  EXPECT_LE(differ * 1000, rays);
  EXPECT_EQ(unexplained, 0U);
}

}  // namespace
}  // namespace sim
