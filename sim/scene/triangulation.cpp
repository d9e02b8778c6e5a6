#include "sim/scene/triangulation.h"

#include <CGAL/Constrained_Delaunay_triangulation_2.h>
#include <CGAL/Constrained_triangulation_face_base_2.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Triangulation_face_base_with_info_2.h>
#include <CGAL/Triangulation_vertex_base_with_info_2.h>

#include <cmath>
#include <deque>

namespace sim {
namespace {

struct Nesting {
  int level = -1;  // 0 outside; odd = inside the polygon
};
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using VertexBase = CGAL::Triangulation_vertex_base_with_info_2<std::uint32_t, Kernel>;
using FaceInfo = CGAL::Triangulation_face_base_with_info_2<Nesting, Kernel>;
using FaceBase = CGAL::Constrained_triangulation_face_base_2<Kernel, FaceInfo>;
using Structure = CGAL::Triangulation_data_structure_2<VertexBase, FaceBase>;
using Triangulation =
    CGAL::Constrained_Delaunay_triangulation_2<Kernel, Structure,
                                               CGAL::No_constraint_intersection_tag>;

/// Marks faces with the number of constraints that separate them from infinity.
void mark_nesting(Triangulation& t) {
  std::deque<Triangulation::Edge> border;
  const auto flood = [&](Triangulation::Face_handle start, int level) {
    std::deque<Triangulation::Face_handle> queue{start};
    while (!queue.empty()) {
      const auto face = queue.front();
      queue.pop_front();
      if (face->info().level >= 0) continue;
      face->info().level = level;
      for (int i = 0; i < 3; ++i) {
        const auto neighbour = face->neighbor(i);
        if (neighbour->info().level >= 0) continue;
        if (t.is_constrained({face, i})) {
          border.emplace_back(face, i);
        } else {
          queue.push_back(neighbour);
        }
      }
    }
  };
  flood(t.infinite_face(), 0);
  while (!border.empty()) {
    const auto [face, i] = border.front();
    border.pop_front();
    const auto neighbour = face->neighbor(i);
    if (neighbour->info().level < 0) flood(neighbour, face->info().level + 1);
  }
}

double ring_area(const std::vector<FlatPoint>& ring) {
  double twice = 0.0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const FlatPoint a = ring[i], b = ring[(i + 1) % ring.size()];
    twice += (a.x_m - ring[0].x_m) * (b.y_m - ring[0].y_m) -
             (b.x_m - ring[0].x_m) * (a.y_m - ring[0].y_m);
  }
  return std::abs(0.5 * twice);
}

}  // namespace

double polygon_area_m2(const FlatRings& rings) {
  double area = rings.empty() ? 0.0 : ring_area(rings.front());
  for (std::size_t i = 1; i < rings.size(); ++i) area -= ring_area(rings[i]);
  return area;
}

std::optional<std::vector<std::array<std::uint32_t, 3>>> triangulate(const FlatRings& rings) {
  Triangulation t;
  std::vector<FlatPoint> points;
  try {
    for (const auto& ring : rings) {
      std::vector<Triangulation::Vertex_handle> corners;
      for (const FlatPoint p : ring) {
        const auto before = t.number_of_vertices();
        const auto corner = t.insert({p.x_m, p.y_m});
        // Rings that touch share a corner; the first number stands for both.
        if (t.number_of_vertices() != before) {
          corner->info() = static_cast<std::uint32_t>(points.size());
        }
        corners.push_back(corner);
        points.push_back(p);
      }
      for (std::size_t i = 0; i < corners.size(); ++i) {
        const auto& a = corners[i];
        const auto& b = corners[(i + 1) % corners.size()];
        if (a != b) t.insert_constraint(a, b);
      }
    }
  } catch (const Triangulation::Intersection_of_constraints_exception&) {
    return std::nullopt;
  }
  if (t.dimension() < 2) return std::nullopt;
  mark_nesting(t);
  std::vector<std::array<std::uint32_t, 3>> triangles;
  double area = 0.0;
  for (const auto& face : t.finite_face_handles()) {
    if (face->info().level % 2 == 0) continue;
    const std::array<std::uint32_t, 3> triangle{face->vertex(0)->info(), face->vertex(1)->info(),
                                                face->vertex(2)->info()};
    const FlatPoint a = points[triangle[0]], b = points[triangle[1]], c = points[triangle[2]];
    area += 0.5 * ((b.x_m - a.x_m) * (c.y_m - a.y_m) - (c.x_m - a.x_m) * (b.y_m - a.y_m));
    triangles.push_back(triangle);
  }
  const double expected = polygon_area_m2(rings);
  if (std::abs(area - expected) > 1e-9 * std::max(expected, 1.0)) return std::nullopt;
  return triangles;
}

}  // namespace sim
