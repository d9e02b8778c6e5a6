#include <algorithm>

#include "sim/loss/formula_book_families.h"
#include "sim/loss/screen_blockage.h"
#include "sim/loss/silhouette.h"

namespace sim {
namespace {

BookAnswer silhouette(const BookInput& in) {
  std::vector<OutlinePoint> outline;
  double farthest_m = 0.0;
  for (const auto& row : in.table("outline")) {
    outline.push_back({row[0], row[1]});
    farthest_m = std::max(farthest_m, std::hypot(row[0], row[1]));
  }
  if (outline.size() < 3) throw InputError({}, "silhouette: outline needs three points or more");
  if (outline_crosses_itself(outline)) {
    throw InputError({}, "silhouette: outline crosses itself; give its corners in order");
  }
  const auto field = silhouette_field(frequency(in), in("d1_m"), in("d2_m"), outline);
  OutOfRange range;
  range.unless(farthest_m <= 0.5 * std::min(in("d1_m"), in("d2_m")),
               "the outline is not small against the distances");
  return {{-20.0 * std::log10(std::abs(field)), Angle::radians(std::arg(field)).degrees()},
          range.why(),
          {}};
}

BookAnswer screen_blockage(const BookInput& in) {
  if (!(in("screen_at_m") < in("d_m"))) {
    throw InputError({}, "screen_blockage: screen_at_m must be less than d_m");
  }
  const BlockingScreen screen{in("screen_at_m"), in("width_m"), in("height_m"), in("offset_m")};
  const ScreenBlockage answer =
      screen_blockage_loss(frequency(in), in("d_m"), in("h_node_m"), in("h_receiver_m"), screen);
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.5, 100.0);
  return {{answer.loss.value}, range.why(), {}};
}

}  // namespace

std::vector<BookModel> screen_models() {
  return {
      {.name = "silhouette",
       .description = "field behind an opaque outline, relative to free space",
       .source = "paraxial Kirchhoff integral (textbook form, from memory)",
       .range = "outlines small against the distances",
       .example = "f_ghz=28 d1_m=45 d2_m=5 outline=outline.csv",
       .keys = {frequency_key(),
                number_key("d1_m", "m", "from one end to the outline's plane", positive),
                number_key("d2_m", "m", "from the plane to the other end", positive),
                table_key("outline", "corners in order, the direct path at 0,0",
                          {{"x_m", "m"}, {"y_m", "m"}})},
       .answers = {{"loss_db", "dB"}, {"phase_deg", "degrees, negative = later"}},
       .evaluate = silhouette},
      {.name = "screen_blockage",
       .description = "loss by an upright rectangle standing on the ground across the path",
       .source = "3GPP TR 38.901 section 7.6.4.2 (blockage model B)",
       .range = "0.5-100 GHz",
       .example = "f_ghz=28 d_m=10 h_node_m=1.5 h_receiver_m=1.5 screen_at_m=5 width_m=0.3 "
                  "height_m=1.7",
       .keys = {frequency_key(),
                number_key("d_m", "m", "horizontal distance of node and receiver", positive),
                number_key("h_node_m", "m", "node above the ground", not_negative),
                number_key("h_receiver_m", "m", "receiver above the ground", not_negative),
                number_key("screen_at_m", "m", "horizontal distance of node and screen", positive),
                number_key("width_m", "m", "width of the screen", not_negative),
                number_key("height_m", "m", "height of the screen", not_negative),
                number_key("offset_m", "m", "middle of the screen sideways from the path",
                           any_number, "0")},
       .answers = {{"loss_db", "dB"}},
       .evaluate = screen_blockage}};
}

}  // namespace sim
