// What we write is opened with GDAL itself.
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "sim/gis/raster_file.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;

constexpr float none = std::numeric_limits<float>::quiet_NaN();

class Cog : public testing::Test {
 protected:
  static constexpr int side = 1200;
  void SetUp() override {
    GDALAllRegister();
    sight_.resize(spec_.size());
    level_.resize(spec_.size());
    for (int row = 0; row < side; ++row) {
      for (int col = 0; col < side; ++col) {
        sight_[spec_.index(col, row)] = static_cast<float>((col / 7) % 4);
        level_[spec_.index(col, row)] = -80.0F - 0.125F * static_cast<float>(row % 64);
      }
    }
    level_[spec_.index(3, 5)] = none;
    write("c.tif");
  }
  void write(const std::string& name) {
    write_cog(folder_.file(name), crs_, spec_, {{"sight", sight_}, {"rsrp_dbm", level_}},
              {{"kerbray_site", "invented"}});
  }
  std::unique_ptr<GDALDataset> open() {
    return std::unique_ptr<GDALDataset>(GDALDataset::Open(folder_.file("c.tif").c_str()));
  }
  GridSpec spec_{500000.0, 4428800.0, 2.0, 2.0, side, side};
  Crs crs_ = Crs::parse("EPSG:32625", {});
  std::vector<float> sight_, level_;
  TempFolder folder_;
};

// OGC 21-026 Cloud Optimized GeoTIFF: tiles, and overviews of a large image; GDAL marks its own
// with LAYOUT=COG.
TEST_F(Cog, HasTilesAndOverviews) {
  const auto file = open();
  ASSERT_TRUE(file);
  EXPECT_STREQ(file->GetMetadataItem("LAYOUT", "IMAGE_STRUCTURE"), "COG");
  int width = 0, height = 0;
  file->GetRasterBand(1)->GetBlockSize(&width, &height);
  EXPECT_EQ(width, 512);
  EXPECT_EQ(height, 512);
  EXPECT_GE(file->GetRasterBand(1)->GetOverviewCount(), 1);
}

TEST_F(Cog, NamesItsBandsAndKeepsItsNotes) {
  const auto file = open();
  ASSERT_EQ(file->GetRasterCount(), 2);
  EXPECT_STREQ(file->GetRasterBand(1)->GetDescription(), "sight");
  EXPECT_STREQ(file->GetRasterBand(2)->GetDescription(), "rsrp_dbm");
  EXPECT_STREQ(file->GetMetadataItem("kerbray_site"), "invented");
  EXPECT_EQ(file->GetRasterBand(1)->GetRasterDataType(), GDT_Float32);
}

TEST_F(Cog, LiesWhereTheGridLies) {
  const auto file = open();
  double t[6];
  ASSERT_EQ(file->GetGeoTransform(t), CE_None);
  EXPECT_THAT(t, testing::ElementsAre(500000.0, 2.0, 0.0, 4428800.0, 0.0, -2.0));
  EXPECT_STREQ(file->GetSpatialRef()->GetAuthorityCode(nullptr), "32625");
}

TEST_F(Cog, KeepsEveryValueAndNoDataAsNaN) {
  const auto file = open();
  std::vector<float> read(spec_.size());
  ASSERT_EQ(file->GetRasterBand(2)->RasterIO(GF_Read, 0, 0, side, side, read.data(), side, side,
                                             GDT_Float32, 0, 0, nullptr),
            CE_None);
  EXPECT_TRUE(std::isnan(read[spec_.index(3, 5)]));
  read[spec_.index(3, 5)] = level_[spec_.index(3, 5)] = 0.0F;
  EXPECT_TRUE(read == level_);
  int has_no_data = 0;
  EXPECT_TRUE(std::isnan(file->GetRasterBand(2)->GetNoDataValue(&has_no_data)));
  EXPECT_NE(has_no_data, 0);
}

