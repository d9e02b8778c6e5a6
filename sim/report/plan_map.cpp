#include "sim/report/plan_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "sim/explain/wording.h"
#include "sim/report/svg_text.h"

namespace sim {
namespace {

struct Window {
  double west = 1e300, south = 1e300, east = -1e300, north = -1e300;
  double pixels_per_m = 1.0;
  void hold(ScenePoint p) {
    west = std::min(west, p.x_m);
    east = std::max(east, p.x_m);
    south = std::min(south, p.y_m);
    north = std::max(north, p.y_m);
  }
  double x(double east_m) const { return (east_m - west) * pixels_per_m; }
  double y(double north_m) const { return (north - north_m) * pixels_per_m; }
  bool sees(ScenePoint p) const {
    return p.x_m >= west && p.x_m <= east && p.y_m >= south && p.y_m <= north;
  }
};

std::string at(const Window& w, ScenePoint p) {
  return fmt::format("{:.1f},{:.1f}", w.x(p.x_m), w.y(p.y_m));
}

std::string line(const Window& w, const std::vector<ScenePoint>& points, const char* style) {
  std::string text = "<polyline points=\"";
  for (const ScenePoint p : points) text += at(w, p) + " ";
  return text + "\" class=\"" + style + "\"/>\n";
}

std::string buildings(const Scene& scene, const Window& w) {
  std::string path;
  for (const BuildingOutline& outline : scene.outlines) {
    for (const auto& polygon : outline.polygons) {
      if (std::none_of(polygon.front().begin(), polygon.front().end(),
                       [&](ScenePoint p) { return w.sees(p); })) {
        continue;
      }
      for (const auto& ring : polygon) {
        path += "M";
        for (const ScenePoint p : ring) path += at(w, p) + " ";
        path += "Z";
      }
    }
  }
  return path.empty() ? "" : "<path class=\"house\" fill-rule=\"evenodd\" d=\"" + path + "\"/>\n";
}

std::string nodes(const Scene& scene, const Window& w, double radius_px) {
  std::string text;
  for (const Node& node : scene.nodes) {
    if (!w.sees(node.position)) continue;
    const double x = w.x(node.position.x_m), y = w.y(node.position.y_m);
    for (const Sector& sector : node.sectors) {
      if (!sector.table && sector.pattern == "isotropic") continue;
      std::string wedge = fmt::format("M{:.1f},{:.1f}", x, y);
      for (const double off : {-32.5, 0.0, 32.5}) {  // half of the element's 65 degrees
        const ScenePoint d =
            scene.frame.direction(sector.azimuth + Angle::degrees(off), node.position);
        wedge += fmt::format("L{:.1f},{:.1f}", x + radius_px * d.x_m, y - radius_px * d.y_m);
      }
      text += "<path class=\"sector\" d=\"" + wedge + "Z\"/>\n";
    }
    text += fmt::format(
        "<path class=\"node\" d=\"M{:.1f},{:.1f}l6,11h-12Z\"/><text class=\"label\" x=\"{:.1f}\" "
        "y=\"{:.1f}\">{}</text>\n",
        x, y - 7.0, x + 8.0, y + 4.0, markup_text(node.id));
  }
  return text;
}

/// Numbers beside their places, each where it covers no other.
std::string positions(const Plan& plan, const Window& w) {
  constexpr double high_px = 11.0;
  struct Box {
    double left, top, right, bottom;
  };
  std::vector<Box> taken;
  const auto overlap = [&](const Box& box) {
    double sum = 0.0;
    for (const Box& other : taken) {
      const double dx = std::min(box.right, other.right) - std::max(box.left, other.left);
      const double dy = std::min(box.bottom, other.bottom) - std::max(box.top, other.top);
      if (dx > 0.0 && dy > 0.0) sum += dx * dy;
    }
    return sum;
  };
  for (const PlannedPosition& p : plan.positions) {
    const double x = w.x(p.at.phone.x_m), y = w.y(p.at.phone.y_m);
    taken.push_back({x - 4.0, y - 4.0, x + 4.0, y + 4.0});
  }
  std::string text;
  for (const PlannedPosition& p : plan.positions) {
    const double x = w.x(p.at.phone.x_m), y = w.y(p.at.phone.y_m);
    const double wide = 6.2 * static_cast<double>(p.id.size());
    Box best{};
    double least = 1e300;
    for (const double away : {7.0, 16.0, 28.0, 42.0}) {
      for (int turn = 0; turn < 8; ++turn) {
        const double a = turn * 0.7853981634, cx = x + (away + 0.5 * wide) * std::cos(a),
                     cy = y + (away + 0.5 * high_px) * std::sin(a);
        const Box box{cx - 0.5 * wide, cy - 0.5 * high_px, cx + 0.5 * wide, cy + 0.5 * high_px};
        const double cost = overlap(box) + 0.2 * away;
        if (cost < least - 1e-9) {
          least = cost;
          best = box;
        }
      }
    }
    taken.push_back(best);
    const double cx = 0.5 * (best.left + best.right), cy = 0.5 * (best.top + best.bottom);
    const char* style = p.at.sight ? (p.beyond_edge ? "spot past" : "spot") : "spot dark";
    text += fmt::format("<path class=\"lead\" d=\"M{:.1f},{:.1f}L{:.1f},{:.1f}\"/>", x, y, cx, cy);
    text +=
        fmt::format("<circle class=\"{}\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"3.4\"/>", style, x, y);
    text += fmt::format(
        "<text class=\"number\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{}</text>\n", cx,
        cy + 4.0, p.id);
  }
  return text;
}

std::string furniture(const Scene& scene, const Window& w, double height_px, LengthUnits units) {
  double bar_m = 10.0;
  for (const double m : {20.0, 50.0, 100.0, 200.0, 500.0}) {
    if (m * w.pixels_per_m < 180.0) bar_m = m;
  }
  const double y = height_px - 14.0;
  std::string text = fmt::format(
      "<path class=\"bar\" d=\"M12,{0:.1f}v5h{1:.1f}v-5\"/><text class=\"label\" x=\"16\" "
      "y=\"{2:.1f}\">{3}</text>\n",
      y, bar_m * w.pixels_per_m, y - 2.0, length_text(bar_m, units));
  const ScenePoint north = scene.frame.direction(Angle::degrees(0.0), {0.0, 0.0, 0.0});
  const double x0 = (w.east - w.west) * w.pixels_per_m - 20.0, y0 = 34.0;
  text += fmt::format(
      "<path class=\"bar\" d=\"M{0:.1f},{1:.1f}L{2:.1f},{3:.1f}\"/><circle class=\"spot\" "
      "cx=\"{2:.1f}\" cy=\"{3:.1f}\" r=\"2\"/><text class=\"label\" x=\"{4:.1f}\" "
      "y=\"{5:.1f}\">N</text>\n",
      x0, y0, x0 + 20.0 * north.x_m, y0 - 20.0 * north.y_m, x0 - 4.0, y0 + 12.0);
  return text;
}

}  // namespace

std::string plan_map_svg(const Scene& scene, const Plan& plan, double width_px, LengthUnits units) {
  Window w;
  for (const PlannedPosition& p : plan.positions) {
    w.hold(p.at.phone);
    w.hold(scene.nodes[p.at.node].position);
  }
  for (const ScenePoint p : plan.route.line) w.hold(p);
  if (plan.positions.empty()) {
    for (const Node& node : scene.nodes) w.hold(node.position);
  }
  const double margin = std::max(25.0, 0.06 * std::max(w.east - w.west, w.north - w.south));
  w = {w.west - margin, w.south - margin, w.east + margin, w.north + margin};
  // Neither a ribbon nor a tower: the paper has room for something in between.
  const double least = 0.45 * (w.east - w.west), most = 1.15 * (w.east - w.west);
  const double tall = w.north - w.south;
  if (tall < least) {
    w.south -= 0.5 * (least - tall);
    w.north += 0.5 * (least - tall);
  } else if (tall > most) {
    const double wide = tall / 1.15 - (w.east - w.west);
    w.west -= 0.5 * wide;
    w.east += 0.5 * wide;
  }
  w.pixels_per_m = width_px / (w.east - w.west);
  const double height_px = (w.north - w.south) * w.pixels_per_m;
  std::string text = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"Map of the walk\" "
      "viewBox=\"0 0 {0:.0f} {1:.0f}\">\n<rect class=\"paper\" width=\"{0:.0f}\" "
      "height=\"{1:.0f}\"/>\n",
      width_px, height_px);
  for (const Street& street : scene.streets) text += line(w, street.line, "street");
  text += buildings(scene, w) + line(w, plan.route.line, "walk") + nodes(scene, w, 42.0) +
          positions(plan, w) + furniture(scene, w, height_px, units);
  return text + "</svg>\n";
}

}  // namespace sim
