#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "sim/gis/raster_file.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;

/// Exact in float: multiples of 1/4 below 2^20.
double plane(double x, double y) { return 10.0 + 0.5 * x - 0.25 * y; }

class RasterRead : public testing::Test {
 protected:
  RasterRead() { GDALAllRegister(); }

  /// 12 x 10 cells of 2 m from (100, 200) to (124, 220), as an ASCII grid.
  std::string grid(double value(double, double), const std::string& no_data_cell = "") {
    std::string text =
        "ncols 12\nnrows 10\nxllcorner 100\nyllcorner 200\ncellsize 2\nNODATA_value -9999\n";
    for (int row = 0; row < 10; ++row) {
      for (int col = 0; col < 12; ++col) {
        const bool hole = row == 4 && col == 5 && !no_data_cell.empty();
        text +=
            (hole ? no_data_cell : std::to_string(value(101.0 + 2 * col, 219.0 - 2 * row))) + " ";
      }
      text += "\n";
    }
    return folder_.write("t.asc", text);
  }
  /// The .prj that GIS programs write: WKT in ESRI's form.
  void with_crs() { write_prj("t.prj", crs_); }
  void write_prj(const std::string& name, const Crs& crs) {
    OGRSpatialReference srs;
    srs.importFromWkt(crs.wkt().c_str());
    srs.morphToESRI();
    char* text = nullptr;
    srs.exportToWkt(&text);
    folder_.write(name, text);
    CPLFree(text);
  }

  /// Writes one GeoTIFF with GDAL itself; `set` gets the dataset before it is closed.
  template <class Set>
  std::string tiff(int bands, GDALDataType type, const Crs& crs, Set set) {
    const std::string path = folder_.file("t.tif");
    const std::unique_ptr<GDALDataset> file(
        GetGDALDriverManager()->GetDriverByName("GTiff")->Create(path.c_str(), 12, 10, bands, type,
                                                                 nullptr));
    double transform[6] = {100.0, 2.0, 0.0, 220.0, 0.0, -2.0};
    file->SetGeoTransform(transform);
    OGRSpatialReference srs;
    srs.importFromWkt(crs.wkt().c_str());
    file->SetSpatialRef(&srs);
    set(*file);
    return path;
  }
  static void fill(GDALDataset& file, int band, double value) {
    ASSERT_EQ(file.GetRasterBand(band)->Fill(value), CE_None);
  }
  HeightRaster read(const std::string& path, int band = 1) {
    return read_heights({path, band}, crs_, {106.0, 204.0, 118.0, 216.0});
  }

  TempFolder folder_;
  Crs crs_ = Crs::parse("EPSG:32625", {});
};

TEST_F(RasterRead, PlaneIsExactBetweenTheCellCentres) {
  const std::string path = grid(plane);
  with_crs();
  const HeightRaster raster = read(path);
  EXPECT_FALSE(raster.resampled);
  EXPECT_EQ(raster.nodata_cells, 0U);
  for (double x = 106.0; x <= 118.0; x += 0.7) {
    for (double y = 204.0; y <= 216.0; y += 0.9) {
      ASSERT_NEAR(raster.grid.sample(x, y), plane(x, y), 1e-12) << x << " " << y;
    }
  }
}

TEST_F(RasterRead, NothingIsAnsweredOutsideTheRaster) {
  const std::string path = grid(plane);
  with_crs();
  const HeightRaster raster = read(path);
  EXPECT_TRUE(std::isnan(raster.grid.sample(99.0, 210.0)));
  EXPECT_TRUE(std::isnan(raster.grid.sample(110.0, 221.0)));
}

TEST_F(RasterRead, CellWithoutDataIsCountedAndFilledFromItsNeighbours) {
  const std::string path = grid([](double, double) { return 7.25; }, "-9999");
  with_crs();
  HeightRaster raster = read(path);
  EXPECT_EQ(raster.nodata_cells, 1U);
  EXPECT_TRUE(std::isnan(raster.grid.sample(111.0, 211.0)));
  EXPECT_EQ(fill_nodata(raster.grid, crs_), 1U);
  EXPECT_FLOAT_EQ(static_cast<float>(raster.grid.sample(111.0, 211.0)), 7.25F)
      << "a mean of equal neighbours is their value";
  EXPECT_EQ(fill_nodata(raster.grid, crs_), 0U);
}

TEST_F(RasterRead, FilledCellLiesWithinItsNeighbours) {
  const std::string path = grid(plane, "-9999");
  with_crs();
  HeightRaster raster = read(path);
  fill_nodata(raster.grid, crs_);
  // Its eight neighbours reach 0.5 * 2 + 0.25 * 2 above and below the plane's own value.
  EXPECT_NEAR(raster.grid.sample(111.0, 211.0), plane(111.0, 211.0), 1.5);
}

TEST_F(RasterRead, AsciiGridWithoutCrsIsRefused) {
  const std::string path = grid(plane);
  EXPECT_THAT(refusal([&] { read(path); }),
              HasSubstr("states no coordinate reference system; add one, for an ASCII grid as a "
                        ".prj file beside it"));
}

TEST_F(RasterRead, RasterThatDoesNotReachTheSiteIsRefused) {
  const std::string path = grid(plane);
  with_crs();
  EXPECT_THAT(refusal([&] {
                read_heights({path, 1}, crs_, {900.0, 204.0, 950.0, 216.0});
              }),
              HasSubstr("does not cover the site"));
}

TEST_F(RasterRead, MissingFileAndMissingBandAreRefused) {
  EXPECT_THAT(refusal([&] { read(folder_.file("none.tif")); }), HasSubstr("no such file"));
  const std::string path = grid(plane);
  with_crs();
  EXPECT_THAT(refusal([&] { read(path, 2); }),
              HasSubstr("t.asc:band 2: no such band; the file has 1"));
}

