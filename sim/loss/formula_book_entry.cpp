#include "sim/loss/entry.h"
#include "sim/loss/formula_book_families.h"

namespace sim {
namespace {

BookAnswer facade_entry(const BookInput& in) {
  const Frequency f = frequency(in);
  const int release = in.word("release") == "19" ? 19 : 18;
  const std::string& type = in.word("type");
  if (type == "low_a" && release != 19) {
    throw InputError({}, "facade_entry: type=low_a came with release=19");
  }
  const EntryLoss entry = type == "low_a" ? plywood_facade_entry_loss(f)
                                          : facade_entry_loss(f, type == "high", release);
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.5, 100.0);
  return {{entry.loss.value, entry.sigma.value}, range.why(), {}};
}

BookAnswer vehicle_entry(const BookInput& in) {
  const EntryLoss entry = vehicle_entry_loss(in.word("windows") == "metallised");
  return {{entry.loss.value, entry.sigma.value}, {}, {}};
}

BookAnswer building_entry(const BookInput& in) {
  const Db loss = building_entry_loss(frequency(in), in.word("type") == "efficient",
                                      Angle::degrees(in("elevation_deg")), in("probability"));
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.08, 100.0);
  return {{loss.value}, range.why(), {}};
}

}  // namespace

std::vector<BookModel> entry_models() {
  return {
      {.name = "facade_entry",
       .description = "loss of an outer wall of glass and concrete",
       .source = "3GPP TR 38.901 Tables 7.4.3-1 and 7.4.3-2 (coated glass: release 19, or 14-18 "
                 "from memory)",
       .range = "0.5-100 GHz",
       .example = "f_ghz=28 type=high release=19",
       .keys = {frequency_key(),
                word_key("type",
                         "low: plain glass; high: coated glass; low_a: plain glass and "
                         "plywood",
                         {"low", "high", "low_a"}),
                word_key("release", "release of the document; 18 stands for 14-18", {"18", "19"})},
       .answers = {{"loss_db", "dB"}, {"sigma_db", "dB"}},
       .evaluate = facade_entry},
      {.name = "vehicle_entry",
       .description = "loss into a car",
       .source = "3GPP TR 38.901 section 7.4.3.2",
       .range = "0.6-60 GHz",
       .example = "windows=plain",
       .keys = {word_key("windows", "kind of windows", {"plain", "metallised"})},
       .answers = {{"loss_db", "dB"}, {"sigma_db", "dB"}},
       .evaluate = vehicle_entry},
      {.name = "building_entry",
       .description = "loss into a building that is not exceeded with a probability",
       .source = "ITU-R P.2109",
       .range = "0.08-100 GHz",
       .example = "f_ghz=28 type=traditional elevation_deg=0 probability=0.5",
       .keys = {frequency_key(), word_key("type", "kind of building", {"traditional", "efficient"}),
                number_key("elevation_deg", "degrees", "elevation of the path at the facade",
                           {.least = -90.0, .most = 90.0}),
                number_key(
                    "probability", "", "probability that the loss is not exceeded",
                    {.least = 0.0, .most = 1.0, .without_least = true, .without_most = true})},
       .answers = {{"loss_db", "dB"}},
       .evaluate = building_entry}};
}

}  // namespace sim
