// Drawing on a map: a thin layer over Cairo that thinks in map metres.
#pragma once

#include <memory>
#include <string>
#include <vector>

namespace sim {

struct Colour {
  double r, g, b, a = 1.0;
};

struct PixelPoint {
  double x, y;
};

/// A picture being drawn. Pixels from the top left.
class Canvas {
 public:
  Canvas(int width, int height, Colour background);
  /// A drawing without background that stays lines and letters: svg() gives it.
  static Canvas drawing(int width, int height);
  ~Canvas();
  Canvas(const Canvas&) = delete;
  Canvas& operator=(const Canvas&) = delete;

  void rectangle(double x, double y, double w, double h, Colour fill);
  void outline(double x, double y, double w, double h, Colour line, double width);
  /// Rings together by the even-odd rule; either colour may be fully transparent.
  void polygon(const std::vector<std::vector<PixelPoint>>& rings, Colour fill, Colour line,
               double width);
  void polyline(const std::vector<PixelPoint>& points, Colour line, double width,
                const std::vector<double>& dashes = {});
  void circle(PixelPoint center, double radius, Colour fill, Colour line, double width);
  /// Text with its baseline's left end at the place; a halo of the colour behind when given.
  void text(PixelPoint place, const std::string& words, double size, Colour colour,
            bool bold = false, Colour halo = {0, 0, 0, 0});
  /// Text that reads upward, its middle at the place.
  void upright_text(PixelPoint middle, const std::string& words, double size, Colour colour);
  /// The words, cut with "…" where they are wider than `width` pixels.
  std::string shortened(const std::string& words, double width, double size);
  double text_width(const std::string& words, double size, bool bold = false);
  /// Text broken into lines of at most `width` pixels; returns the y below the last line.
  double paragraph(PixelPoint place, double width, const std::string& words, double size,
                   Colour colour);
  void clip(double x, double y, double w, double h);
  void unclip();
  void write_png(const std::string& path) const;
  /// Ends a drawing. Letters are outlines, so it needs no font.
  std::string svg();

 private:
  Canvas(int width, int height);
  struct Hidden;
  std::unique_ptr<Hidden> hidden_;
};

}  // namespace sim
