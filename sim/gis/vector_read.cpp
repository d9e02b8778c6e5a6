#include <cpl_vsi.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstring>
#include <map>
#include <set>

#include "sim/base/assets.h"
#include "sim/gis/csv_file.h"
#include "sim/gis/gdal_session.h"
#include "sim/gis/geometry_from_ogr.h"
#include "sim/gis/osm_order.h"
#include "sim/gis/vector_file.h"

namespace sim {
namespace {

bool same_word(const std::string& a, const std::string& b) {
  return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), [](char x, char y) {
           return std::tolower(static_cast<unsigned char>(x)) ==
                  std::tolower(static_cast<unsigned char>(y));
         });
}

std::string valid_utf8(const char* text) {
  if (CPLIsUTF8(text, -1)) return text;
  char* recoded = CPLRecode(text, CPL_ENC_ISO8859_1, CPL_ENC_UTF8);
  std::string result = recoded;
  CPLFree(recoded);
  return result;
}

struct OpenFile {
  std::unique_ptr<OrderedOsm> osm;  // outlives the dataset that reads its copy
  std::unique_ptr<GDALDataset> dataset;
  bool is_osm = false;
};

OpenFile open_vector(const std::string& path, const GdalComplaints& complaints) {
  VSIStatBufL status;
  if (VSIStatL(path.c_str(), &status) != 0) {
    throw InputError({path, "", -1},
                     "no such file; check the path, which is taken from the folder "
                     "of the site file");
  }
  GDALDriver* driver = GDALDriver::FromHandle(
      GDALIdentifyDriverEx(path.c_str(), GDAL_OF_VECTOR, vector_drivers().data(), nullptr));
  OpenFile open;
  std::vector<std::string> settings;
  if (driver != nullptr) {
    const std::string name = driver->GetDescription();
    open.is_osm = name == "OSM";
    if (open.is_osm) open.osm = std::make_unique<OrderedOsm>(path);
    if (open.is_osm) settings.push_back("CONFIG_FILE=" + asset_path("osmconf.ini"));
    if (name == "GPX") settings.emplace_back("GPX_ELE_AS_25D=YES");
    if (name == "GML") settings.emplace_back("WRITE_GFS=NO");
    if (name == "SQLite") settings.emplace_back("LIST_ALL_TABLES=NO");
  }
  std::vector<const char*> options;
  options.reserve(settings.size() + 1);
  for (const std::string& setting : settings) options.push_back(setting.c_str());
  options.push_back(nullptr);
  const std::string& readable = open.osm ? open.osm->path() : path;
  open.dataset.reset(GDALDataset::Open(readable.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY,
                                       vector_drivers().data(), options.data(), nullptr));
  if (!open.dataset) {
    throw InputError({path, "", -1},
                     "cannot be read as vector data" +
                         (complaints.text().empty() ? "" : " (" + complaints.text() + ")") +
                         "; GeoPackage, GeoJSON, Shapefile, FlatGeobuf, OSM, CSV, GPX, KML, GML "
                         "and SQLite are");
  }
  return open;
}

/// The layers that the query means, with the WHERE set on each.
std::vector<OGRLayer*> chosen_layers(const OpenFile& open, const VectorQuery& query,
                                     GdalComplaints& complaints) {
  std::vector<OGRLayer*> layers;
  std::string names, refusal;
  for (int i = 0; i < open.dataset->GetLayerCount(); ++i) {
    OGRLayer* layer = open.dataset->GetLayer(i);
    names += (names.empty() ? "" : ", ") + std::string(layer->GetName());
    if (!query.layer.empty() && query.layer != layer->GetName()) continue;
    if (!query.where.empty() && layer->SetAttributeFilter(query.where.c_str()) != OGRERR_NONE) {
      refusal = complaints.text();
      complaints.failure.clear();
      if (open.is_osm) layer->SetAttributeFilter("1 = 0");
      continue;
    }
    layers.push_back(layer);
  }
  if (layers.empty() && !refusal.empty()) {
    throw InputError({query.path, query.layer, -1},
                     "where = \"" + query.where + "\" cannot be used (" + refusal +
                         "); it is the WHERE of an OGR SQL query over the fields of the layer");
  }
  if (layers.empty()) {
    throw InputError({query.path, query.layer, -1},
                     "no such layer; the file has: " + (names.empty() ? "none" : names));
  }
  return layers;
}

