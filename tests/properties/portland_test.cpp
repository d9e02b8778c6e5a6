// Rays over a real hilly city's terrain against profiles walked in double precision, with GDAL's
// viewshed beside both.
#include <fmt/format.h>
#include <gdal_alg.h>
#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <unistd.h>

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

const std::string terrain = KERBRAY_OPEN_DATA "/portland_terrain/portland-ned.tif";

/// A hillside west of the river, 1.2 km around.
ImportedSite portland() {
  const auto folder = own_folder() / "portland";
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "site.toml")
      << "[site]\nname = \"test\"\n[ground]\nfile = \"" << terrain << "\"\n"
      << "[[node]]\nid = \"n\"\nlon = -122.6955\nlat = 45.5180\nheight_agl_m = 8\n"
      << "[[node.sector]]\nsector = \"1\"\nazimuth_deg = 0\nfrequency_ghz = 28\neirp_dbm = 40\n"
      << "[predict]\nradius_m = 1200\n";
  return import_site(read_site((folder / "site.toml").string()));
}

/// The terrain's two triangles per square, walked every 10 cm: how far it stands above the ray at
/// most. Plain arithmetic on the cell heights, apart from the scene and its kernel.
class Walker {
 public:
  explicit Walker(const HeightGrid& grid) : grid_(grid) {}

  double height(double x, double y) const {
    const GridSpec& s = grid_.spec;
    const double col = (x - s.west_m) / s.cell_x_m - 0.5, row = (s.north_m - y) / s.cell_y_m - 0.5;
    const int c = static_cast<int>(std::floor(col)), r = static_cast<int>(std::floor(row));
    if (c < 0 || r < 0 || c + 1 >= s.cols || r + 1 >= s.rows) return std::nan("");
    const double east = col - c, south = row - r, north = 1.0 - south;
    const auto z = [&](int dc, int dr) {
      return static_cast<double>(grid_.values[s.index(c + dc, r + dr)]);
    };
    // Below the diagonal from south-west to north-east, or above it.
    return east >= north ? z(0, 1) * (1.0 - east) + z(1, 1) * (east - north) + z(1, 0) * north
                         : z(0, 1) * (1.0 - north) + z(0, 0) * (north - east) + z(1, 0) * east;
  }

  double highest_above(ScenePoint a, ScenePoint b) const {
    const double length = horizontal_distance_m(a, b);
    const int steps = static_cast<int>(std::ceil(length / 0.1));
    double most = -1e300;
    for (int i = 1; i < steps; ++i) {
      const double t = static_cast<double>(i) / steps;
      const ScenePoint p = a + t * (b - a);
      most = std::max(most, height(p.x_m, p.y_m) - p.z_m);
    }
    return most;
  }

 private:
  const HeightGrid& grid_;
};

struct Hillside {
  ImportedSite site = portland();
  ImportReport report;
  Scene scene = build_scene(site, report);
  RayCaster caster{scene};
  Walker walker{scene.ground.grid};
};

struct Portland : testing::Test {
  void SetUp() override {
    if (!std::filesystem::exists(terrain)) GTEST_SKIP() << "no open data at " << terrain;
  }
};

TEST_F(Portland, TerrainBlocksWhereProfilesSayIt) {
  const Hillside hillside;
  const Scene& scene = hillside.scene;
  const RayCaster& caster = hillside.caster;
  const Walker& walker = hillside.walker;
  const ScenePoint node = scene.nodes[0].position;
  std::uint64_t state = 3;
  std::size_t rays = 0, blocked = 0, differ = 0, unexplained = 0;
  while (rays < 20'000) {
    const auto place = [&](double height_m) {
      ScenePoint p{node.x_m + 1200.0 * (2.0 * test::next_number(state) - 1.0),
                   node.y_m + 1200.0 * (2.0 * test::next_number(state) - 1.0), 0.0};
      p.z_m = scene.ground.height_at(p.x_m, p.y_m) + height_m;
      return p;
    };
    const ScenePoint a = place(8.0), b = place(1.5);
    if (std::isnan(a.z_m) || std::isnan(b.z_m)) continue;
    const double above = walker.highest_above(a, b);
    const bool ours = !caster.is_clear(a, b);
    ++rays;
    blocked += above > 0.0 ? 1U : 0U;
    if (ours == (above > 0.0)) continue;
    ++differ;
    // A walk in steps of 10 cm can miss a crest by as much as the ground bends within a step.
    unexplained += std::abs(above) > 0.02 ? 1U : 0U;
  }
  fmt::print("portland terrain: {} rays, {} blocked, {} differ, {} by more than 2 cm\n", rays,
             blocked, differ, unexplained);
  EXPECT_GT(blocked, rays / 10);
  EXPECT_LT(blocked, rays - rays / 10);
  EXPECT_LE(differ * 1000, rays);
  EXPECT_EQ(unexplained, 0U);
}

