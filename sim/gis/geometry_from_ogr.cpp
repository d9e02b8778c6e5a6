#include "sim/gis/geometry_from_ogr.h"

#include <ogr_geometry.h>

#include <cmath>
#include <limits>

namespace sim {
namespace {

constexpr double least_face_m2 = 1e-4;  // in plan; a wall has none
constexpr double no_height = std::numeric_limits<double>::quiet_NaN();

CoordinateList coordinates(const OGRSimpleCurve& curve) {
  CoordinateList list;
  const bool has_z = curve.Is3D() != 0;
  list.reserve(static_cast<std::size_t>(curve.getNumPoints()));
  for (int i = 0; i < curve.getNumPoints(); ++i) {
    list.push_back({curve.getX(i), curve.getY(i), has_z ? curve.getZ(i) : no_height});
  }
  return list;
}

struct Collected {
  PointSet points;
  LineSet lines;
  PolygonSet polygons;
  bool finite = true;

  void check(const CoordinateList& list) {
    for (const Coordinate& c : list) finite = finite && std::isfinite(c.x) && std::isfinite(c.y);
  }
  void add(const OGRGeometry& geometry);
};

void Collected::add(const OGRGeometry& geometry) {
  switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint: {
      const OGRPoint& p = *geometry.toPoint();
      if (p.IsEmpty()) return;
      points.points.push_back({p.getX(), p.getY(), p.Is3D() ? p.getZ() : no_height});
      check(points.points);
      return;
    }
    case wkbLineString:
      lines.lines.push_back(coordinates(*geometry.toLineString()));
      check(lines.lines.back());
      return;
    case wkbPolygon:
    case wkbTriangle: {
      PolygonShape shape;
      for (const OGRLinearRing* ring : *geometry.toPolygon()) {
        shape.rings.push_back(coordinates(*ring));
        check(shape.rings.back());
      }
      if (!shape.rings.empty()) polygons.polygons.push_back(std::move(shape));
      return;
    }
    default:
      break;
  }
  if (OGR_GT_IsSubClassOf(geometry.getGeometryType(), wkbGeometryCollection)) {
    for (const OGRGeometry* part : *geometry.toGeometryCollection()) add(*part);
  } else if (OGR_GT_IsSubClassOf(geometry.getGeometryType(), wkbPolyhedralSurface)) {
    // A solid's footprint: its faces seen from above, walls left out.
    OGRMultiPolygon faces;
    for (const OGRPolygon* face : *geometry.toPolyhedralSurface()) {
      if (face->get_Area() > least_face_m2) faces.addGeometry(face);
    }
    const std::unique_ptr<OGRGeometry> plan(faces.UnionCascaded());
    if (plan) add(*plan);
  } else if (geometry.hasCurveGeometry()) {
    const std::unique_ptr<OGRGeometry> linear(geometry.getLinearGeometry());
    if (linear && !linear->hasCurveGeometry()) add(*linear);
  }
}

void fill(OGRSimpleCurve& curve, const CoordinateList& list) {
  for (const Coordinate& c : list) {
    if (std::isnan(c.z)) {
      curve.addPoint(c.x, c.y);
    } else {
      curve.addPoint(c.x, c.y, c.z);
    }
  }
}

}  // namespace

Geometry geometry_from_ogr(const OGRGeometry* geometry) {
  if (geometry == nullptr || geometry->IsEmpty()) return {};
  Collected all;
  all.add(*geometry);
  if (!all.finite) return {};
  if (!all.polygons.polygons.empty()) return all.polygons;
  if (!all.lines.lines.empty()) return all.lines;
  if (!all.points.points.empty()) return all.points;
  return {};
}

std::unique_ptr<OGRGeometry> ogr_from_geometry(const Geometry& geometry) {
  if (const auto* set = std::get_if<PointSet>(&geometry)) {
    if (set->points.size() == 1) {
      const Coordinate& c = set->points.front();
      return std::isnan(c.z) ? std::make_unique<OGRPoint>(c.x, c.y)
                             : std::make_unique<OGRPoint>(c.x, c.y, c.z);
    }
    auto multi = std::make_unique<OGRMultiPoint>();
    for (const Coordinate& c : set->points) {
      const OGRPoint point(c.x, c.y);
      multi->addGeometry(&point);
    }
    return multi;
  }
  if (const auto* set = std::get_if<LineSet>(&geometry)) {
    auto multi = std::make_unique<OGRMultiLineString>();
    for (const CoordinateList& line : set->lines) {
      OGRLineString ogr;
      fill(ogr, line);
      multi->addGeometry(&ogr);
    }
    return multi;
  }
  if (const auto* set = std::get_if<PolygonSet>(&geometry)) {
    auto multi = std::make_unique<OGRMultiPolygon>();
    for (const PolygonShape& shape : set->polygons) {
      OGRPolygon polygon;
      for (const CoordinateList& ring : shape.rings) {
        OGRLinearRing ogr;
        fill(ogr, ring);
        ogr.closeRings();
        polygon.addRing(&ogr);
      }
      multi->addGeometry(&polygon);
    }
    return multi;
  }
  return nullptr;
}

}  // namespace sim
