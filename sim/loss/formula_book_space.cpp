#include <algorithm>

#include "sim/loss/earth_bulge.h"
#include "sim/loss/effective_earth.h"
#include "sim/loss/exposure.h"
#include "sim/loss/formula_book_families.h"
#include "sim/loss/free_space.h"
#include "sim/loss/fresnel_zone.h"

namespace sim {
namespace {

BookAnswer free_space(const BookInput& in) {
  const Frequency f = frequency(in);
  OutOfRange range;
  range.unless(in("d_m") >= f.wavelength_m(), "d_m is less than a wavelength");
  return {{free_space_loss(f, in("d_m")).value}, range.why(), {}};
}

BookAnswer fresnel_radius(const BookInput& in) {
  const double radius = fresnel_zone_radius_m(frequency(in), in("d1_m"), in("d2_m"), in("n"));
  OutOfRange range;
  range.unless(radius <= std::min(in("d1_m"), in("d2_m")),
               "the zone is wider than its distance from an end");
  return {{radius}, range.why(), {}};
}

BookAnswer exposure(const BookInput& in) {
  const Frequency f = frequency(in);
  const bool fcc = in.word("limit").starts_with("fcc");
  const bool occupational = in.word("limit").ends_with("occupational");
  const auto limit =
      fcc            ? occupational ? ExposureLimit::fcc_occupational : ExposureLimit::fcc_public
      : occupational ? ExposureLimit::icnirp_local_occupational
                     : ExposureLimit::icnirp_local_public;
  OutOfRange range;
  if (fcc) {
    range.unless_within(in, "f_ghz", 1.5, 100.0);
  } else {
    range.unless(f.ghz() > 6.0 && f.ghz() <= 300.0, "f_ghz is outside 6..300");
  }
  return {{exposure_distance_m(Dbm(in("eirp_dbm")), f, limit, in("reflection_factor"))},
          range.why(),
          "a free-space screening figure, not a compliance assessment"};
}

BookAnswer far_field(const BookInput& in) {
  OutOfRange range;
  range.unless(in("aperture_m") >= frequency(in).wavelength_m(),
               "aperture_m is less than a wavelength");
  return {{far_field_from_m(frequency(in), in("aperture_m"))}, range.why(), {}};
}

BookAnswer bulge(const BookInput& in) {
  OutOfRange range;
  range.unless(in("d1_km") + in("d2_km") <= 0.1 * in("radius_km"),
               "the path is longer than a tenth of the radius");
  return {{earth_bulge_m(in("d1_km"), in("d2_km"), in("k"), in("radius_km"))}, range.why(), {}};
}

BookAnswer effective_earth(const BookInput& in) {
  const double k = effective_earth_factor(in("gradient_n_per_km"));
  OutOfRange range;
  range.unless(in("gradient_n_per_km") > -157.0,
               "gradient_n_per_km is not above -157: the ray follows the Earth or is trapped");
  return {{k, k * in("radius_km")}, range.why(), {}};
}

BookAnswer horizon(const BookInput& in) {
  OutOfRange range;
  range.unless(in("h_m") <= 1000.0 * 0.01 * in("k") * in("radius_km"),
               "h_m is more than a hundredth of the effective radius");
  return {{radio_horizon_km(in("h_m"), in("k"), in("radius_km"))}, range.why(), {}};
}

BookKey earth_factor_key() {
  return number_key("k", "", "effective Earth radius factor", positive, "1.3333333");
}

BookKey earth_radius_key() {
  return number_key("radius_km", "km", "Earth radius", positive, "6371");
}

}  // namespace

std::vector<BookModel> space_models() {
  return {
      {.name = "free_space",
       .description = "basic transmission loss in free space",
       .source = "ITU-R P.525",
       .range = "distances of a wavelength and more",
       .example = "f_ghz=28 d_m=100",
       .keys = {frequency_key(), number_key("d_m", "m", "distance", positive)},
       .answers = {{"loss_db", "dB"}},
       .evaluate = free_space},
      {.name = "fresnel_radius",
       .description = "radius of a Fresnel zone",
       .source = "ITU-R P.526 section 2.1",
       .range = "zones narrower than the distance from either end",
       .example = "f_ghz=28 d1_m=50 d2_m=50",
       .keys = {frequency_key(), number_key("d1_m", "m", "from one end", positive),
                number_key("d2_m", "m", "to the other", positive),
                number_key("n", "", "order of the zone", whole_positive, "1")},
       .answers = {{"radius_m", "m"}},
       .evaluate = fresnel_radius},
      {.name = "earth_bulge",
       .description = "height of the curved Earth above the chord",
       .source = "ITU-R P.526 section 4.5",
       .range = "paths shorter than a tenth of the radius",
       .example = "d1_km=5 d2_km=15",
       .keys = {number_key("d1_km", "km", "from one end", not_negative),
                number_key("d2_km", "km", "to the other", not_negative), earth_factor_key(),
                earth_radius_key()},
       .answers = {{"bulge_m", "m"}},
       .evaluate = bulge},
      {.name = "effective_earth",
       .description = "effective Earth radius of an atmosphere by its refractivity gradient",
       .source = "ITU-R P.452-18 (from memory)",
       .range = "gradients above -157 N/km",
       .example = "gradient_n_per_km=-39",
       .keys = {number_key("gradient_n_per_km", "1/km",
                           "gradient of the refractivity; below 0 where it falls with height",
                           any_number),
                earth_radius_key()},
       .answers = {{"k", ""}, {"effective_radius_km", "km"}},
       .evaluate = effective_earth},
      {.name = "radio_horizon",
       .description = "distance to the horizon of a smooth Earth",
       .source = "geometry of a circle; ITU-R P.526 has the same form (from memory)",
       .range = "heights up to a hundredth of the effective radius",
       .example = "h_m=10",
       .keys = {number_key("h_m", "m", "antenna above the surface", not_negative),
                earth_factor_key(), earth_radius_key()},
       .answers = {{"horizon_km", "km"}},
       .evaluate = horizon},
      {.name = "exposure_distance",
       .description = "distance at which a person is within a limit of exposure; no compliance "
                      "assessment",
       .source = "47 CFR 1.1310; ICNIRP 2020",
       .range = "fcc 1.5-100 GHz, icnirp_local above 6 to 300 GHz; far field",
       .example = "eirp_dbm=60 f_ghz=28 limit=fcc_public",
       .keys = {number_key("eirp_dbm", "dBm", "radiated power towards the person", any_number),
                frequency_key(),
                word_key("limit", "whose limit",
                         {"fcc_public", "icnirp_local_public", "fcc_occupational",
                          "icnirp_local_occupational"}),
                number_key("reflection_factor", "",
                           "power gained by a reflecting ground: 1 none, 2.56 the worst case of "
                           "OET-65",
                           positive, "1")},
       .answers = {{"distance_m", "m"}},
       .evaluate = exposure},
      {.name = "far_field",
       .description = "distance from which an antenna's far field holds",
       .source = "Fraunhofer distance (textbook, from memory)",
       .range = "antennas of a wavelength and more",
       .example = "f_ghz=28 aperture_m=0.1",
       .keys = {frequency_key(),
                number_key("aperture_m", "m", "largest dimension of the antenna", positive)},
       .answers = {{"distance_m", "m"}},
       .evaluate = far_field}};
}

}  // namespace sim