TEST_F(Portland, ViewshedBesideBoth) {
  const Hillside hillside;
  const Scene& scene = hillside.scene;
  const RayCaster& caster = hillside.caster;
  const Walker& walker = hillside.walker;
  const ScenePoint node = scene.nodes[0].position;
  const HeightGrid& grid = scene.ground.grid;
  const GridSpec& s = grid.spec;
  GDALAllRegister();
  GDALDriver* memory = GetGDALDriverManager()->GetDriverByName("MEM");
  GDALDataset* dataset = memory->Create("", s.cols, s.rows, 1, GDT_Float32, nullptr);
  double transform[6] = {s.west_m, s.cell_x_m, 0.0, s.north_m, 0.0, -s.cell_y_m};
  dataset->SetGeoTransform(transform);
  auto heights = grid.values;
  ASSERT_EQ(dataset->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, s.cols, s.rows, heights.data(),
                                                s.cols, s.rows, GDT_Float32, 0, 0),
            CE_None);
  // The observer stands on a cell there, so ours does too.
  const int col = static_cast<int>((node.x_m - s.west_m) / s.cell_x_m),
            row = static_cast<int>((s.north_m - node.y_m) / s.cell_y_m);
  ScenePoint eye{s.center_x_m(col), s.center_y_m(row), 0.0};
  eye.z_m = walker.height(eye.x_m + 1e-6, eye.y_m - 1e-6) + 8.0;
  GDALDatasetH view =
      GDALViewshedGenerate(GDALGetRasterBand(dataset, 1), "MEM", "", nullptr, eye.x_m, eye.y_m, 8.0,
                           1.5, 255.0, 0.0, 0.0, -1.0, 0.0 /* no curvature, as in our scene */,
                           GVM_Edge, 0.0, nullptr, nullptr, GVOT_NORMAL, nullptr);
  ASSERT_NE(view, nullptr);
  ASSERT_EQ(GDALGetRasterXSize(view), s.cols);
  std::vector<std::uint8_t> visible(s.size());
  ASSERT_EQ(GDALRasterIO(GDALGetRasterBand(view, 1), GF_Read, 0, 0, s.cols, s.rows, visible.data(),
                         s.cols, s.rows, GDT_Byte, 0, 0),
            CE_None);
  std::size_t cells = 0, ours_differ = 0, theirs_differ = 0, theirs_near = 0, far_wrong = 0;
  for (int r = 2; r + 2 < s.rows; r += 2) {
    for (int c = 2; c + 2 < s.cols; c += 2) {
      const double x = s.center_x_m(c), y = s.center_y_m(r);
      ScenePoint b{x, y, static_cast<double>(grid.values[s.index(c, r)]) + 1.5};
      if (std::isnan(b.z_m) || horizontal_distance_m(eye, b) < 30.0) continue;
      const double above = walker.highest_above(eye, b);
      const bool exact = above <= 0.0;
      ++cells;
      ours_differ += caster.is_clear(eye, b) == exact ? 0U : 1U;
      if ((visible[s.index(c, r)] > 0) == exact) continue;
      ++theirs_differ;
      // It interpolates between neighbours of the line of sight, not on the surface itself.
      (std::abs(above) < 1.0 ? theirs_near : far_wrong) += 1;
    }
  }
  GDALClose(view);
  GDALClose(dataset);
  fmt::print(
      "portland viewshed: {} cells; against double profiles the ray caster differs in {} ({:.3f} "
      "%), GDAL {} in {} ({:.2f} %), of these {} within 1 m of grazing and {} beyond\n",
      cells, ours_differ, 100.0 * static_cast<double>(ours_differ) / static_cast<double>(cells),
      GDAL_RELEASE_NAME, theirs_differ,
      100.0 * static_cast<double>(theirs_differ) / static_cast<double>(cells), theirs_near,
      far_wrong);
  EXPECT_LE(ours_differ * 1000, cells);
  // A comparison, not an oracle: it walks from neighbour to neighbour and is known to err, but both
  // must see the same hills.
  EXPECT_LT(theirs_differ * 10, cells);
}

}  // namespace
}  // namespace sim
