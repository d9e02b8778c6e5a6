#include "sim/loss/slab.h"

#include <vector>

namespace sim {
namespace {

using Complex = std::complex<double>;
constexpr Complex j{0.0, 1.0};
constexpr double db_per_neper = 20.0 / std::numbers::ln10;

/// Losses from R and T, where T lacks a factor e^(-neper): a thick wall would underflow.
SlabLoss losses(Complex r, Complex t, double neper) {
  SlabLoss loss;
  loss.reflection = Db(20.0 * std::log10(std::abs(r)));
  loss.transmission = Db(db_per_neper * neper - 20.0 * std::log10(std::abs(t)));
  loss.reflected_share = std::norm(r);
  loss.transmitted_share = std::norm(t) * std::exp(-2.0 * neper);
  return loss;
}

double sin2(Angle incidence) {
  const double s = std::sin(incidence.radians());
  return s * s;
}

/// Wave number across the layers over that of free space; decays for Im <= 0.
Complex across(Complex eta, Angle incidence) { return std::sqrt(eta - sin2(incidence)); }

/// Reflection at the face from one medium to the next (of H for TM).
Complex face(Complex eta1, Complex k1, Complex eta2, Complex k2, WavePolarization polarization) {
  if (polarization == WavePolarization::te) return (k1 - k2) / (k1 + k2);
  return (eta2 * k1 - eta1 * k2) / (eta2 * k1 + eta1 * k2);
}

}  // namespace

Complex half_space_reflection(Complex eta, Angle incidence,
                              WavePolarization polarization) noexcept {
  return face(1.0, std::cos(incidence.radians()), eta, across(eta, incidence), polarization);
}

SlabLoss slab_loss(Complex eta, double thickness_m, Frequency f, Angle incidence,
                   WavePolarization polarization) noexcept {
  const Complex r = half_space_reflection(eta, incidence, polarization);
  const Complex q =
      2.0 * std::numbers::pi * thickness_m / f.wavelength_m() * across(eta, incidence);
  const Complex round_trip = std::exp(-2.0 * j * q);
  const Complex sum = 1.0 - r * r * round_trip;
  const Complex in_phase = std::exp(-j * q.real());
  return losses(r * (1.0 - round_trip) / sum, (1.0 - r * r) * in_phase / sum, -q.imag());
}

SlabLoss layered_slab_loss(std::span<const Layer> layers, Frequency f, Angle incidence,
                           WavePolarization polarization) noexcept {
  const double wave_number = 2.0 * std::numbers::pi / f.wavelength_m();
  const Complex air_k = std::cos(incidence.radians());
  Complex eta_behind = 1.0, k_behind = air_k;
  Complex reflection = 0.0, transmission = 1.0;
  double neper = 0.0;
  for (std::size_t i = layers.size(); i-- > 0;) {
    const Complex k = across(layers[i].eta, incidence);
    const Complex q = wave_number * layers[i].thickness_m * k;
    const Complex r = face(layers[i].eta, k, eta_behind, k_behind, polarization);
    const Complex sum = 1.0 + r * reflection;
    transmission *= (1.0 + r) / sum * std::exp(-j * q.real());
    neper -= q.imag();
    reflection = (r + reflection) / sum * std::exp(-2.0 * j * q);
    eta_behind = layers[i].eta;
    k_behind = k;
  }
  const Complex r = face(1.0, air_k, eta_behind, k_behind, polarization);
  const Complex sum = 1.0 + r * reflection;
  return losses((r + reflection) / sum, transmission * (1.0 + r) / sum, neper);
}

}  // namespace sim