class Reader {
 public:
  Reader(const VectorQuery& query, const Crs& target) : query_(query), target_(target) {}

  VectorTable read() {
    GdalComplaints complaints;
    OpenFile open = open_vector(query_.path, complaints);
    table_.path = query_.path;
    const std::vector<OGRLayer*> layers = chosen_layers(open, query_, complaints);
    for (OGRLayer* layer : layers) plan(*layer);
    complaints.failure.clear();
    if (open.is_osm) {
      OGRLayer* layer = nullptr;
      while (OGRFeature* raw = open.dataset->GetNextFeature(&layer, nullptr, nullptr, nullptr)) {
        const OGRFeatureUniquePtr feature(raw);
        if (plans_.contains(layer)) take(*layer, *feature);
      }
    } else {
      for (OGRLayer* layer : layers) {
        for (const OGRFeatureUniquePtr& feature : *layer) take(*layer, *feature);
      }
    }
    if (complaints.failed()) {
      throw InputError({query_.path, query_.layer, -1},
                       "breaks off while being read (" + complaints.failure +
                           "); the file is damaged or cut short: get it again");
    }
    if (open.is_osm) {
      std::stable_sort(table_.features.begin(), table_.features.end(),
                       [](const Feature& a, const Feature& b) {
                         return std::tie(a.source.layer, a.source.record) <
                                std::tie(b.source.layer, b.source.record);
                       });
    }
    for (Feature& feature : table_.features) feature.values.resize(table_.fields.size());
    refuse_misplaced();
    return std::move(table_);
  }

 private:
  struct Plan {
    std::vector<std::size_t> columns;  ///< of the layer's fields in the table
    std::unique_ptr<OGRCoordinateTransformation> to_target, to_swapped;
    std::unique_ptr<CrsTransform> check;
    bool geographic = false;
    int osm_way_id = -1;
  };

  void plan(OGRLayer& layer) {
    table_.layers.emplace_back(layer.GetName());
    Plan plan;
    const OGRFeatureDefn& definition = *layer.GetLayerDefn();
    plan.osm_way_id = definition.GetFieldIndex("osm_way_id");
    for (int i = 0; i < definition.GetFieldCount(); ++i) {
      const std::string name = valid_utf8(definition.GetFieldDefn(i)->GetNameRef());
      const auto known = table_.field(name);
      plan.columns.push_back(known.value_or(table_.fields.size()));
      if (!known) table_.fields.push_back(name);
    }
    const OGRSpatialReference* stated = layer.GetSpatialRef();
    if (stated == nullptr && !query_.assume && layer.GetGeomType() != wkbNone) {
      throw InputError({query_.path, layer.GetName(), -1},
                       "states no coordinate reference system; add one (a .prj file, or save it as "
                       "GeoPackage with its CRS)");
    }
    if (stated != nullptr || query_.assume) {
      char* wkt = nullptr;
      if (stated != nullptr) stated->exportToWkt(&wkt);
      const Crs from =
          wkt == nullptr ? *query_.assume : Crs::parse(wkt, {query_.path, layer.GetName(), -1});
      CPLFree(wkt);
      plan.check = std::make_unique<CrsTransform>(from, target_);
      plan.geographic = from.is_geographic();
      OGRSpatialReference a, b;
      a.importFromWkt(from.wkt().c_str());
      b.importFromWkt(target_.wkt().c_str());
      a.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
      b.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
      plan.to_target.reset(OGRCreateCoordinateTransformation(&a, &b));
    }
    plans_.emplace(&layer, std::move(plan));
  }

