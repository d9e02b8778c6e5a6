#include "sim/report/map_furniture.h"

#include <fmt/format.h>

#include <cmath>

#include "sim/report/cautions.h"

namespace sim {
namespace {

constexpr Colour ink{0.13, 0.14, 0.17}, faint{0.36, 0.37, 0.41}, none{0, 0, 0, 0};
constexpr double foot_m = 0.3048;

/// The largest of 1, 2, 5 times a power of ten that is not above the value.
double round_down(double value) {
  const double power = std::pow(10.0, std::floor(std::log10(value)));
  for (const double step : {5.0, 2.0, 1.0}) {
    if (step * power <= value) return step * power;
  }
  return power;
}

double draw_legend(Canvas& canvas, Strip strip, const std::vector<LegendEntry>& legend) {
  double y = strip.top + 16;
  canvas.text({strip.left, y}, "Legend", 18, ink, true);
  y += 16;
  for (const LegendEntry& entry : legend) {
    canvas.rectangle(strip.left, y, 34, 20, entry.colour);
    canvas.outline(strip.left, y, 34, 20, faint, 0.8);
    for (int k = 0; k < 3; ++k) {
      const PixelPoint p{strip.left + 7 + 10 * k, y + 10};
      if (entry.texture == Texture::dots) canvas.circle(p, 1.4, {0.65, 0.45, 0.0}, none, 0.0);
      if (entry.texture == Texture::strokes) {
        canvas.polyline({{p.x - 3, p.y + 3}, {p.x + 3, p.y - 3}}, {0.70, 0.27, 0.05}, 1.4);
      }
    }
    canvas.text({strip.left + 46, y + 15}, entry.words, 15, ink);
    y += 29;
  }
  canvas.circle({strip.left + 17, y + 10}, 2.6, ink, none, 0.0);
  canvas.text({strip.left + 46, y + 15}, "pole", 15, ink);
  y += 29;
  canvas.circle({strip.left + 17, y + 10}, 6.5, {1, 1, 1}, {0.0, 0.25, 0.45}, 2.6);
  canvas.circle({strip.left + 17, y + 10}, 2.4, {0.0, 0.25, 0.45}, none, 0.0);
  canvas.text({strip.left + 46, y + 15}, "node, with its sectors", 15, ink);
  y += 29;
  canvas.polyline({{strip.left, y + 10}, {strip.left + 34, y + 10}}, {0.60, 0.15, 0.0}, 2.6,
                  {7.0, 6.0});
  canvas.text({strip.left + 46, y + 15}, "stretch that should drop", 15, ink);
  return y + 48;
}

double draw_bar(Canvas& canvas, Strip strip, double y, double pixels_per_m, double unit_m,
                const char* unit) {
  const double length = round_down(0.8 * strip.width / pixels_per_m / unit_m);
  const double pixels = length * unit_m * pixels_per_m;
  canvas.rectangle(strip.left, y, pixels / 2, 7, ink);
  canvas.rectangle(strip.left + pixels / 2, y, pixels / 2, 7, {1, 1, 1});
  canvas.outline(strip.left, y, pixels, 7, ink, 1.0);
  canvas.text({strip.left, y + 24}, "0", 13, ink);
  const std::string end = fmt::format("{:g} {}", length, unit);
  canvas.text({strip.left + pixels - 0.5 * canvas.text_width(end, 13), y + 24}, end, 13, ink);
  return y + 44;
}

double draw_north(Canvas& canvas, Strip strip, double y, Angle convergence) {
  // True north lies at minus the convergence from the top of the map.
  const double a = -convergence.radians();
  const PixelPoint foot{strip.left + 16, y + 46};
  const auto turn = [&](double right, double up) {
    return PixelPoint{foot.x + right * std::cos(a) + up * std::sin(a),
                      foot.y + right * std::sin(a) - up * std::cos(a)};
  };
  canvas.polygon({{turn(0, 46), turn(-9, 10), turn(0, 17), turn(9, 10)}}, ink, none, 0.0);
  canvas.text({strip.left + 40, y + 30}, "true north", 13, ink);
  return y + 72;
}

}  // namespace

void draw_furniture(Canvas& canvas, Strip strip, double pixels_per_m, Angle convergence,
                    const std::vector<LegendEntry>& legend) {
  double y = draw_legend(canvas, strip, legend);
  y = draw_bar(canvas, strip, y, pixels_per_m, 1.0, "m");
  y = draw_bar(canvas, strip, y, pixels_per_m, foot_m, "ft");
  y = draw_north(canvas, strip, y, convergence);
  canvas.text({strip.left, y}, "Please note", 15, ink, true);
  y += 22;
  for (const std::string_view caution : cautions) {
    y = canvas.paragraph({strip.left, y}, strip.width - 8, std::string(caution), 12, faint) + 6;
  }
}

}  // namespace sim
