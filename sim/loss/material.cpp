#include "sim/loss/material.h"

namespace sim {
namespace {

constexpr double vacuum_permittivity_f_per_m = 8.8541878128e-12;  // CODATA 2018, from memory
/// 1 / (2 pi eps0) with f in GHz: 17.975.
constexpr double loss_factor = 1e-9 / (2.0 * std::numbers::pi * vacuum_permittivity_f_per_m);

constexpr MaterialCurve curves[] = {
#include "materials.inc"
};

}  // namespace

std::span<const MaterialCurve> material_curves() noexcept { return curves; }

const MaterialCurve* find_material(std::string_view name, Frequency f) noexcept {
  const MaterialCurve* found = nullptr;
  for (const MaterialCurve& curve : curves) {
    if (curve.name != name) continue;
    if (curve.holds(f)) return &curve;
    if (found == nullptr) found = &curve;
  }
  return found;
}

MaterialProperties material_properties(const MaterialCurve& curve, Frequency f) noexcept {
  const double permittivity = curve.a * std::pow(f.ghz(), curve.b);
  const double conductivity = curve.c * std::pow(f.ghz(), curve.d);
  return {.relative_permittivity = permittivity,
          .conductivity_s_per_m = conductivity,
          .eta = {permittivity, -loss_factor * conductivity / f.ghz()}};
}

double material_attenuation_db_per_m(std::complex<double> eta, Frequency f) noexcept {
  constexpr double db_per_neper = 20.0 / std::numbers::ln10;
  const double wave_number = 2.0 * std::numbers::pi / f.wavelength_m();
  return db_per_neper * wave_number * std::abs(std::sqrt(eta).imag());
}

}  // namespace sim
