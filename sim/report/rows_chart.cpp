#include <algorithm>
#include <cmath>

#include "sim/report/chart.h"
#include "sim/report/chart_axes.h"

namespace sim {
namespace {

constexpr double width = 700.0, right = 22.0, row_height = 27.0, size = 13.0;

PlotBox box_of(const RowsChart& chart, double left, double top) {
  double low = chart.from_zero || chart.zero_line ? 0.0 : 1e300;
  double high = chart.from_zero || chart.zero_line ? 0.0 : -1e300;
  for (const ChartRow& row : chart.rows) {
    for (const auto* value : {&row.value, &row.band}) {
      if (!*value) continue;
      for (const double x : {(*value)->x, (*value)->low, (*value)->high}) {
        if (!std::isfinite(x)) continue;
        low = std::min(low, x);
        high = std::max(high, x);
      }
    }
  }
  if (low > high) low = high = 0.0;
  const double margin = high > low ? 0.05 * (high - low) : 1.0;
  if (!chart.from_zero) low -= margin;
  return {left,
          top,
          width - left - right,
          row_height * static_cast<double>(chart.rows.size()),
          low,
          high + margin,
          0.0,
          1.0};
}

void arrow(Canvas& canvas, double x, double y, double way, Colour colour) {
  canvas.polyline({{x, y}, {x + 9.0 * way, y}}, colour, 1.8);
  canvas.polyline({{x + 5.0 * way, y - 4.0}, {x + 9.0 * way, y}, {x + 5.0 * way, y + 4.0}}, colour,
                  1.8);
}

void draw_row(Canvas& canvas, const PlotBox& box, const ChartRow& row, double y) {
  const MarkStyle style = mark_style(row.group);
  const auto px = [&](double x) { return box.at(x, 0.0).x; };
  if (row.band) {
    Colour pale = style.colour;
    pale.a = 0.35;
    const double low = px(row.band->low), high = px(row.band->high);
    canvas.polygon({{{low, y - 7.0}, {high, y - 7.0}, {high, y + 7.0}, {low, y + 7.0}}}, pale,
                   {0, 0, 0, 0}, 0.0);
    if (row.band_open_low) arrow(canvas, low, y, -1.0, style.colour);
    if (row.band_open_high) arrow(canvas, high, y, 1.0, style.colour);
    canvas.polyline({{px(row.band->x), y - 9.0}, {px(row.band->x), y + 9.0}}, style.colour, 2.4);
  }
  if (row.value && std::isfinite(row.value->x)) {
    if (std::isfinite(row.value->low) && std::isfinite(row.value->high)) {
      const double low = px(row.value->low), high = px(row.value->high);
      canvas.polyline({{low, y}, {high, y}}, style.colour, 1.8);
      for (const auto& [x, open, way] :
           {std::tuple{low, row.open_low, -1.0}, std::tuple{high, row.open_high, 1.0}}) {
        if (open) {
          arrow(canvas, x, y, way, style.colour);
        } else {
          canvas.polyline({{x, y - 4.0}, {x, y + 4.0}}, style.colour, 1.8);
        }
      }
    }
    draw_mark(canvas, {px(row.value->x), y}, style);
  }
  if (!row.note.empty()) canvas.text({box.left + 6.0, y + 4.5}, row.note, size, chart_ink);
}

}  // namespace

std::string rows_chart_svg(const RowsChart& chart) {
  const double legend = 22.0, head = legend + (chart.feet ? 46.0 : 22.0);
  const double height = head + row_height * static_cast<double>(chart.rows.size()) + 46.0;
  Canvas canvas = Canvas::drawing(static_cast<int>(width), static_cast<int>(height));
  double left = 120.0;
  for (const ChartRow& row : chart.rows) {
    left = std::max(left, canvas.text_width(row.words, size) + 24.0);
  }
  left = std::min(left, 330.0);
  double x = 10.0;
  if (!chart.values_are.empty()) {
    canvas.polyline({{x, 13.5}, {x + 26.0, 13.5}}, chart_ink, 1.8);
    canvas.circle({x + 13.0, 13.5}, 4.0, chart_ink, {0, 0, 0, 0}, 0.0);
    canvas.text({x + 32.0, 18.0}, chart.values_are, size, chart_ink);
    x += canvas.text_width(chart.values_are, size) + 54.0;
  }
  if (!chart.bands_are.empty()) {
    canvas.polygon({{{x, 7.0}, {x + 26.0, 7.0}, {x + 26.0, 20.0}, {x, 20.0}}}, {0.5, 0.5, 0.5, 0.4},
                   {0, 0, 0, 0}, 0.0);
    canvas.polyline({{x + 13.0, 5.0}, {x + 13.0, 22.0}}, chart_ink, 2.0);
    canvas.text({x + 32.0, 18.0}, chart.bands_are, size, chart_ink);
  }
  const PlotBox box = box_of(chart, left, head);
  draw_x_axis(canvas, box, chart.x_title, size);
  if (chart.feet) draw_x_axis_feet(canvas, box, size);
  if (chart.zero_line) {
    const double zero = box.at(0.0, 0.0).x;
    canvas.polyline({{zero, box.top}, {zero, box.bottom()}}, chart_ink, 1.4);
  }
  double y = head + 0.5 * row_height;
  for (const ChartRow& row : chart.rows) {
    canvas.text({10.0, y + 4.5}, canvas.shortened(row.words, left - 20.0, size), size, chart_ink);
    draw_row(canvas, box, row, y);
    y += row_height;
  }
  return canvas.svg();
}

}  // namespace sim
