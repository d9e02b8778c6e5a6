#include <fmt/format.h>

#include <algorithm>

#include "sim/loss/formula_book_families.h"
#include "sim/loss/material.h"
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
  return {{.name = "material",
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
           .evaluate = slab}};
}

}  // namespace sim
