#include <fmt/format.h>

#include "sim/loss/foliage.h"
#include "sim/loss/formula_book_families.h"
#include "sim/loss/gas.h"
#include "sim/loss/oxygen_table.h"
#include "sim/loss/rain.h"

namespace sim {
namespace {

std::string foliage_band_note(Frequency f, double depth_m) {
  const FoliageBand band = foliage_band(f, depth_m);
  return fmt::format("foliage is a band: published forms in leaf give {:.1f} to {:.1f} dB here",
                     band.least.value, band.most.value);
}

BookAnswer foliage_decay(const BookInput& in) {
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.23, 95.0).unless_within(in, "depth_m", 0.0, 400.0);
  return {{weissberger_loss(frequency(in), in("depth_m")).value},
          range.why(),
          foliage_band_note(frequency(in), in("depth_m"))};
}

BookAnswer foliage_saturating(const BookInput& in) {
  return {{saturating_foliage_loss(in("gamma_db_per_m"), Db(in("max_db")), in("depth_m")).value},
          {},
          {}};
}

BookAnswer foliage_specific(const BookInput& in) {
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.03, 30.0);
  return {{foliage_specific_attenuation_db_per_m(frequency(in))},
          range.why(),
          "read off a curve by a third party; good to 30 %"};
}

BookAnswer foliage_slant(const BookInput& in) {
  OutOfRange range;
  range.unless(in("elevation_deg") > 0.0, "elevation_deg is not above 0");
  return {
      {slant_foliage_loss(frequency(in), in("depth_m"), Angle::degrees(in("elevation_deg"))).value},
      range.why(),
      "a fit through pines; bands and depths of the fit not known"};
}

BookAnswer foliage_dual_slope(const BookInput& in) {
  OutOfRange range;
  range.unless_within(in, "f_ghz", 9.6, 57.6);
  return {{dual_slope_foliage_loss(frequency(in), in("depth_m"), in("area_m2"),
                                   in.word("leaves") == "in_leaf")
               .value},
          range.why(),
          "withdrawn by its publisher; a sanity band only"};
}

BookAnswer foliage_empirical(const BookInput& in) {
  const Frequency f = frequency(in);
  const double depth_m = in("depth_m");
  const std::string& form = in.word("form");
  const bool in_leaf = form.ends_with("_in_leaf");
  OutOfRange range;
  Db loss;
  if (form == "early_itu") {
    range.unless_within(in, "f_ghz", 0.2, 95.0);
    loss = early_itu_foliage_loss(f, depth_m);
  } else if (form.starts_with("fitu_r")) {
    range.unless_within(in, "f_ghz", 10.0, 40.0);
    loss = fitu_r_foliage_loss(f, depth_m, in_leaf);
  } else {
    range.unless_within(in, "f_ghz", 9.6, 57.6);
    loss = cost_235_foliage_loss(f, depth_m, in_leaf);
  }
  range.unless_within(in, "depth_m", 0.0, 400.0);
  return {{loss.value}, range.why(), foliage_band_note(f, depth_m)};
}

BookAnswer oxygen(const BookInput& in) {
  OutOfRange range;
  range.unless(in("f_ghz") <= 100.0, "f_ghz is above 100");
  return {{oxygen_table_db_per_km(frequency(in))}, range.why(), {}};
}

BookAnswer gas(const BookInput& in) {
  OutOfRange range;
  range.unless_within(in, "f_ghz", 1.0, 1000.0);
  return {{gas_attenuation_db_per_km(frequency(in), in("pressure_hpa"), in("temperature_k"),
                                     in("water_vapour_g_m3"))},
          range.why(),
          {}};
}

BookAnswer rain(const BookInput& in) {
  const double tilt_deg = in.has_number("polarization")             ? in("polarization")
                          : in.word("polarization") == "horizontal" ? 0.0
                                                                    : 90.0;
  const Angle tilt = Angle::degrees(tilt_deg), elevation = Angle::degrees(in("elevation_deg"));
  const RainCoefficients c = rain_coefficients(frequency(in), tilt, elevation);
  OutOfRange range;
  range.unless_within(in, "f_ghz", 1.0, 1000.0);
  return {
      {c.k, c.alpha, rain_attenuation_db_per_km(frequency(in), in("rate_mm_h"), tilt, elevation)},
      range.why(),
      {}};
}

BookKey depth_key() {
  return number_key("depth_m", "m", "depth of foliage on the path", not_negative);
}

BookKey rain_polarization_key() {
  BookKey key =
      word_key("polarization", "a word, or the tilt in degrees: 0 horizontal, 90 vertical",
               {"vertical", "horizontal"});
  key.number = true;
  key.unit = "degrees";
  key.bound = {.least = -90.0, .most = 90.0};
  return key;
}

}  // namespace

