#include <fmt/format.h>

#include <algorithm>

#include "sim/loss/facade.h"
#include "sim/loss/formula_book_families.h"
#include "sim/loss/material.h"
#include "sim/loss/rough_surface.h"
#include "sim/loss/slab.h"

namespace sim {
namespace {

struct Named {
  const MaterialCurve* curve;
  MaterialProperties properties;
  OutOfRange range;
};

Named material_of(const BookInput& in, const std::string& key) {
  const Frequency f = frequency(in);
  Named named{.curve = find_material(in.word(key), f)};
  named.properties = material_properties(*named.curve, f);
  named.range.unless_within(in, "f_ghz", named.curve->min_ghz, named.curve->max_ghz);
  return named;
}

WavePolarization polarization_of(const BookInput& in) {
  return in.word("polarization") == "te" ? WavePolarization::te : WavePolarization::tm;
}

BookAnswer material(const BookInput& in) {
  const Named named = material_of(in, "name");
  return {{named.properties.relative_permittivity, named.properties.conductivity_s_per_m,
           material_attenuation_db_per_m(named.properties.eta, frequency(in))},
          named.range.why(),
          {}};
}

BookAnswer half_space(const BookInput& in) {
  const Named named = material_of(in, "material");
  const double reflection = std::abs(half_space_reflection(
      named.properties.eta, Angle::degrees(in("incidence_deg")), polarization_of(in)));
  return {{reflection, 20.0 * std::log10(reflection)}, named.range.why(), {}};
}

BookAnswer slab(const BookInput& in) {
  const Named named = material_of(in, "material");
  const SlabLoss loss = slab_loss(named.properties.eta, 1e-3 * in("thickness_mm"), frequency(in),
                                  Angle::degrees(in("incidence_deg")), polarization_of(in));
  return {{loss.transmission.value, loss.reflection.value}, named.range.why(), {}};
}

BookAnswer rough_surface(const BookInput& in) {
  const Angle incidence = Angle::degrees(in("incidence_deg"));
  const double share =
      mirror_share_of_rough_surface(frequency(in), 1e-3 * in("rms_height_mm"), incidence);
  return {
      {share, 0.0 - 10.0 * std::log10(share), 1e3 * rayleigh_height_m(frequency(in), incidence)},
      {},
      {}};
}

BookAnswer facade(const BookInput& in) {
  const Named wall = material_of(in, "material");
  const Frequency f = frequency(in);
  const WindowedWall of{.wall = wall.properties.eta,
                        .glass = material_properties(*find_material("glass", f), f).eta,
                        .glass_share = in("glass_share"),
                        .glass_thickness_m = 1e-3 * in("glass_mm"),
                        .wall_rms_height_m = 1e-3 * in("rms_height_mm")};
  const double power =
      facade_reflection(of, f, Angle::degrees(in("incidence_deg")), polarization_of(in)).power;
  return {{power, 10.0 * std::log10(power)}, wall.range.why(), {}};
}

BookAnswer scatter(const BookInput& in) {
  const double gain = lambert_scatter_gain(frequency(in), in("scattering"),
                                           std::cos(Angle::degrees(in("in_deg")).radians()),
                                           std::cos(Angle::degrees(in("out_deg")).radians()),
                                           in("area_m2"), in("r_in_m"), in("r_out_m"));
  return {{-10.0 * std::log10(gain)}, {}, {}};
}

BookKey material_key(const std::string& name) {
  std::vector<std::string> words;
  for (const MaterialCurve& curve : material_curves()) {
    std::string word(curve.name);
    if (std::find(words.begin(), words.end(), word) == words.end()) words.push_back(word);
  }
  return word_key(name, "material", words);
}

BookKey incidence_key() {
  return number_key("incidence_deg", "degrees", "angle from the surface's normal",
                    {.least = 0.0, .most = 90.0, .without_most = true});
}

BookKey polarization_key() {
  return word_key("polarization",
                  "te: the electric field across the plane of incidence; tm: within it",
                  {"te", "tm"});
}

}  // namespace

std::vector<BookModel> material_models() {
  const std::string range = "the band of the material";
  return {
      {.name = "material",
       .description = "electric properties of a building material",
       .source = "ITU-R P.2040-3 Table 3; names with p2040_1 and grounds: P.2040-1",
       .range = range,
       .example = "name=concrete f_ghz=28",
       .keys = {material_key("name"), frequency_key()},
       .answers = {{"relative_permittivity", ""},
                   {"conductivity_s_per_m", "S/m"},
                   {"attenuation_db_per_m", "dB/m"}},
       .evaluate = material},
      {.name = "half_space",
       .description = "reflection at the face of a thick material",
       .source = "ITU-R P.2040 section 2.2.1 (textbook form, from memory)",
       .range = range,
       .example = "material=concrete f_ghz=28 incidence_deg=45 polarization=te",
       .keys = {material_key("material"), frequency_key(), incidence_key(), polarization_key()},
       .answers = {{"reflection", ""}, {"reflection_db", "dB"}},
       .evaluate = half_space},
      {.name = "slab",
       .description = "what a slab in air lets through and sends back, with interference",
       .source = "ITU-R P.2040 section 2.2.2.2 (textbook form, from memory)",
       .range = range,
       .example = "material=glass thickness_mm=6 f_ghz=28 incidence_deg=0 polarization=te",
       .keys = {material_key("material"),
                number_key("thickness_mm", "mm", "thickness", not_negative), frequency_key(),
                incidence_key(), polarization_key()},
       .answers = {{"transmission_loss_db", "dB"}, {"reflection_db", "dB"}},
       .evaluate = slab},
      {.name = "rough_surface",
       .description = "share of a mirror image that a rough surface keeps",
       .source = "Ament 1953, Rayleigh's criterion (from memory)",
       .range = "normally distributed heights with gentle slopes",
       .example = "rms_height_mm=0.5 f_ghz=28 incidence_deg=45",
       .keys = {number_key("rms_height_mm", "mm", "rms height", not_negative), frequency_key(),
                incidence_key()},
       .answers = {{"mirror_share", ""}, {"loss_db", "dB"}, {"smooth_below_mm", "mm"}},
       .evaluate = rough_surface},
      {.name = "facade",
       .description = "reflection at a wall with windows, shares in power",
       .source = "ITU-R P.2040 sections 2.2.1 and 2.2.2.2; Ament 1953 (from memory)",
       .range = range,
       .example = "material=concrete f_ghz=28 incidence_deg=60 polarization=te",
       .keys = {material_key("material"), frequency_key(), incidence_key(), polarization_key(),
                number_key("glass_share", "", "share of the area that is glass",
                           {.least = 0.0, .most = 1.0}, "0.3"),
                number_key("glass_mm", "mm", "thickness of the panes", not_negative, "6"),
                number_key("rms_height_mm", "mm", "roughness of the wall", not_negative, "0.5")},
       .answers = {{"power_share", ""}, {"reflection_db", "dB"}},
       .evaluate = facade},
      {.name = "wall_scatter",
       .description = "loss by way of a small piece of a scattering wall",
       .source = "Degli-Esposti et al. 2007, Lambertian model (from memory)",
       .range = "a piece small against both distances",
       .example = "f_ghz=28 scattering=0.4 in_deg=30 out_deg=60 area_m2=1 r_in_m=40 r_out_m=20",
       .keys = {frequency_key(),
                number_key("scattering", "", "share of the field's strength that is scattered",
                           {.least = 0.0, .most = 1.0, .without_least = true}),
                number_key("in_deg", "degrees", "incidence from the normal",
                           {.least = 0.0, .most = 90.0, .without_most = true}),
                number_key("out_deg", "degrees", "direction out from the normal",
                           {.least = 0.0, .most = 90.0, .without_most = true}),
                number_key("area_m2", "m2", "area of the piece", positive),
                number_key("r_in_m", "m", "from the node to the piece", positive),
                number_key("r_out_m", "m", "from the piece to the receiver", positive)},
       .answers = {{"loss_db", "dB"}},
       .evaluate = scatter}};
}

}  // namespace sim
