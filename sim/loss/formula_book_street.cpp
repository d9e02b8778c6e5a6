#include <algorithm>

#include "sim/loss/clutter.h"
#include "sim/loss/formula_book_families.h"
#include "sim/loss/street_canyon.h"
#include "sim/loss/street_general.h"

namespace sim {
namespace {

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
  const std::vector<std::string> words{"los", "nlos_high_rise", "nlos_low_rise",
                                       "nlos_residential"};
  const auto row =
      static_cast<StreetRow>(std::find(words.begin(), words.end(), in.word("row")) - words.begin());
  const StreetGeneralLoss loss = street_general_loss(frequency(in), in("d_m"), row);
  const StreetRange fitted = street_general_range(row);
  OutOfRange range;
  range.unless_within(in, "f_ghz", fitted.min_ghz, fitted.max_ghz)
      .unless_within(in, "d_m", fitted.min_m, fitted.max_m);
  return {{loss.loss.value, loss.sigma.value}, range.why(), {}};
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
       .description = "path loss in a street by one regression line, both ends below the roofs",
       .source = "ITU-R P.1411 Table 4 (coefficients of editions 11 and 12)",
       .range = "los 0.8-82 GHz, 5-660 m; nlos_high_rise 0.8-82 GHz, 30-715 m; nlos_low_rise 10-73 "
                "GHz, 30-250 m; nlos_residential 0.8-73 GHz, 30-170 m",
       .example = "f_ghz=28 d_m=100 row=los",
       .keys = {frequency_key(), number_key("d_m", "m", "distance", positive),
                word_key("row", "kind of street",
                         {"los", "nlos_high_rise", "nlos_low_rise", "nlos_residential"})},
       .answers = {{"loss_db", "dB"}, {"sigma_db", "dB"}},
       .evaluate = street_general},
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