TEST_F(RasterRead, BandAskedForIsRead) {
  const auto path = tiff(2, GDT_Float32, crs_, [](GDALDataset& file) {
    fill(file, 1, 3.0);
    fill(file, 2, 8.0);
  });
  EXPECT_DOUBLE_EQ(read(path, 1).grid.sample(110.0, 210.0), 3.0);
  EXPECT_DOUBLE_EQ(read(path, 2).grid.sample(110.0, 210.0), 8.0);
}

// International foot 0.3048 m exactly (1959 agreement); US survey foot 1200/3937 m (1893).
TEST_F(RasterRead, FeetBecomeMetres) {
  for (const auto& [unit, metres] :
       {std::pair("ft", 0.3048), std::pair("US survey foot", 1200.0 / 3937.0),
        std::pair("metre", 1.0)}) {
    const auto path = tiff(1, GDT_Float32, crs_, [&, name = unit](GDALDataset& file) {
      fill(file, 1, 100.0);
      file.GetRasterBand(1)->SetUnitType(name);
    });
    EXPECT_NEAR(read(path).grid.sample(110.0, 210.0), 100.0 * metres, 1e-5) << unit;
  }
}

TEST_F(RasterRead, PhotosAndClassesAreRefused) {
  const auto photo = tiff(3, GDT_Byte, crs_, [](GDALDataset&) {});
  EXPECT_THAT(refusal([&] { read(photo); }), HasSubstr("holds colours or classes, not heights"));
  const auto classes = tiff(1, GDT_Byte, crs_, [](GDALDataset& file) {
    GDALColorTable palette;
    const GDALColorEntry green{0, 128, 0, 255};
    palette.SetColorEntry(1, &green);
    file.GetRasterBand(1)->SetColorTable(&palette);
  });
  EXPECT_THAT(refusal([&] { read(classes); }), HasSubstr("holds colours or classes, not heights"));
  const auto waves = tiff(1, GDT_CFloat32, crs_, [](GDALDataset&) {});
  EXPECT_THAT(refusal([&] { read(waves); }), HasSubstr("holds colours or classes, not heights"));
}

TEST_F(RasterRead, TruncatedFileIsRefused) {
  const auto path = tiff(1, GDT_Float32, crs_, [](GDALDataset& file) { fill(file, 1, 5.0); });
  const std::string bytes = folder_.read("t.tif");
  folder_.write("t.tif", bytes.substr(0, bytes.size() - 200));
  EXPECT_NE(refusal([&] { read(path); }), "");
}

TEST_F(RasterRead, AreaWithoutAnyDataIsRefused) {
  const auto path = tiff(1, GDT_Float32, crs_, [](GDALDataset& file) {
    fill(file, 1, -32768.0);
    file.GetRasterBand(1)->SetNoDataValue(-32768.0);
  });
  EXPECT_THAT(refusal([&] { read(path); }), HasSubstr("has no data where the site is"));
}

TEST_F(RasterRead, DegreesAreWarpedToMetres) {
  // Heights that rise 1 m for every 0.001 degree of longitude and 2 m for latitude.
  const auto height = [](double lon, double lat) {
    return 50.0 + 1000.0 * (lon + 33.0) + 2000.0 * (lat - 40.0);
  };
  constexpr int side = 60;
  constexpr double cell_deg = 1e-4;
  std::string text = "ncols 60\nnrows 60\nxllcorner -33.003\nyllcorner 39.997\ncellsize 0.0001\n";
  for (int row = 0; row < side; ++row) {
    for (int col = 0; col < side; ++col) {
      text += std::to_string(height(-33.003 + (col + 0.5) * cell_deg,
                                    39.997 + (side - row - 0.5) * cell_deg)) +
              " ";
    }
    text += "\n";
  }
  const std::string path = folder_.write("d.asc", text);
  write_prj("d.prj", Crs::wgs84());
  const Crs local =
      Crs::parse("+proj=tmerc +lat_0=40 +lon_0=-33 +ellps=WGS84 +units=m +no_defs", {});
  const HeightRaster raster = read_heights({path, 1}, local, {-100.0, -100.0, 100.0, 100.0});
  EXPECT_TRUE(raster.resampled);
  const CrsTransform to_degrees(local, Crs::wgs84());
  for (const Xy p : {Xy{0, 0}, Xy{-80, 60}, Xy{37, -91}, Xy{99, 99}}) {
    const auto degrees = to_degrees(p);
    ASSERT_TRUE(degrees);
    EXPECT_NEAR(raster.grid.sample(p.x, p.y), height(degrees->x, degrees->y), 0.02);
  }
}

TEST_F(RasterRead, BoundsInDegreesCoverTheRaster) {
  const std::string path = grid(plane);
  with_crs();
  const LonLatBounds bounds = raster_lonlat_bounds({path, 1});
  const auto corner = CrsTransform(crs_, Crs::wgs84())({100.0, 220.0});
  EXPECT_NEAR(bounds.west_deg, corner->x, 1e-6);
  EXPECT_NEAR(bounds.north_deg, corner->y, 1e-6);
  EXPECT_LT(bounds.south_deg, bounds.north_deg);
}

TEST_F(RasterRead, NothingIsWrittenBesideTheUsersFile) {
  const std::string path = grid(plane);
  with_crs();
  read(path);
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder_.path())) {
    files += entry.exists() ? 1U : 0U;
  }
  EXPECT_EQ(files, 2U) << "the grid and its .prj";
}

}  // namespace
}  // namespace sim
