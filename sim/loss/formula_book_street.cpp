#include <algorithm>

#include "sim/loss/clutter.h"
#include "sim/loss/corner_loss.h"
#include "sim/loss/formula_book_families.h"
#include "sim/loss/measured_street.h"
#include "sim/loss/street_bounds.h"
#include "sim/loss/street_canyon.h"
#include "sim/loss/street_general.h"

namespace sim {
namespace {

// In functions, for the book may be asked before this file's own constants are made.
std::vector<std::string> street_rows() {
  return {"los",
          "nlos_high_rise",
          "nlos_low_rise",
          "nlos_residential",
          "above_roof_los",
          "above_roof_nlos_high_rise"};
}
std::vector<std::string> measured_forms() {
  return {"nyc_2014_los", "nyc_2014_nlos", "nyc_2015_los", "nyc_2015_nlos",
          "ci_los",       "ci_nlos",       "abg_nlos"};
}

/// Words are listed in the order of their enumeration.
template <class Enumeration>
Enumeration chosen(const std::vector<std::string>& words, const std::string& word) {
  return static_cast<Enumeration>(std::find(words.begin(), words.end(), word) - words.begin());
}

BookAnswer street_canyon(const BookInput& in) {
  const StreetCanyonLoss loss =
      street_canyon_loss(frequency(in), in("d_2d_m"), in("h_node_m"), in("h_receiver_m"));
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.5, 100.0)
      .unless_within(in, "d_2d_m", 10.0, 5000.0)
      .unless_within(in, "h_node_m", 10.0, 10.0)
      .unless_within(in, "h_receiver_m", 1.5, 22.5);
  return {{loss.los.value, loss.nlos.value, loss.nlos_optional.value}, range.why(), {}};
}

BookAnswer sight_probability(const BookInput& in) {
  return {{los_probability(in("d_2d_m"))}, {}, {}};
}

BookAnswer street_general(const BookInput& in) {
  const auto row = chosen<StreetRow>(street_rows(), in.word("row"));
  const StreetGeneralLoss loss = street_general_loss(frequency(in), in("d_m"), row);
  const StreetRange fitted = street_general_range(row);
  OutOfRange range;
  range.unless_within(in, "f_ghz", fitted.min_ghz, fitted.max_ghz)
      .unless_within(in, "d_m", fitted.min_m, fitted.max_m);
  return {{loss.loss.value, loss.sigma.value}, range.why(), {}};
}

BookAnswer bounds(const BookInput& in) {
  const StreetBounds loss =
      street_bounds(frequency(in), in("d_m"), in("h_node_m"), in("h_receiver_m"));
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.3, 3.0);
  return {{loss.lower.value, loss.upper.value, loss.median.value, loss.breakpoint_m,
           loss.breakpoint.value},
          range.why(),
          {}};
}

BookAnswer corner(const BookInput& in) {
  const auto kind = in.word("kind") == "urban" ? CornerKind::urban : CornerKind::residential;
  const CornerLoss loss = corner_loss(in("x1_m"), in("x2_m"), in("w1_m"), kind);
  return {{loss.corner.value, loss.beyond.value, loss.total().value},
          {},
          "from memory; neither the formula nor its constants are confirmed"};
}

BookAnswer measured_street(const BookInput& in) {
  const std::string& form = in.word("form");
  const MeasuredStreetLoss loss =
      measured_street_loss(frequency(in), in("d_m"), chosen<MeasuredForm>(measured_forms(), form));
  const MeasuredSight sight = measured_sight(in("d_m"));
  OutOfRange range;
  if (form.starts_with("nyc")) {
    range.unless(in("f_ghz") == 28.0, "the fit is of 28 GHz");
  } else {
    range.unless_within(in, "f_ghz", 6.0, 100.0);
  }
  range.unless(in("d_m") >= 1.0, "d_m is below 1");
  return {{loss.loss.value, loss.sigma.value, sight.outage, sight.los}, range.why(), {}};
}

BookAnswer clutter(const BookInput& in) {
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.5, 67.0).unless(in("d_km") >= 0.25, "d_km is below 0.25");
  return {{clutter_loss(frequency(in), in("d_km"), in("percent")).value}, range.why(), {}};
}

}  // namespace

