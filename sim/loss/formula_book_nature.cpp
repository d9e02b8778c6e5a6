#include <fmt/format.h>

#include "sim/loss/foliage.h"
#include "sim/loss/formula_book_families.h"
#include "sim/loss/gas.h"
#include "sim/loss/rain.h"

namespace sim {
namespace {

BookAnswer foliage_decay(const BookInput& in) {
  OutOfRange range;
  range.unless_within(in, "f_ghz", 0.23, 95.0).unless_within(in, "depth_m", 0.0, 400.0);
  const FoliageBand band = foliage_band(frequency(in), in("depth_m"));
  return {{weissberger_loss(frequency(in), in("depth_m")).value},
          range.why(),
          fmt::format("foliage is a band: published forms in leaf give {:.1f} to {:.1f} dB here",
                      band.least.value, band.most.value)};
}

BookAnswer foliage_saturating(const BookInput& in) {
  return {{saturating_foliage_loss(in("gamma_db_per_m"), Db(in("max_db")), in("depth_m")).value},
          {},
          {}};
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
       .keys = {frequency_key(),
                number_key("depth_m", "m", "depth of foliage on the path", not_negative)},
       .answers = {{"loss_db", "dB"}},
       .evaluate = foliage_decay},
      {.name = "foliage_saturating",
       .description = "loss into woodland that levels off with depth",
       .source = "ITU-R P.833-10 eq. (1)",
       .range = "30 MHz-100 GHz as stated; gamma and the maximum are the user's own at millimetre "
                "waves",
       .example = "gamma_db_per_m=5.7 max_db=30 depth_m=10",
       .keys = {number_key("gamma_db_per_m", "dB/m", "attenuation of short depths", not_negative),
                number_key("max_db", "dB", "the most the loss reaches", positive),
                number_key("depth_m", "m", "depth of foliage on the path", not_negative)},
       .answers = {{"loss_db", "dB"}},
       .evaluate = foliage_saturating},
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