  void take(OGRLayer& layer, OGRFeature& from) {
    const Plan& plan = plans_.at(&layer);
    Feature feature;
    feature.source = {query_.path, layer.GetName(), from.GetFID()};
    if (plan.osm_way_id >= 0 && from.IsFieldSetAndNotNull(plan.osm_way_id)) {
      feature.source.record = std::atoll(from.GetFieldAsString(plan.osm_way_id));
    }
    feature.values.resize(table_.fields.size());
    for (int i = 0; i < from.GetFieldCount(); ++i) {
      if (!from.IsFieldSetAndNotNull(i)) continue;
      feature.values[plan.columns[static_cast<std::size_t>(i)]] =
          valid_utf8(from.GetFieldAsString(i));
    }
    if (OGRGeometry* geometry = from.GetGeometryRef()) place(plan, *geometry, feature);
    table_.features.push_back(std::move(feature));
    if (table_.features.size() > query_.max_features) {
      throw InputError(
          {query_.path, query_.layer, -1},
          "has more than " + std::to_string(query_.max_features) +
              " features; choose some with layer and where, cut the file to the site, or "
              "raise [site] max_features");
    }
  }

  void place(const Plan& plan, OGRGeometry& geometry, Feature& feature) {
    OGREnvelope box;
    geometry.getEnvelope(&box);
    const Xy corner{box.MinX, box.MinY};
    ++with_geometry_;
    if (plan.check && plan.to_target) {
      const bool on_earth =
          !plan.geographic || (box.MinY >= -90.0 && box.MaxY <= 90.0 && box.MaxX <= 540.0);
      if (!on_earth || !(*plan.check)(corner)) {
        ++misplaced_;
        if ((*plan.check)({corner.y, corner.x})) ++right_when_swapped_;
        return;
      }
      if (geometry.transform(plan.to_target.get()) != OGRERR_NONE) {
        ++misplaced_;
        return;
      }
    }
    feature.geometry = geometry_from_ogr(&geometry);
  }

  void refuse_misplaced() const {
    if (misplaced_ == 0 || misplaced_ < with_geometry_) return;
    throw InputError(
        {query_.path, query_.layer, -1},
        right_when_swapped_ == with_geometry_
            ? "latitude and longitude look swapped: no feature lies where the site is, and all "
              "would with x and y exchanged; write longitude first"
            : "no feature lies within the area that " + target_.name() +
                  " is made for; check the coordinates and the CRS the file states");
  }

  const VectorQuery& query_;
  const Crs& target_;
  VectorTable table_;
  std::map<const OGRLayer*, Plan> plans_;
  std::size_t with_geometry_ = 0, misplaced_ = 0, right_when_swapped_ = 0;
};

bool is_csv(const std::string& path) {
  return path.size() > 4 && same_word(path.substr(path.size() - 4), ".csv");
}

}  // namespace

std::optional<std::size_t> VectorTable::field(const std::string& name) const {
  for (std::size_t i = 0; i < fields.size(); ++i) {
    if (same_word(fields[i], name)) return i;
  }
  return std::nullopt;
}

VectorTable read_vectors(const VectorQuery& query, const Crs& target) {
  start_gdal();
  if (is_csv(query.path)) return read_csv_points(query, target);
  return Reader(query, target).read();
}

std::optional<LonLatBounds> lonlat_bounds(const VectorQuery& query) {
  const VectorTable table = read_vectors(query, Crs::wgs84());
  std::optional<LonLatBounds> bounds;
  const auto add = [&](const Coordinate& c) {
    if (!bounds) bounds = LonLatBounds{c.x, c.y, c.x, c.y};
    bounds->west_deg = std::min(bounds->west_deg, c.x);
    bounds->east_deg = std::max(bounds->east_deg, c.x);
    bounds->south_deg = std::min(bounds->south_deg, c.y);
    bounds->north_deg = std::max(bounds->north_deg, c.y);
  };
  for (const Feature& feature : table.features) {
    if (const auto* points = std::get_if<PointSet>(&feature.geometry)) {
      for (const Coordinate& c : points->points) add(c);
    } else if (const auto* lines = std::get_if<LineSet>(&feature.geometry)) {
      for (const CoordinateList& line : lines->lines) {
        for (const Coordinate& c : line) add(c);
      }
    } else if (const auto* polygons = std::get_if<PolygonSet>(&feature.geometry)) {
      for (const PolygonShape& shape : polygons->polygons) {
        for (const Coordinate& c : shape.rings.front()) add(c);
      }
    }
  }
  return bounds;
}

}  // namespace sim
