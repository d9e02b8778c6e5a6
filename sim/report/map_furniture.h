// What stands beside a map: legend, scale bar, north arrow, cautions.
#pragma once

#include <string>
#include <vector>

#include "sim/base/units.h"
#include "sim/report/canvas.h"

namespace sim {

enum class Texture { none, dots, strokes };
struct LegendEntry {
  Colour colour;
  Texture texture;
  std::string words;
};
struct Strip {
  double left, top, width;
};

void draw_furniture(Canvas& canvas, Strip strip, double pixels_per_m, Angle convergence,
                    const std::vector<LegendEntry>& legend);

}  // namespace sim
