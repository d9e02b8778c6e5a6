#include <algorithm>

#include "sim/loss/finite_screen.h"
#include "sim/loss/formula_book_families.h"
#include "sim/loss/knife_edge.h"
#include "sim/loss/rounded_edge.h"
#include "sim/loss/two_edges.h"

namespace sim {
namespace {

constexpr double least_v = -0.78;    // below, P.526 takes the loss as 0
constexpr double small_angle = 0.5;  // heights are to be small against distances

/// Fresnel parameter, given as such or by the geometry.
double parameter(const BookInput& in) {
  std::string missing;
  int given = 0;
  for (const char* key : {"f_ghz", "d1_m", "d2_m", "h_m"}) {
    if (in.has(key)) {
      ++given;
    } else {
      missing += std::string(missing.empty() ? "" : ", ") + key;
    }
  }
  if (in.has("v")) {
    if (given > 0) throw InputError({}, "knife_edge: give v or the geometry, not both");
    return in("v");
  }
  if (given < 4) throw InputError({}, "knife_edge: needs v=, or else " + missing);
  return fresnel_parameter(frequency(in), in("d1_m"), in("d2_m"), in("h_m"));
}

OutOfRange edge_range(const BookInput& in, double h_m) {
  OutOfRange range;
  range.unless(std::abs(h_m) <= small_angle * std::min(in("d1_m"), in("d2_m")),
               "the height is not small against the distances");
  return range;
}

BookAnswer knife_edge(const BookInput& in) {
  const double v = parameter(in);
  OutOfRange range = in.has("h_m") ? edge_range(in, in("h_m")) : OutOfRange();
  range.unless(v > least_v, "v is not above -0.78, where the loss is taken as 0");
  return {{v, knife_edge_loss(v).value, knife_edge_loss_exact(v).value}, range.why(), {}};
}

BookAnswer rounded_edge(const BookInput& in) {
  const RoundedEdge edge =
      rounded_edge_loss(frequency(in), in("d1_m"), in("d2_m"), in("h_m"), in("radius_m"));
  OutOfRange range = edge_range(in, in("h_m"));
  range.unless(in("h_m") >= 0.0, "the top is below the path");
  return {{edge.loss().value}, range.why(), {}};
}

BookAnswer two_edges(const BookInput& in) {
  const TwoEdges edges{in("a_m"), in("b_m"), in("c_m"), in("h1_m"), in("h2_m")};
  OutOfRange range;
  if (in.word("method") == "equal") {
    const TwoEdgeLoss answer = two_edges_equal_loss(frequency(in), edges);
    constexpr double deep_db = 15.0;
    range.unless(std::min(answer.first, answer.second) >= Db(deep_db),
                 "the correction holds where both edges cost more than about 15 dB");
    return {{answer.loss.value}, range.why(), {}};
  }
  if (in.word("method") == "exact") {
    range.unless(std::max(std::abs(edges.h1_m), std::abs(edges.h2_m)) <=
                     small_angle * std::min({edges.a_m, edges.b_m, edges.c_m}),
                 "the heights are not small against the distances");
    return {{-20.0 * std::log10(std::abs(two_edges_field(frequency(in), edges)))}, range.why(), {}};
  }
  const TwoEdgeLoss answer = two_edges_dominant_loss(frequency(in), edges);
  range.unless(answer.v1 > 0.0, "no edge stands above the path");
  range.unless(std::min(edges.h1_m, edges.h2_m) > 0.0,
               "the lesser edge does not reach the path; no correction is taken");
  return {{answer.loss.value}, range.why(), {}};
}

BookAnswer finite_screen(const BookInput& in) {
  const FiniteScreenLoss loss = finite_screen_loss(frequency(in), in("d1_m"), in("d2_m"),
                                                   in("top_m"), in("left_m"), in("right_m"));
  OutOfRange range;
  for (const char* key : {"top_m", "left_m", "right_m"}) {
    range.unless(std::abs(in(key)) <= small_angle * std::min(in("d1_m"), in("d2_m")),
                 std::string(key) + " is not small against the distances");
  }
  range.unless(in("left_m") + in("right_m") >= 0.0, "the screen has no width");
  return {{loss.minimum.value, loss.mean.value}, range.why(), {}};
}

std::vector<BookKey> with_distances(std::vector<BookKey> rest) {
  std::vector<BookKey> keys{frequency_key(),
                            number_key("d1_m", "m", "from one end to the edge", positive),
                            number_key("d2_m", "m", "from the edge to the other end", positive)};
  keys.insert(keys.end(), rest.begin(), rest.end());
  return keys;
}

std::vector<BookKey> knife_edge_keys() {
  auto keys = with_distances(
      {number_key("h_m", "m", "edge above the direct path, negative below it", any_number)});
  keys.insert(keys.begin(),
              number_key("v", "", "Fresnel parameter, in place of the geometry", any_number));
  for (BookKey& key : keys) key.optional = true;
  return keys;
}

}  // namespace

std::vector<BookModel> edge_models() {
  return {
      {.name = "knife_edge",
       .description = "diffraction loss of one knife edge, and by the exact Fresnel integral",
       .source = "ITU-R P.526 section 4.1",
       .range = "v above -0.78; heights small against distances",
       .example = "f_ghz=28 d1_m=50 d2_m=50 h_m=1",
       .keys = knife_edge_keys(),
       .answers = {{"v", ""}, {"loss_db", "dB"}, {"exact_db", "dB"}},
       .evaluate = knife_edge},
      {.name = "rounded_edge",
       .description = "diffraction loss of one rounded obstacle",
       .source = "ITU-R P.526 section 4.2 (formula from memory)",
       .range = "top at or above the path; heights small against distances",
       .example = "f_ghz=28 d1_m=50 d2_m=50 h_m=0.5 radius_m=0.15",
       .keys = with_distances({number_key("h_m", "m", "top above the direct path", any_number),
                               number_key("radius_m", "m", "radius of curvature", not_negative)}),
       .answers = {{"loss_db", "dB"}},
       .evaluate = rounded_edge},
      {.name = "two_edges",
       .description = "diffraction loss over two edges",
       .source =
           "ITU-R P.526 section 4.3 (formula from memory); exact: Kirchhoff's double integral",
       .range = "equal: both edges above about 15 dB; dominant: both edges above the path; exact: "
                "heights small against distances",
       .example = "f_ghz=28 a_m=40 b_m=20 c_m=40 h1_m=1 h2_m=1 method=equal",
       .keys = {frequency_key(),
                number_key("a_m", "m", "from the transmitter to the first edge", positive),
                number_key("b_m", "m", "between the edges", positive),
                number_key("c_m", "m", "from the second edge to the receiver", positive),
                number_key("h1_m", "m", "first edge above the direct path", any_number),
                number_key("h2_m", "m", "second edge above the direct path", any_number),
                word_key("method", "how the edges share", {"equal", "dominant", "exact"})},
       .answers = {{"loss_db", "dB"}},
       .evaluate = two_edges},
      {.name = "finite_screen",
       .description = "loss behind a screen with a top and two sides",
       .source = "ITU-R P.526 section 5.1 (formula from memory)",
       .range = "offsets small against distances; a screen of some width",
       .example = "f_ghz=28 d1_m=45 d2_m=5 top_m=0.7 left_m=0.25 right_m=0.25",
       .keys = with_distances(
           {number_key("top_m", "m", "from the direct path up to the top", any_number),
            number_key("left_m", "m", "from the direct path to the left side", any_number),
            number_key("right_m", "m", "from the direct path to the right side", any_number)}),
       .answers = {{"min_db", "dB"}, {"mean_db", "dB"}},
       .evaluate = finite_screen}};
}

}  // namespace sim
