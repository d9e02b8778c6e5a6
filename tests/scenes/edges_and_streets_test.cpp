// The edges of coverage and the table along the streets, read back with foreign libraries.
#include <ogrsf_frmts.h>

#include <cmath>
#include <set>
#include <sstream>

#include "tests/scenes/demo_prediction.h"

namespace sim {
namespace {

TEST(StreetOutputs, EdgesCloseOrEndWhereThereIsNoAnswer) {
  // A contour by its definition: wherever it passes, the four cell centres round it have the level
  // between them; it ends only beside a cell without an answer (a building, the rim of the radius).
  const Dataset tif(prediction() / "coverage.tif", GDAL_OF_RASTER);
  const int cols = tif.handle->GetRasterXSize(), rows = tif.handle->GetRasterYSize();
  std::vector<float> p(static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows));
  ASSERT_EQ(tif.handle->GetRasterBand(8)->RasterIO(GF_Read, 0, 0, cols, rows, p.data(), cols, rows,
                                                   GDT_Float32, 0, 0),
            CE_None);
  double t[6];
  tif.handle->GetGeoTransform(t);
  struct Around {
    double low = 2.0, high = -1.0;
    int unknown = 0;
  };
  const auto around = [&](double x, double y) {
    const double u = (x - t[0]) / t[1] - 0.5, v = (y - t[3]) / t[5] - 0.5;
    Around found;
    for (const double c : {std::floor(u + 1e-6), std::ceil(u - 1e-6)}) {
      for (const double r : {std::floor(v + 1e-6), std::ceil(v - 1e-6)}) {
        const bool inside = c >= 0 && r >= 0 && c < cols && r < rows;
        const float value = inside
                                ? p[static_cast<std::size_t>(r) * static_cast<std::size_t>(cols) +
                                    static_cast<std::size_t>(c)]
                                : std::numeric_limits<float>::quiet_NaN();
        if (std::isnan(value)) {
          ++found.unknown;
          continue;
        }
        found.low = std::min(found.low, static_cast<double>(value));
        found.high = std::max(found.high, static_cast<double>(value));
      }
    }
    return found;
  };
  const Dataset gpkg(prediction() / "study.gpkg", GDAL_OF_VECTOR);
  std::set<double> levels;
  std::size_t vertices = 0, closed = 0, open = 0;
  for (const OGRFeatureUniquePtr& feature : *gpkg.handle->GetLayerByName("edge")) {
    const double level = feature->GetFieldAsDouble("p_hold");
    levels.insert(level);
    const OGRGeometry* shape = feature->GetGeometryRef();
    const auto* lines = shape->toMultiLineString();
    for (const OGRLineString* line : *lines) {
      const int last = line->getNumPoints() - 1;
      for (int i = 0; i <= last; ++i) {
        const Around here = around(line->getX(i), line->getY(i));
        ++vertices;
        if (here.unknown > 0) continue;
        EXPECT_LE(here.low, level + 1e-5);
        EXPECT_GE(here.high, level - 1e-5);
      }
      if (line->get_IsClosed()) {
        ++closed;
        continue;
      }
      ++open;
      for (const int end : {0, last}) {
        EXPECT_GT(around(line->getX(end), line->getY(end)).unknown, 0)
            << level << " at " << line->getX(end) << " " << line->getY(end);
      }
      for (int i = 0; i <= last; ++i) {
        EXPECT_LT(around(line->getX(i), line->getY(i)).unknown, 4) << "runs through a building";
      }
    }
  }
  EXPECT_EQ(levels, (std::set<double>{0.1, 0.5, 0.9}));
  EXPECT_GT(vertices, 100U);
  EXPECT_GT(closed + open, 3U);
}

TEST(StreetOutputs, AlongStreetsIsARowPerPlaceWithRangesAndBothWalks) {
  std::istringstream text(test::text_of(prediction() / "along_streets.csv"));
  std::string line;
  ASSERT_TRUE(std::getline(text, line));
  EXPECT_EQ(line,
            "street,street_id,from_node,off_street_m,along_m,x_m,y_m,node,sector,distance_m,sight,"
            "rsrp_dbm,snr_db,p_hold,downlink_low_mbps,downlink_mbps,downlink_high_mbps,"
            "uplink_low_mbps,uplink_mbps,uplink_high_mbps,state,outward,inward,cause,cause_id");
  std::size_t rows = 0;
  while (std::getline(text, line)) {
    std::vector<std::string> cells;
    std::stringstream cut(line);
    for (std::string cell; std::getline(cut, cell, ',');) cells.push_back(cell);
    ASSERT_GE(cells.size(), 24U);
    ++rows;
    EXPECT_LE(std::stod(cells[14]), std::stod(cells[15]));
    EXPECT_LE(std::stod(cells[15]), std::stod(cells[16]));
    // Hold without history holds on any walk; drop on none.
    if (cells[20] == "hold") {
      EXPECT_EQ(cells[21] + cells[22], "holdhold") << line;
    }
    if (cells[20] == "drop") {
      EXPECT_EQ(cells[21] + cells[22], "dropdrop") << line;
    }
  }
  EXPECT_GT(rows, 50U);
}

}  // namespace
}  // namespace sim
