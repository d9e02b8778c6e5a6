#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include "sim/gis/gdal_session.h"
#include "sim/gis/geometry_from_ogr.h"

namespace sim {
namespace {

OGRwkbGeometryType ogr_type(OutputLayer::Shape shape) {
  switch (shape) {
    case OutputLayer::Shape::point:
      return wkbPoint;
    case OutputLayer::Shape::line:
      return wkbMultiLineString;
    case OutputLayer::Shape::polygon:
      return wkbMultiPolygon;
    case OutputLayer::Shape::none:
      break;
  }
  return wkbNone;
}

OGRFieldType ogr_type(OutputField::Type type) {
  switch (type) {
    case OutputField::Type::text:
      return OFTString;
    case OutputField::Type::integer:
      return OFTInteger64;
    case OutputField::Type::real:
      break;
  }
  return OFTReal;
}

void write_feature(OGRLayer& layer, const OutputFeature& from) {
  OGRFeature feature(layer.GetLayerDefn());
  for (std::size_t i = 0; i < from.values.size(); ++i) {
    const int field = static_cast<int>(i);
    if (const auto* text = std::get_if<std::string>(&from.values[i])) {
      feature.SetField(field, text->c_str());
    } else if (const auto* number = std::get_if<double>(&from.values[i])) {
      feature.SetField(field, *number);
    } else if (const auto* integer = std::get_if<std::int64_t>(&from.values[i])) {
      feature.SetField(field, static_cast<GIntBig>(*integer));
    }
  }
  feature.SetGeometryDirectly(ogr_from_geometry(from.geometry).release());
  if (layer.CreateFeature(&feature) != OGRERR_NONE) {
    throw InputError({layer.GetName(), "", -1}, "a feature could not be written");
  }
}

}  // namespace

void write_geopackage(const std::string& path, const Crs& crs,
                      const std::vector<OutputLayer>& layers) {
  start_gdal();
  GdalComplaints complaints;
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
  const std::unique_ptr<GDALDataset> file(
      driver->Create(path.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
  if (!file) throw InputError({path, "", -1}, "cannot be written: " + complaints.text());
  OGRSpatialReference srs;
  srs.importFromWkt(crs.wkt().c_str());
  srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  for (const OutputLayer& layer : layers) {
    OGRLayer* ogr = file->CreateLayer(layer.name.c_str(),
                                      layer.shape == OutputLayer::Shape::none ? nullptr : &srs,
                                      ogr_type(layer.shape), nullptr);
    if (ogr == nullptr) throw InputError({path, layer.name, -1}, complaints.text());
    for (const OutputField& field : layer.fields) {
      OGRFieldDefn definition(field.name.c_str(), ogr_type(field.type));
      ogr->CreateField(&definition);
    }
    const bool begun = ogr->StartTransaction() == OGRERR_NONE;
    for (const OutputFeature& feature : layer.features) write_feature(*ogr, feature);
    if (!begun || ogr->CommitTransaction() != OGRERR_NONE) {
      throw InputError({path, layer.name, -1}, "not written: " + complaints.text());
    }
  }
  file->FlushCache(true);
  if (complaints.failed()) throw InputError({path, "", -1}, "not written: " + complaints.failure);
}

}  // namespace sim