std::vector<BookModel> nature_models() {
  return {
      {.name = "foliage_decay",
       .description = "loss through dense trees in leaf; one of a band of published forms",
       .source = "Weissberger 1982 (as seen in public code)",
       .range = "0.23-95 GHz (from memory), up to 400 m of foliage",
       .example = "f_ghz=28 depth_m=10",
       .keys = {frequency_key(), depth_key()},
       .answers = {{"loss_db", "dB"}},
       .evaluate = foliage_decay},
      {.name = "foliage_saturating",
       .description = "loss into woodland that levels off with depth",
       .source = "ITU-R P.833-10 eq. (1)",
       .range = "30 MHz-100 GHz as stated; gamma and the maximum are the user's own at millimetre "
                "waves",
       .example = "gamma_db_per_m=5.7 max_db=30 depth_m=10",
       .keys = {number_key("gamma_db_per_m", "dB/m", "attenuation of short depths", not_negative),
                number_key("max_db", "dB", "the most the loss reaches", positive), depth_key()},
       .answers = {{"loss_db", "dB"}},
       .evaluate = foliage_saturating},
      {.name = "foliage_specific",
       .description = "attenuation of the first metres of woodland",
       .source = "a third party's fit to the curve of ITU-R P.833-10 Figure 2",
       .range = "30 MHz to about 30 GHz, to 30 %",
       .example = "f_ghz=28",
       .keys = {frequency_key()},
       .answers = {{"db_per_m", "dB/m"}},
       .evaluate = foliage_specific},
      {.name = "foliage_slant",
       .description = "loss down through a pine wood",
       .source = "ITU-R P.833-10, fit of a slant path (from memory)",
       .range = "pine woodland, elevations above 0; bands and depths of the fit not known",
       .example = "f_ghz=28 depth_m=5 elevation_deg=10",
       .keys = {frequency_key(), depth_key(),
                number_key("elevation_deg", "degrees", "elevation of the path",
                           {.least = 0.0, .most = 90.0})},
       .answers = {{"loss_db", "dB"}},
       .evaluate = foliage_slant},
      {.name = "foliage_dual_slope",
       .description = "loss through an orchard, steep at first, then gentle; withdrawn in 2005",
       .source = "ITU-R P.833-2 to -4, withdrawn (from memory)",
       .range = "9.6-57.6 GHz; one pecan orchard",
       .example = "f_ghz=28 depth_m=5 area_m2=2 leaves=in_leaf",
       .keys = {frequency_key(), depth_key(),
                number_key("area_m2", "m2", "least area of foliage that both beams light",
                           positive),
                word_key("leaves", "season", {"in_leaf", "out_of_leaf"})},
       .answers = {{"loss_db", "dB"}},
       .evaluate = foliage_dual_slope},
      {.name = "foliage_empirical",
       .description = "loss through trees by other published fits; one of a band of forms",
       .source = "CCIR Report 236 (early ITU); FITU-R 1998; COST 235 1996 (all from memory)",
       .range = "early_itu 0.2-95 GHz, fitu_r 10-40 GHz, cost235 9.6-57.6 GHz (from memory); up to "
                "400 m of foliage",
       .example = "f_ghz=28 depth_m=5 form=cost235_in_leaf",
       .keys = {frequency_key(), depth_key(),
                word_key("form", "which fit",
                         {"early_itu", "fitu_r_in_leaf", "fitu_r_out_of_leaf", "cost235_in_leaf",
                          "cost235_out_of_leaf"})},
       .answers = {{"loss_db", "dB"}},
       .evaluate = foliage_empirical},
      {.name = "oxygen_table",
       .description = "specific attenuation of oxygen around 60 GHz, by a table of whole gigahertz",
       .source = "3GPP TR 38.901 Table 7.6.1-1 (linear between rows from memory)",
       .range = "up to 100 GHz",
       .example = "f_ghz=60",
       .keys = {frequency_key()},
       .answers = {{"db_per_km", "dB/km"}},
       .evaluate = oxygen},
      {.name = "gas",
       .description = "specific attenuation of air, line by line",
       .source = "ITU-R P.676-13 Annex 1",
       .range = "1-1000 GHz",
       .example = "f_ghz=60",
       .keys = {frequency_key(),
                number_key("pressure_hpa", "hPa", "pressure of dry air", positive, "1013.25"),
                number_key("temperature_k", "K", "temperature", positive, "288.15"),
                number_key("water_vapour_g_m3", "g/m3", "water vapour density", not_negative,
                           "7.5")},
       .answers = {{"db_per_km", "dB/km"}},
       .evaluate = gas},
      {.name = "rain",
       .description = "specific attenuation of rain",
       .source = "ITU-R P.838-3",
       .range = "1-1000 GHz",
       .example = "f_ghz=28 rate_mm_h=50 polarization=vertical",
       .keys = {frequency_key(), number_key("rate_mm_h", "mm/h", "rain rate", not_negative),
                rain_polarization_key(),
                number_key("elevation_deg", "degrees", "elevation of the path",
                           {.least = -90.0, .most = 90.0}, "0")},
       .answers = {{"k", ""}, {"alpha", ""}, {"db_per_km", "dB/km"}},
       .evaluate = rain}};
}

}  // namespace sim
