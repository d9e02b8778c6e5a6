// Charts of groups: axes with units, marks that differ in shape as well as in colour, intervals.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/report/canvas.h"

namespace sim {

/// The ink of axes and words: black, so that a page may turn it to its own.
inline constexpr Colour chart_ink{0.0, 0.0, 0.0};

/// Colour and shape of the n-th group, after Okabe and Ito; beyond six the shapes are hollow.
struct MarkStyle {
  Colour colour;
  int shape = 0;
  bool hollow = false;
};
MarkStyle mark_style(std::size_t group);
void draw_mark(Canvas& canvas, PixelPoint at, const MarkStyle& style);

/// A drawing that stands in a file of its own or in a page.
struct NamedChart {
  std::string name;  ///< of its file, without ".svg"
  std::string title, description;
  std::string drawing;  ///< as the canvas gives it
};

/// A value with its interval; NaN ends draw none.
struct ChartValue {
  double x = 0.0, y = 0.0;
  double low = 0.0, high = 0.0;
};
struct ChartSeries {
  std::size_t group = 0;
  std::vector<ChartValue> marks;  ///< measured
  std::vector<ChartValue> line;   ///< predicted: drawn as a line, broken at NaN
};
struct ChartPanel {
  std::string title;
  std::vector<ChartSeries> series;
};
struct ChartKey {
  std::size_t group = 0;
  std::string words;
};

/// Panels over each other on one distance axis in metres and feet, from 0.
struct DistanceChart {
  std::string y_title;
  double bin_m = 50.0;
  bool y_from_zero = true;
  std::optional<double> y_top;  ///< else as high as the data
  std::vector<ChartKey> keys;
  std::string marks_are, lines_are;
  std::vector<ChartPanel> panels;
};
std::string distance_chart_svg(const DistanceChart& chart);

/// One line of words and a value on a common axis.
struct ChartRow {
  std::string words;
  std::size_t group = 0;
  std::optional<ChartValue> value;           ///< x with its interval
  bool open_low = false, open_high = false;  ///< an end that goes on beyond what was asked
  std::optional<ChartValue> band;            ///< a bar from low to high with a tick at x
  bool band_open_low = false, band_open_high = false;
  std::string note;  ///< instead of a value
};
struct RowsChart {
  std::string x_title;
  bool feet = false;  ///< a second axis in feet
  bool from_zero = false;
  bool zero_line = false;
  std::string values_are, bands_are;
  std::vector<ChartRow> rows;
};
std::string rows_chart_svg(const RowsChart& chart);

/// Round numbers that span the range, at most about `most`.
std::vector<double> round_ticks(double low, double high, int most);

}  // namespace sim