std::vector<BookModel> street_models() {
  return {
      {.name = "street_canyon",
       .description = "median path loss in a street canyon, with and without sight",
       .source = "3GPP TR 38.901 Table 7.4.1-1 (UMi - street canyon)",
       .range = "0.5-100 GHz, 10-5000 m, node at 10 m, receiver at 1.5-22.5 m",
       .example = "f_ghz=28 d_2d_m=100 h_node_m=10 h_receiver_m=1.5",
       .keys = {frequency_key(), number_key("d_2d_m", "m", "horizontal distance", not_negative),
                number_key("h_node_m", "m", "node above the street", not_negative),
                number_key("h_receiver_m", "m", "receiver above the street", not_negative)},
       .answers = {{"los_db", "dB"}, {"nlos_db", "dB"}, {"nlos_optional_db", "dB"}},
       .evaluate = street_canyon},
      {.name = "los_probability",
       .description = "probability of line of sight in a street canyon",
       .source = "3GPP TR 38.901 Table 7.4.2-1 (UMi - street canyon)",
       .range = "outdoors",
       .example = "d_2d_m=100",
       .keys = {number_key("d_2d_m", "m", "horizontal distance", not_negative)},
       .answers = {{"probability", ""}},
       .evaluate = sight_probability},
      {.name = "street_general",
       .description =
           "path loss in a street by one regression line; above_roof rows have one end above "
           "the roofs",
       .source = "ITU-R P.1411 Tables 4 and 8 (coefficients of editions 11 and 12)",
       .range = "los 0.8-82 GHz, 5-660 m; nlos_high_rise 0.8-82 GHz, 30-715 m; nlos_low_rise 10-73 "
                "GHz, 30-250 m; nlos_residential 0.8-73 GHz, 30-170 m; above_roof_los 2.2-73 GHz, "
                "55-1200 m; "
                "above_roof_nlos_high_rise 2.2-66.5 GHz, 260-1200 m",
       .example = "f_ghz=28 d_m=100 row=los",
       .keys = {frequency_key(), number_key("d_m", "m", "distance", positive),
                word_key("row", "kind of street", street_rows())},
       .answers = {{"loss_db", "dB"}, {"sigma_db", "dB"}},
       .evaluate = street_general},
      {.name = "street_bounds",
       .description = "between which losses a street in sight lies at UHF",
       .source = "ITU-R P.1411, line of sight within street canyons at UHF (from memory)",
       .range = "0.3-3 GHz",
       .example = "f_ghz=2 d_m=200 h_node_m=6 h_receiver_m=1.5",
       .keys = {frequency_key(), number_key("d_m", "m", "distance", positive),
                number_key("h_node_m", "m", "node above the street", positive),
                number_key("h_receiver_m", "m", "receiver above the street", positive)},
       .answers = {{"lower_db", "dB"},
                   {"upper_db", "dB"},
                   {"median_db", "dB"},
                   {"breakpoint_m", "m"},
                   {"breakpoint_db", "dB"}},
       .evaluate = bounds},
      {.name = "corner_loss",
       .description = "loss round a corner into a side street, on top of the loss in sight up to "
                      "the crossing",
       .source = "ITU-R P.1411 section 5.3 (from memory, unconfirmed)",
       .range = "2-38 GHz, which does not enter the formula (unconfirmed)",
       .example = "x1_m=50 x2_m=30 w1_m=15 kind=urban",
       .keys = {number_key("x1_m", "m", "node to the crossing", positive),
                number_key("x2_m", "m", "crossing to the receiver", not_negative),
                number_key("w1_m", "m", "width of the node's street", not_negative),
                word_key("kind", "kind of street", {"urban", "residential"})},
       .answers = {{"corner_db", "dB"}, {"beyond_db", "dB"}, {"loss_db", "dB"}},
       .evaluate = corner},
      {.name = "measured_street",
       .description = "path loss as measured in streets, and how many links of the New York "
                      "campaign of 2014 were lost or in sight at that distance",
       .source = "nyc_2014 Akdeniz et al. 2014 Table I (slopes as seen in public code, the rest "
                 "from memory); nyc_2015 Samimi et al. 2015, ci and abg 5GCM UMi street canyon "
                 "(from memory)",
       .range = "nyc 28 GHz; ci and abg 6-100 GHz (from memory); from 1 m",
       .example = "f_ghz=28 d_m=100 form=nyc_2014_nlos",
       .keys = {frequency_key(), number_key("d_m", "m", "distance", positive),
                word_key("form", "which fit", measured_forms())},
       .answers = {{"loss_db", "dB"},
                   {"sigma_db", "dB"},
                   {"nyc_2014_p_outage", ""},
                   {"nyc_2014_p_los", ""}},
       .evaluate = measured_street},
      {.name = "clutter",
       .description = "loss in the clutter around one end, not exceeded at a percentage of places; "
                      "not on top of obstacles that are known",
       .source = "ITU-R P.2108-1 section 3.2",
       .range = "0.5-67 GHz, from 0.25 km",
       .example = "f_ghz=28 d_km=0.65 percent=50",
       .keys = {frequency_key(), number_key("d_km", "km", "distance", positive),
                number_key(
                    "percent", "%", "percentage of places",
                    {.least = 0.0, .most = 100.0, .without_least = true, .without_most = true})},
       .answers = {{"loss_db", "dB"}},
       .evaluate = clutter}};
}

}  // namespace sim
