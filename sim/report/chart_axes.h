// Axes of a chart.
#pragma once

#include <string>

#include "sim/report/chart.h"

namespace sim {

/// A plot on the picture: pixels from the top left, values from the bottom left.
struct PlotBox {
  double left = 0.0, top = 0.0, width = 0.0, height = 0.0;
  double x_low = 0.0, x_high = 1.0, y_low = 0.0, y_high = 1.0;
  PixelPoint at(double x, double y) const {
    return {left + (x - x_low) / (x_high - x_low) * width,
            top + height - (y - y_low) / (y_high - y_low) * height};
  }
  double bottom() const { return top + height; }
};

void draw_y_axis(Canvas& canvas, const PlotBox& box, const std::string& title, double size);
void draw_x_axis_metres(Canvas& canvas, const PlotBox& box, double size, bool with_title);
/// Along the top.
void draw_x_axis_feet(Canvas& canvas, const PlotBox& box, double size);
void draw_x_axis(Canvas& canvas, const PlotBox& box, const std::string& title, double size);

}  // namespace sim
