// The same places in every vector format, written with GDAL itself and read with ours.
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include "sim/gis/vector_file.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;

struct Format {
  const char* driver;
  const char* extension;
};
void PrintTo(const Format& format, std::ostream* out) { *out << format.driver; }

constexpr double lon_deg = -33.004, lat_deg = 40.001;

void write_point(const std::string& path, const char* driver, bool with_crs) {
  GDALAllRegister();
  const std::unique_ptr<GDALDataset> file(GetGDALDriverManager()->GetDriverByName(driver)->Create(
      path.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
  ASSERT_TRUE(file) << driver;
  OGRSpatialReference wgs84;
  wgs84.importFromEPSG(4326);
  wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  // GPX has a fixed set of layers.
  const bool gpx = std::string(driver) == "GPX";
  OGRLayer* layer = file->CreateLayer(gpx ? "waypoints" : "lamps", with_crs ? &wgs84 : nullptr,
                                      wkbPoint, nullptr);
  ASSERT_NE(layer, nullptr) << driver;
  if (!gpx) {
    OGRFieldDefn name("name", OFTString);
    ASSERT_EQ(layer->CreateField(&name), OGRERR_NONE);
  }
  OGRFeature feature(layer->GetLayerDefn());
  feature.SetField("name", "lamp 1");
  const OGRPoint point(lon_deg, lat_deg);
  feature.SetGeometry(&point);
  ASSERT_EQ(layer->CreateFeature(&feature), OGRERR_NONE);
}

class VectorFormat : public testing::TestWithParam<Format> {};

TEST_P(VectorFormat, GivesTheSamePlaceAndName) {
  TempFolder folder;
  const std::string path = folder.file("lamps") + GetParam().extension;
  write_point(path, GetParam().driver, true);
  const Crs map = Crs::parse("EPSG:32625", {});
  const VectorTable table = read_vectors({.path = path}, map);
  ASSERT_EQ(table.features.size(), 1U);
  const auto& point = std::get<PointSet>(table.features[0].geometry).points.at(0);
  const auto expected = CrsTransform(Crs::wgs84(), map)({lon_deg, lat_deg});
  EXPECT_NEAR(point.x, expected->x, 1e-3);
  EXPECT_NEAR(point.y, expected->y, 1e-3);
  EXPECT_EQ(table.features[0].values.at(table.field("name").value()), "lamp 1");
}

INSTANTIATE_TEST_SUITE_P(Every, VectorFormat,
                         testing::Values(Format{"GPKG", ".gpkg"}, Format{"GeoJSON", ".geojson"},
                                         Format{"GeoJSONSeq", ".geojsonl"},
                                         Format{"ESRI Shapefile", ".shp"},
                                         Format{"FlatGeobuf", ".fgb"}, Format{"GPX", ".gpx"},
                                         Format{"KML", ".kml"}, Format{"GML", ".gml"},
                                         Format{"SQLite", ".sqlite"}),
                         [](const auto& format) {
                           std::string name = format.param.driver;
                           std::erase(name, ' ');
                           return name;
                         });

TEST(VectorCrs, FileThatStatesNoneIsRefusedUnlessOneIsAssumed) {
  TempFolder folder;
  const std::string path = folder.file("lamps.shp");
  write_point(path, "ESRI Shapefile", false);
  const Crs map = Crs::parse("EPSG:32625", {});
  EXPECT_THAT(refusal([&] { read_vectors({.path = path}, map); }),
              HasSubstr("lamps.shp:lamps: states no coordinate reference system; add one"));
  const VectorTable table = read_vectors({.path = path, .assume = Crs::wgs84()}, map);
  EXPECT_TRUE(std::holds_alternative<PointSet>(table.features.at(0).geometry));
}

TEST(VectorDrivers, OtherParsersAreNeverTried) {
  TempFolder folder;
  // An OGR VRT would open any other file or address it names.
  const std::string path =
      folder.write("lamps.vrt",
                   "<OGRVRTDataSource><OGRVRTLayer name=\"lamps\"><SrcDataSource>/etc/hostname"
                   "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>");
  EXPECT_THAT(refusal([&] { read_vectors({.path = path}, Crs::wgs84()); }),
              HasSubstr("cannot be read as vector data"));
}

}  // namespace
}  // namespace sim
