#include "sim/gis/crs.h"

#include <ogr_spatialref.h>

#include <cmath>

#include "sim/gis/gdal_session.h"

namespace sim {
namespace {

OGRSpatialReference reference(const std::string& wkt) {
  OGRSpatialReference srs;
  srs.importFromWkt(wkt.c_str());
  srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  return srs;
}

std::string to_wkt(const OGRSpatialReference& srs) {
  char* text = nullptr;
  const char* const options[] = {"FORMAT=WKT2_2018", nullptr};
  srs.exportToWkt(&text, options);
  std::string wkt = text == nullptr ? "" : text;
  CPLFree(text);
  return wkt;
}

/// Area of use in degrees; the whole Earth when the CRS states none.
struct AreaOfUse {
  double west = -180.0, south = -90.0, east = 180.0, north = 90.0;
};
AreaOfUse area_of_use(const OGRSpatialReference& srs) {
  AreaOfUse area;
  if (!srs.GetAreaOfUse(&area.west, &area.south, &area.east, &area.north, nullptr) ||
      area.west < -180.0) {
    return {};
  }
  return area;
}

}  // namespace

Crs Crs::parse(const std::string& text, const SourceRef& where) {
  start_gdal();
  const GdalComplaints complaints;
  OGRSpatialReference srs;
  if (srs.SetFromUserInput(text.c_str(),
                           OGRSpatialReference::SET_FROM_USER_INPUT_LIMITATIONS_get()) !=
      OGRERR_NONE) {
    throw InputError(where, "'" + text +
                                "' is no coordinate reference system that PROJ knows; "
                                "write an EPSG code such as \"EPSG:32618\"");
  }
  return Crs(to_wkt(srs));
}

Crs Crs::wgs84() {
  start_gdal();
  OGRSpatialReference srs;
  srs.importFromEPSG(4326);
  return Crs(to_wkt(srs));
}

Crs Crs::utm_for(double lon_deg, double lat_deg) {
  start_gdal();
  const int zone = static_cast<int>(std::floor((lon_deg + 180.0) / 6.0)) % 60 + 1;
  OGRSpatialReference srs;
  srs.importFromEPSG((lat_deg < 0.0 ? 32700 : 32600) + zone);
  return Crs(to_wkt(srs));
}

std::string Crs::name() const { return reference(wkt_).GetName(); }

std::string Crs::epsg() const {
  const OGRSpatialReference srs = reference(wkt_);
  const char* authority = srs.GetAuthorityName(nullptr);
  const char* code = srs.GetAuthorityCode(nullptr);
  return authority == nullptr || code == nullptr ? "" : std::string(authority) + ":" + code;
}

bool Crs::is_geographic() const { return reference(wkt_).IsGeographic() != 0; }
bool Crs::is_projected() const { return reference(wkt_).IsProjected() != 0; }
double Crs::metres_per_unit() const { return reference(wkt_).GetLinearUnits(nullptr); }

std::string Crs::vertical_datum() const {
  const OGRSpatialReference srs = reference(wkt_);
  if (!srs.IsCompound()) return "not stated";
  const char* name = srs.GetAttrValue("VERT_CS");
  if (name == nullptr) name = srs.GetAttrValue("VERTCRS");
  return name == nullptr ? "not stated" : name;
}

bool Crs::same_as(const Crs& other) const {
  const OGRSpatialReference a = reference(wkt_), b = reference(other.wkt_);
  return a.IsSame(&b) != 0;
}

struct CrsTransform::Hidden {
  OGRSpatialReference from, to;
  std::unique_ptr<OGRCoordinateTransformation> there, degrees;
  AreaOfUse area;
  bool identity = false;
};

CrsTransform::CrsTransform(const Crs& from, const Crs& to) : hidden_(std::make_unique<Hidden>()) {
  start_gdal();
  hidden_->from = reference(from.wkt());
  hidden_->to = reference(to.wkt());
  hidden_->identity = hidden_->from.IsSame(&hidden_->to) != 0;
  hidden_->area = area_of_use(hidden_->to);
  const OGRSpatialReference wgs84 = reference(Crs::wgs84().wkt());
  hidden_->there.reset(OGRCreateCoordinateTransformation(&hidden_->from, &hidden_->to));
  hidden_->degrees.reset(OGRCreateCoordinateTransformation(&hidden_->from, &wgs84));
}
CrsTransform::CrsTransform(CrsTransform&&) noexcept = default;
CrsTransform::~CrsTransform() = default;

std::optional<Xy> CrsTransform::operator()(Xy p) const {
  if (!std::isfinite(p.x) || !std::isfinite(p.y)) return std::nullopt;
  if (hidden_->identity) return p;
  const GdalComplaints silence;
  double lon = p.x, lat = p.y;
  // PROJ answers far outside a projection's area with plausible numbers: swapped axes show here.
  constexpr double tolerance_deg = 5.0;
  const AreaOfUse& area = hidden_->area;
  if (!hidden_->there || !hidden_->degrees || !hidden_->degrees->Transform(1, &lon, &lat) ||
      std::abs(lat) > 90.0 || lat < area.south - tolerance_deg ||
      lat > area.north + tolerance_deg) {
    return std::nullopt;
  }
  const double west = area.west - tolerance_deg;
  double width = area.east - area.west + 2.0 * tolerance_deg;
  if (area.east < area.west) width += 360.0;
  double from_west = std::fmod(lon - west, 360.0);
  if (from_west < 0.0) from_west += 360.0;
  if (width < 360.0 && from_west > width) return std::nullopt;
  if (!hidden_->there->Transform(1, &p.x, &p.y) || !std::isfinite(p.x) || !std::isfinite(p.y)) {
    return std::nullopt;
  }
  return p;
}

Angle grid_convergence(const Crs& crs, Xy place) {
  if (!crs.is_projected()) return Angle();
  const CrsTransform to_degrees(crs, Crs::wgs84()), to_map(Crs::wgs84(), crs);
  const auto here = to_degrees(place);
  if (!here) return Angle();
  constexpr double step_deg = 1e-4;  // 11 m north: a central difference good to 1e-9 rad
  const auto south = to_map({here->x, here->y - step_deg});
  const auto north = to_map({here->x, here->y + step_deg});
  if (!south || !north) return Angle();
  // True north, seen in grid axes, lies at -convergence from grid north.
  return Angle::radians(-std::atan2(north->x - south->x, north->y - south->y));
}

}  // namespace sim
