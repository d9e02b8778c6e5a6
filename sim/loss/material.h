// What walls are made of.
#pragma once

#include <complex>
#include <span>
#include <string_view>

#include "sim/base/units.h"

namespace sim {

/// A row of assets/materials.csv.
struct MaterialCurve {
  std::string_view name;
  double a, b, c, d;
  double min_ghz, max_ghz;
  bool holds(Frequency f) const { return f.ghz() >= min_ghz && f.ghz() <= max_ghz; }
};

/// All rows; a name stands twice where the document gives it two bands.
std::span<const MaterialCurve> material_curves() noexcept;

/// The row of that name whose band holds f, else the first of that name; nullptr for no such name.
const MaterialCurve* find_material(std::string_view name, Frequency f) noexcept;

/// Electric properties of a material.
///
///   eps' = a f^b,  sigma = c f^d S/m,  eps'' = sigma / (2 pi eps0 f),  eta = eps' - j eps''
///     f      frequency     GHz
///
/// Source:   [P.2040] Table 3, rows of assets/materials.csv
/// Valid:    the band of the row
/// Differs:  eps'' by the constant itself, 17.975 sigma / f, which the document rounds to 17.98
///           (0.02 dB through 200 mm of concrete at 28 GHz)
struct MaterialProperties {
  double relative_permittivity = 1.0;
  double conductivity_s_per_m = 0.0;
  std::complex<double> eta;
};
MaterialProperties material_properties(const MaterialCurve& curve, Frequency f) noexcept;

/// Attenuation of a plane wave within a material.
///
///   A = (20 / ln 10) (2 pi f / c) |Im sqrt(eta)|             [dB/m]
///
/// Source:   [P.2040], plane wave in a lossy medium; textbook form, from memory
/// Valid:    any lossy dielectric
/// Differs:  the exact form; 1636 sigma / sqrt(eps') is the good dielectric's
double material_attenuation_db_per_m(std::complex<double> eta, Frequency f) noexcept;

}  // namespace sim
