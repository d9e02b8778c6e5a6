#include "sim/report/canvas.h"

#include <cairo-svg.h>
#include <cairo.h>

#include <sstream>

#include "sim/base/input_error.h"

namespace sim {

struct Canvas::Hidden {
  cairo_surface_t* surface;
  cairo_t* pen;
  std::string svg;
};

namespace {

void use(cairo_t* pen, Colour c) { cairo_set_source_rgba(pen, c.r, c.g, c.b, c.a); }

void font(cairo_t* pen, double size, bool bold) {
  cairo_select_font_face(pen, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                         bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(pen, size);
}

void trace(cairo_t* pen, const std::vector<PixelPoint>& points) {
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i == 0) {
      cairo_move_to(pen, points[i].x, points[i].y);
    } else {
      cairo_line_to(pen, points[i].x, points[i].y);
    }
  }
}

void fill_and_line(cairo_t* pen, Colour fill, Colour line, double width) {
  if (fill.a > 0.0) {
    use(pen, fill);
    cairo_fill_preserve(pen);
  }
  if (line.a > 0.0) {
    use(pen, line);
    cairo_set_line_width(pen, width);
    cairo_stroke_preserve(pen);
  }
  cairo_new_path(pen);
}

cairo_status_t append(void* text, const unsigned char* bytes, unsigned int count) {
  static_cast<std::string*>(text)->append(reinterpret_cast<const char*>(bytes), count);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

Canvas::Canvas(int width, int height) : hidden_(std::make_unique<Hidden>()) {
  hidden_->surface = cairo_svg_surface_create_for_stream(append, &hidden_->svg, width, height);
  hidden_->pen = cairo_create(hidden_->surface);
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_set_font_options(hidden_->pen, options);
  cairo_font_options_destroy(options);
}

Canvas Canvas::drawing(int width, int height) { return {width, height}; }

Canvas::Canvas(int width, int height, Colour background) : hidden_(std::make_unique<Hidden>()) {
  hidden_->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
  hidden_->pen = cairo_create(hidden_->surface);
  cairo_set_line_join(hidden_->pen, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap(hidden_->pen, CAIRO_LINE_CAP_ROUND);
  use(hidden_->pen, background);
  cairo_paint(hidden_->pen);
}

Canvas::~Canvas() {
  cairo_destroy(hidden_->pen);
  cairo_surface_destroy(hidden_->surface);
}

void Canvas::rectangle(double x, double y, double w, double h, Colour fill) {
  cairo_set_antialias(hidden_->pen, CAIRO_ANTIALIAS_NONE);  // cells side by side show no seam
  cairo_rectangle(hidden_->pen, x, y, w, h);
  use(hidden_->pen, fill);
  cairo_fill(hidden_->pen);
  cairo_set_antialias(hidden_->pen, CAIRO_ANTIALIAS_DEFAULT);
}

void Canvas::outline(double x, double y, double w, double h, Colour line, double width) {
  cairo_rectangle(hidden_->pen, x, y, w, h);
  fill_and_line(hidden_->pen, {0, 0, 0, 0}, line, width);
}

void Canvas::polygon(const std::vector<std::vector<PixelPoint>>& rings, Colour fill, Colour line,
                     double width) {
  cairo_set_fill_rule(hidden_->pen, CAIRO_FILL_RULE_EVEN_ODD);
  for (const auto& ring : rings) {
    trace(hidden_->pen, ring);
    cairo_close_path(hidden_->pen);
  }
  fill_and_line(hidden_->pen, fill, line, width);
}

void Canvas::polyline(const std::vector<PixelPoint>& points, Colour line, double width,
                      const std::vector<double>& dashes) {
  if (points.size() < 2) return;
  cairo_set_dash(hidden_->pen, dashes.data(), static_cast<int>(dashes.size()), 0.0);
  trace(hidden_->pen, points);
  fill_and_line(hidden_->pen, {0, 0, 0, 0}, line, width);
  cairo_set_dash(hidden_->pen, nullptr, 0, 0.0);
}

void Canvas::circle(PixelPoint center, double radius, Colour fill, Colour line, double width) {
  cairo_arc(hidden_->pen, center.x, center.y, radius, 0.0, 2.0 * 3.14159265358979323846);
  fill_and_line(hidden_->pen, fill, line, width);
}

void Canvas::text(PixelPoint place, const std::string& words, double size, Colour colour, bool bold,
                  Colour halo) {
  cairo_t* pen = hidden_->pen;
  font(pen, size, bold);
  if (halo.a > 0.0) {
    cairo_move_to(pen, place.x, place.y);
    cairo_text_path(pen, words.c_str());
    fill_and_line(pen, {0, 0, 0, 0}, halo, 0.3 * size);
  }
  cairo_move_to(pen, place.x, place.y);
  use(pen, colour);
  cairo_show_text(pen, words.c_str());
  cairo_new_path(pen);
}

void Canvas::upright_text(PixelPoint middle, const std::string& words, double size, Colour colour) {
  cairo_save(hidden_->pen);
  cairo_translate(hidden_->pen, middle.x, middle.y);
  cairo_rotate(hidden_->pen, -0.5 * 3.14159265358979323846);
  text({-0.5 * text_width(words, size), 0.0}, words, size, colour);
  cairo_restore(hidden_->pen);
}

std::string Canvas::shortened(const std::string& words, double width, double size) {
  if (text_width(words, size) <= width) return words;
  std::string cut = words;
  while (!cut.empty() && text_width(cut + "…", size) > width) {
    // A whole character: the bytes that go on one begin with 10.
    while (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0xC0U) == 0x80U)
      cut.pop_back();
    if (!cut.empty()) cut.pop_back();
  }
  return cut + "…";
}

double Canvas::text_width(const std::string& words, double size, bool bold) {
  font(hidden_->pen, size, bold);
  cairo_text_extents_t extents;
  cairo_text_extents(hidden_->pen, words.c_str(), &extents);
  return extents.x_advance;
}

double Canvas::paragraph(PixelPoint place, double width, const std::string& words, double size,
                         Colour colour) {
  std::istringstream in(words);
  std::string word, line;
  double y = place.y;
  while (in >> word) {
    const std::string longer = line.empty() ? word : line + " " + word;
    if (!line.empty() && text_width(longer, size) > width) {
      text({place.x, y}, line, size, colour);
      y += 1.35 * size;
      line = word;
    } else {
      line = longer;
    }
  }
  if (!line.empty()) {
    text({place.x, y}, line, size, colour);
    y += 1.35 * size;
  }
  return y;
}

void Canvas::clip(double x, double y, double w, double h) {
  cairo_save(hidden_->pen);
  cairo_rectangle(hidden_->pen, x, y, w, h);
  cairo_clip(hidden_->pen);
}

void Canvas::unclip() { cairo_restore(hidden_->pen); }

void Canvas::write_png(const std::string& path) const {
  if (cairo_surface_write_to_png(hidden_->surface, path.c_str()) != CAIRO_STATUS_SUCCESS) {
    throw InputError({path, "", -1}, "cannot be written");
  }
}

std::string Canvas::svg() {
  cairo_surface_finish(hidden_->surface);
  return hidden_->svg;
}

}  // namespace sim
