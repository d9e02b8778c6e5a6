#include "sim/scene/shapes.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace sim {

std::uint32_t MeshPen::vertex(ScenePoint p) {
  mesh_.vertices.push_back(p);
  return static_cast<std::uint32_t>(mesh_.vertices.size() - 1);
}

void MeshPen::triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c) {
  mesh_.triangles.push_back({a, b, c});
  mesh_.obstacle_of_triangle.push_back(obstacle_);
}

bool add_prism(MeshPen pen, const FlatRings& rings, double bottom_m, double top_m) {
  std::vector<std::uint32_t> low, high;
  for (const auto& ring : rings) {
    for (const FlatPoint p : ring) {
      low.push_back(pen.vertex({p.x_m, p.y_m, bottom_m}));
      high.push_back(pen.vertex({p.x_m, p.y_m, top_m}));
    }
  }
  std::size_t first = 0;
  for (const auto& ring : rings) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const std::size_t a = first + i, b = first + (i + 1) % ring.size();
      pen.triangle(low[a], low[b], high[b]);
      pen.triangle(low[a], high[b], high[a]);
    }
    first += ring.size();
  }
  const auto roof = triangulate(rings);
  if (!roof) return false;
  for (const auto& [a, b, c] : *roof) {
    pen.triangle(high[a], high[b], high[c]);
    pen.triangle(low[c], low[b], low[a]);
  }
  return true;
}

void add_cylinder(MeshPen pen, FlatPoint center, double radius_m, double bottom_m, double top_m,
                  int sides) {
  std::vector<FlatPoint> ring;
  for (int i = 0; i < sides; ++i) {
    const double angle = 2.0 * std::numbers::pi * i / sides;
    ring.push_back(
        {center.x_m + radius_m * std::cos(angle), center.y_m + radius_m * std::sin(angle)});
  }
  std::vector<std::uint32_t> low, high;
  for (const FlatPoint p : ring) {
    low.push_back(pen.vertex({p.x_m, p.y_m, bottom_m}));
    high.push_back(pen.vertex({p.x_m, p.y_m, top_m}));
  }
  const std::size_t n = ring.size();
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t j = (i + 1) % n;
    pen.triangle(low[i], low[j], high[j]);
    pen.triangle(low[i], high[j], high[i]);
    if (i > 0 && j > 0) {
      pen.triangle(high[0], high[i], high[j]);
      pen.triangle(low[0], low[j], low[i]);
    }
  }
}

void add_box(MeshPen pen, FlatPoint center, FlatPoint axis, double half_length_m,
             double half_width_m, double bottom_m, double top_m) {
  const FlatPoint side{-axis.y_m, axis.x_m};
  FlatRings rings(1);
  for (const auto& [u, v] : {std::pair{-1.0, -1.0}, {1.0, -1.0}, {1.0, 1.0}, {-1.0, 1.0}}) {
    rings[0].push_back({center.x_m + u * half_length_m * axis.x_m + v * half_width_m * side.x_m,
                        center.y_m + u * half_length_m * axis.y_m + v * half_width_m * side.y_m});
  }
  add_prism(pen, rings, bottom_m, top_m);
}

namespace {

struct UnitSphere {
  std::vector<ScenePoint> vertices;
  std::vector<std::array<std::uint32_t, 3>> triangles;
};

/// A sphere of meridians and parallels, grown until it encloses the unit sphere.
UnitSphere enclosing_sphere() {
  constexpr int meridians = 16, parallels = 8;
  UnitSphere sphere;
  sphere.vertices.push_back({0, 0, -1});
  for (int p = 1; p < parallels; ++p) {
    const double latitude = std::numbers::pi * (static_cast<double>(p) / parallels - 0.5);
    for (int m = 0; m < meridians; ++m) {
      const double longitude = 2.0 * std::numbers::pi * m / meridians;
      sphere.vertices.push_back({std::cos(latitude) * std::cos(longitude),
                                 std::cos(latitude) * std::sin(longitude), std::sin(latitude)});
    }
  }
  sphere.vertices.push_back({0, 0, 1});
  const auto at = [](int p, int m) {
    return static_cast<std::uint32_t>(1 + (p - 1) * meridians + m % meridians);
  };
  const auto top = static_cast<std::uint32_t>(sphere.vertices.size() - 1);
  for (int m = 0; m < meridians; ++m) {
    sphere.triangles.push_back({0, at(1, m + 1), at(1, m)});
    sphere.triangles.push_back({top, at(parallels - 1, m), at(parallels - 1, m + 1)});
    for (int p = 1; p + 1 < parallels; ++p) {
      sphere.triangles.push_back({at(p, m), at(p, m + 1), at(p + 1, m + 1)});
      sphere.triangles.push_back({at(p, m), at(p + 1, m + 1), at(p + 1, m)});
    }
  }
  double nearest = 1.0;  // of any face's plane to the centre
  for (const auto& [a, b, c] : sphere.triangles) {
    const ScenePoint normal =
        cross(sphere.vertices[b] - sphere.vertices[a], sphere.vertices[c] - sphere.vertices[a]);
    nearest = std::min(nearest, dot(normal, sphere.vertices[a]) / std::sqrt(dot(normal, normal)));
  }
  constexpr double float_margin = 1.0001;  // the ray kernel rounds to float
  for (ScenePoint& v : sphere.vertices) v = (float_margin / nearest) * v;
  return sphere;
}

}  // namespace

void add_enclosing_ellipsoid(MeshPen pen, const CrownShape& crown) {
  static const UnitSphere sphere = enclosing_sphere();
  std::vector<std::uint32_t> index;
  for (const ScenePoint v : sphere.vertices) {
    index.push_back(pen.vertex({crown.center.x_m + crown.radius_m * v.x_m,
                                crown.center.y_m + crown.radius_m * v.y_m,
                                crown.center.z_m + crown.half_height_m * v.z_m}));
  }
  for (const auto& [a, b, c] : sphere.triangles) pen.triangle(index[a], index[b], index[c]);
}

}  // namespace sim
