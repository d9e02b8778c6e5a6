#include "sim/report/chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/report/chart_axes.h"

namespace sim {
namespace {

constexpr double width = 700.0, left = 72.0, right = 18.0, panel_height = 230.0, panel_gap = 34.0;
constexpr double size = 13.0;

struct Span {
  double low = 1e300, high = -1e300;
};

/// Of everything drawn, intervals included.
Span span_of(const DistanceChart& chart) {
  Span span;
  for (const ChartPanel& panel : chart.panels) {
    for (const ChartSeries& s : panel.series) {
      for (const auto* values : {&s.marks, &s.line}) {
        for (const ChartValue& v : *values) {
          for (const double y : {v.y, v.low, v.high}) {
            if (!std::isfinite(y)) continue;
            span.low = std::min(span.low, y);
            span.high = std::max(span.high, y);
          }
        }
      }
    }
  }
  return span.low <= span.high ? span : Span{0.0, 1.0};
}

double farthest(const DistanceChart& chart) {
  double far = chart.bin_m;
  for (const ChartPanel& panel : chart.panels) {
    for (const ChartSeries& s : panel.series) {
      for (const ChartValue& v : s.marks) far = std::max(far, v.x + 0.5 * chart.bin_m);
      for (const ChartValue& v : s.line) far = std::max(far, v.x);
    }
  }
  return far;
}

/// Keys in as many lines as they take; returns the y below.
double draw_keys(Canvas& canvas, const DistanceChart& chart, double y) {
  double x = left;
  const auto room = [&](double needed) {
    if (x > left && x + needed > width - right) {
      x = left;
      y += 20.0;
    }
  };
  for (const ChartKey& key : chart.keys) {
    const double wide = canvas.text_width(key.words, size) + 40.0;
    room(wide);
    draw_mark(canvas, {x + 8.0, y - 4.5}, mark_style(key.group));
    canvas.text({x + 20.0, y}, key.words, size, chart_ink);
    x += wide;
  }
  x = left;
  y += 20.0;
  if (!chart.marks_are.empty()) {
    canvas.polyline({{x + 8.0, y - 11.0}, {x + 8.0, y + 2.0}}, chart_ink, 1.4);
    canvas.circle({x + 8.0, y - 4.5}, 3.6, chart_ink, {0, 0, 0, 0}, 0.0);
    canvas.text({x + 20.0, y}, chart.marks_are, size, chart_ink);
    x += canvas.text_width(chart.marks_are, size) + 40.0;
  }
  if (!chart.lines_are.empty()) {
    room(canvas.text_width(chart.lines_are, size) + 50.0);
    canvas.polyline({{x, y - 4.5}, {x + 26.0, y - 4.5}}, chart_ink, 1.8, {5.0, 3.0});
    canvas.text({x + 32.0, y}, chart.lines_are, size, chart_ink);
  }
  return y + 10.0;
}

void draw_line(Canvas& canvas, const PlotBox& box, const ChartSeries& s) {
  const Colour colour = mark_style(s.group).colour;
  std::vector<PixelPoint> run;
  const auto flush = [&] {
    canvas.polyline(run, colour, 1.8, {5.0, 3.0});
    run.clear();
  };
  for (const ChartValue& v : s.line) {
    if (!std::isfinite(v.y)) {
      flush();
      continue;
    }
    run.push_back(box.at(v.x, v.y));
  }
  flush();
}

void draw_marks(Canvas& canvas, const PlotBox& box, const ChartSeries& s, double shift_px) {
  const MarkStyle style = mark_style(s.group);
  for (const ChartValue& v : s.marks) {
    if (!std::isfinite(v.y)) continue;
    PixelPoint at = box.at(v.x, v.y);
    at.x += shift_px;
    if (std::isfinite(v.low) && std::isfinite(v.high)) {
      const double low = box.at(v.x, v.low).y, high = box.at(v.x, v.high).y;
      canvas.polyline({{at.x, low}, {at.x, high}}, style.colour, 1.6);
      for (const double y : {low, high}) {
        canvas.polyline({{at.x - 3.0, y}, {at.x + 3.0, y}}, style.colour, 1.6);
      }
    }
    draw_mark(canvas, at, style);
  }
}

}  // namespace

std::string distance_chart_svg(const DistanceChart& chart) {
  const auto panels = static_cast<double>(chart.panels.size());
  const double keys = 34.0 + 20.0 * std::ceil(static_cast<double>(chart.keys.size()) / 2.0);
  const double head = keys + 42.0;
  const double height = head + panels * panel_height + (panels - 1.0) * panel_gap + 48.0;
  Canvas canvas = Canvas::drawing(static_cast<int>(width), static_cast<int>(height));
  draw_keys(canvas, chart, 18.0);
  const Span span = span_of(chart);
  const double margin = 0.06 * std::max(1.0, span.high - span.low);
  const double low = chart.y_from_zero ? 0.0 : span.low - margin;
  const double high = chart.y_top.value_or(span.high + 3.0 * margin);  // room for the title
  const double far = farthest(chart);
  double top = head;
  for (std::size_t k = 0; k < chart.panels.size(); ++k) {
    const ChartPanel& panel = chart.panels[k];
    const PlotBox box{left, top, width - left - right, panel_height, 0.0, far, low, high};
    draw_y_axis(canvas, box, chart.y_title, size);
    draw_x_axis_metres(canvas, box, size, k + 1 == chart.panels.size());
    if (k == 0) draw_x_axis_feet(canvas, box, size);
    canvas.text({box.left + 8.0, box.top + 17.0}, panel.title, size, chart_ink, true);
    for (const ChartSeries& s : panel.series) draw_line(canvas, box, s);
    const auto groups = static_cast<double>(panel.series.size());
    const double bin_px = chart.bin_m / far * box.width;
    const double step = groups > 1.0 ? std::min(14.0, 0.7 * bin_px / groups) : 0.0;
    for (std::size_t i = 0; i < panel.series.size(); ++i) {
      draw_marks(canvas, box, panel.series[i],
                 step * (static_cast<double>(i) - 0.5 * (groups - 1.0)));
    }
    const bool empty = std::all_of(panel.series.begin(), panel.series.end(),
                                   [](const auto& s) { return s.marks.empty() && s.line.empty(); });
    if (empty) {
      canvas.text({box.left + 8.0, box.top + 40.0}, "nothing measured or predicted here", size,
                  chart_ink);
    }
    top += panel_height + panel_gap;
  }
  return canvas.svg();
}

}  // namespace sim
