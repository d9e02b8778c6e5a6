#include "sim/loss/rough_surface.h"

namespace sim {

using std::numbers::pi;

double mirror_share_of_rough_surface(Frequency f, double rms_height_m, Angle incidence) noexcept {
  const double g = 4.0 * pi * rms_height_m * std::cos(incidence.radians()) / f.wavelength_m();
  return std::exp(-g * g);
}

double rayleigh_height_m(Frequency f, Angle incidence) noexcept {
  return f.wavelength_m() / (8.0 * std::cos(incidence.radians()));
}

double lambert_scatter_gain(Frequency f, double scattering, double cos_in, double cos_out,
                            double area_m2, double r_in_m, double r_out_m) noexcept {
  if (cos_in <= 0.0 || cos_out <= 0.0) return 0.0;
  const double aperture = f.wavelength_m() / (4.0 * pi * r_in_m * r_out_m);
  return scattering * scattering * aperture * aperture * cos_in * cos_out * area_m2 / pi;
}

}  // namespace sim
