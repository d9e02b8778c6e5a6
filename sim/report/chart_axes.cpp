#include "sim/report/chart_axes.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace sim {
namespace {

constexpr Colour grid_line{0.5, 0.5, 0.5, 0.35};
constexpr double foot_m = 0.3048;

std::string tick_text(double value) {
  return std::abs(value) < 1e-9 ? "0" : fmt::format("{:g}", std::round(value * 1e6) / 1e6);
}

void centred(Canvas& canvas, double x, double y, const std::string& words, double size) {
  canvas.text({x - 0.5 * canvas.text_width(words, size), y}, words, size, chart_ink);
}

/// Ticks below the box, at metres or whatever the axis counts.
void bottom_ticks(Canvas& canvas, const PlotBox& box, double size) {
  for (const double x : round_ticks(box.x_low, box.x_high, 8)) {
    const double px = box.at(x, box.y_low).x;
    canvas.polyline({{px, box.top}, {px, box.bottom()}}, grid_line, 0.8);
    canvas.polyline({{px, box.bottom()}, {px, box.bottom() + 4.0}}, chart_ink, 1.0);
    centred(canvas, px, box.bottom() + 17.0, tick_text(x), size);
  }
  canvas.polyline({{box.left, box.bottom()}, {box.left + box.width, box.bottom()}}, chart_ink, 1.0);
}

}  // namespace

std::vector<double> round_ticks(double low, double high, int most) {
  const double rough = (high - low) / std::max(1, most);
  if (!(rough > 0.0) || !std::isfinite(rough)) return {low};
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  double step = 10.0 * power;
  for (const double part : {1.0, 2.0, 5.0}) {
    if (part * power >= rough * (1.0 - 1e-9)) {
      step = part * power;
      break;
    }
  }
  std::vector<double> ticks;
  for (double k = std::ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k += 1.0) {
    ticks.push_back(k * step);
  }
  return ticks;
}

void draw_y_axis(Canvas& canvas, const PlotBox& box, const std::string& title, double size) {
  for (const double y : round_ticks(box.y_low, box.y_high, 5)) {
    const double py = box.at(box.x_low, y).y;
    canvas.polyline({{box.left, py}, {box.left + box.width, py}}, grid_line, 0.8);
    const std::string words = tick_text(y);
    canvas.text({box.left - 8.0 - canvas.text_width(words, size), py + 4.5}, words, size,
                chart_ink);
  }
  canvas.polyline({{box.left, box.top}, {box.left, box.bottom()}}, chart_ink, 1.0);
  canvas.upright_text({16.0, box.top + 0.5 * box.height}, title, size, chart_ink);
}

void draw_x_axis(Canvas& canvas, const PlotBox& box, const std::string& title, double size) {
  bottom_ticks(canvas, box, size);
  centred(canvas, box.left + 0.5 * box.width, box.bottom() + 36.0, title, size);
}

void draw_x_axis_metres(Canvas& canvas, const PlotBox& box, double size, bool with_title) {
  bottom_ticks(canvas, box, size);
  if (!with_title) return;
  centred(canvas, box.left + 0.5 * box.width, box.bottom() + 36.0,
          "level distance from the node, m (feet above)", size);
}

void draw_x_axis_feet(Canvas& canvas, const PlotBox& box, double size) {
  for (const double feet : round_ticks(box.x_low / foot_m, box.x_high / foot_m, 8)) {
    const double px = box.at(feet * foot_m, box.y_low).x;
    canvas.polyline({{px, box.top}, {px, box.top - 4.0}}, chart_ink, 1.0);
    centred(canvas, px, box.top - 8.0, tick_text(feet), size);
  }
  canvas.polyline({{box.left, box.top}, {box.left + box.width, box.top}}, chart_ink, 1.0);
  canvas.text({10.0, box.top - 8.0}, "feet", size, chart_ink);
}

MarkStyle mark_style(std::size_t group) {
  constexpr std::array<Colour, 6> colours{{{0.0, 0.45, 0.70},
                                           {0.84, 0.37, 0.0},
                                           {0.0, 0.62, 0.45},
                                           {0.80, 0.47, 0.65},
                                           {0.72, 0.50, 0.0},
                                           {0.34, 0.60, 0.85}}};
  return {colours.at(group % colours.size()), static_cast<int>(group % colours.size()),
          group >= colours.size()};
}

void draw_mark(Canvas& canvas, PixelPoint at, const MarkStyle& style) {
  constexpr double r = 4.6;
  const Colour fill = style.hollow ? Colour{1, 1, 1, 0.0} : style.colour;
  const auto shape = [&](std::vector<PixelPoint> corners) {
    for (PixelPoint& p : corners) p = {at.x + r * p.x, at.y + r * p.y};
    canvas.polygon({corners}, fill, style.colour, 1.4);
  };
  switch (style.shape) {
    case 0:
      canvas.circle(at, r, fill, style.colour, 1.4);
      break;
    case 1:
      shape({{-0.9, -0.9}, {0.9, -0.9}, {0.9, 0.9}, {-0.9, 0.9}});
      break;
    case 2:
      shape({{0.0, -1.2}, {1.1, 0.9}, {-1.1, 0.9}});
      break;
    case 3:
      shape({{0.0, -1.3}, {1.1, 0.0}, {0.0, 1.3}, {-1.1, 0.0}});
      break;
    case 4:
      shape({{0.0, 1.2}, {1.1, -0.9}, {-1.1, -0.9}});
      break;
    default:
      canvas.polyline({{at.x - r, at.y - r}, {at.x + r, at.y + r}}, style.colour, 2.2);
      canvas.polyline({{at.x - r, at.y + r}, {at.x + r, at.y - r}}, style.colour, 2.2);
  }
}

}  // namespace sim