TEST_F(Cog, OverviewsHoldOnlyClassesThatExist) {
  const auto file = open();
  GDALRasterBand& small = *file->GetRasterBand(1)->GetOverview(0);
  std::vector<float> read(static_cast<std::size_t>(small.GetXSize()) *
                          static_cast<std::size_t>(small.GetYSize()));
  ASSERT_EQ(small.RasterIO(GF_Read, 0, 0, small.GetXSize(), small.GetYSize(), read.data(),
                           small.GetXSize(), small.GetYSize(), GDT_Float32, 0, 0, nullptr),
            CE_None);
  EXPECT_THAT(read, testing::Each(testing::AnyOf(0.0F, 1.0F, 2.0F, 3.0F)));
}

TEST_F(Cog, SameBandsGiveTheSameBytesAndNoOtherFile) {
  write("d.tif");
  EXPECT_TRUE(folder_.read("c.tif") == folder_.read("d.tif"));
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(folder_.path())) {
    names.push_back(entry.path().filename());
  }
  EXPECT_THAT(names, testing::UnorderedElementsAre("c.tif", "d.tif"));
}

TEST_F(Cog, FolderThatIsNotThereIsRefused) {
  EXPECT_THAT(refusal([&] { write("no/c.tif"); }), HasSubstr("cannot be written"));
}

// Closed form: the level r of a cone of slope 1 is the circle of radius r, length 2 pi r. Linear
// interpolation along 1 m cell edges keeps vertices within 1/(8 r) of it.
TEST(Contours, OfAConeAreCircles) {
  const GridSpec spec{-60.5, 60.5, 1.0, 1.0, 121, 121};
  Band cone{"distance_m", std::vector<float>(spec.size())};
  for (int row = 0; row < spec.rows; ++row) {
    for (int col = 0; col < spec.cols; ++col) {
      cone.values[spec.index(col, row)] =
          static_cast<float>(std::hypot(spec.center_x_m(col), spec.center_y_m(row)));
    }
  }
  const auto rings = contours(spec, cone, {20.3, 45.7});
  ASSERT_EQ(rings.size(), 2U);
  for (const Contour& ring : rings) {
    ASSERT_EQ(ring.lines.lines.size(), 1U) << ring.level;
    const CoordinateList& line = ring.lines.lines[0];
    double length = 0.0;
    for (std::size_t i = 0; i < line.size(); ++i) {
      EXPECT_NEAR(std::hypot(line[i].x, line[i].y), ring.level, 1.0 / (8.0 * ring.level) + 1e-4);
      if (i > 0) length += std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
    }
    EXPECT_EQ(line.front().x, line.back().x) << "closed";
    EXPECT_NEAR(length, 2.0 * std::numbers::pi * ring.level, 0.002 * length);
  }
}

TEST(Contours, StayAwayFromCellsWithoutAnswer) {
  const GridSpec spec{0.0, 20.0, 1.0, 1.0, 20, 20};
  Band ramp{"p_hold", std::vector<float>(spec.size())};
  for (int row = 0; row < 20; ++row) {
    for (int col = 0; col < 20; ++col) {
      ramp.values[spec.index(col, row)] = row < 10 ? none : static_cast<float>(col) / 19.0F;
    }
  }
  const auto lines = contours(spec, ramp, {0.51});
  ASSERT_FALSE(lines.at(0).lines.lines.empty());
  for (const CoordinateList& line : lines[0].lines.lines) {
    for (const Coordinate& c : line) {
      EXPECT_LE(c.y, 10.5);
      EXPECT_NEAR(c.x, 0.5 + 0.51 * 19.0, 1e-4);  // the ramp solved for 0.51
    }
  }
}

TEST(Contours, LevelThatIsNotReachedHasNoLines) {
  const GridSpec spec{0.0, 4.0, 1.0, 1.0, 4, 4};
  EXPECT_TRUE(contours(spec, {"p", std::vector<float>(16, 0.2F)}, {0.9}).at(0).lines.lines.empty());
}

}  // namespace
}  // namespace sim
