// Walls and panes: limits, energy, reciprocity.
#include "sim/loss/slab.h"

#include <gtest/gtest.h>

#include <random>

#include "sim/loss/material.h"

namespace sim {
namespace {

struct Wave {
  Frequency f;
  Angle incidence;
  WavePolarization polarization;
};

Wave draw_wave(std::mt19937_64& random) {
  std::uniform_real_distribution<double> f_ghz(1.0, 100.0), incidence(0.0, 89.9), coin(0.0, 1.0);
  return {Frequency::ghz(f_ghz(random)), Angle::degrees(incidence(random)),
          coin(random) < 0.5 ? WavePolarization::te : WavePolarization::tm};
}

std::complex<double> eta_of(std::string_view name, Frequency f) {
  return material_properties(*find_material(name, f), f).eta;
}

TEST(Slab, NoMoreComesOutThanWentIn) {
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> thickness_m(0.0, 0.3);
  for (int i = 0; i < 5000; ++i) {
    const Wave wave = draw_wave(random);
    for (const MaterialCurve& curve : material_curves()) {
      const auto eta = material_properties(curve, wave.f).eta;
      EXPECT_LE(std::abs(half_space_reflection(eta, wave.incidence, wave.polarization)),
                1.0 + 1e-12);
      const SlabLoss loss =
          slab_loss(eta, thickness_m(random), wave.f, wave.incidence, wave.polarization);
      EXPECT_LE(loss.reflected_share + loss.transmitted_share, 1.0 + 1e-9) << curve.name;
      EXPECT_FALSE(std::isnan(loss.transmission.value)) << curve.name;
    }
  }
}

TEST(Slab, LosslessKeepsAllEnergy) {
  std::mt19937_64 random(12);
  for (int i = 0; i < 1000; ++i) {
    const Wave wave = draw_wave(random);
    const SlabLoss loss = slab_loss({4.0, 0.0}, 0.01, wave.f, wave.incidence, wave.polarization);
    EXPECT_NEAR(loss.reflected_share + loss.transmitted_share, 1.0, 1e-9);
  }
}

TEST(Slab, NoThicknessIsTransparent) {
  std::mt19937_64 random(13);
  for (int i = 0; i < 100; ++i) {
    const Wave wave = draw_wave(random);
    const SlabLoss loss =
        slab_loss(eta_of("glass", wave.f), 0.0, wave.f, wave.incidence, wave.polarization);
    EXPECT_NEAR(loss.transmission.value, 0.0, 1e-9);
    EXPECT_EQ(loss.reflected_share, 0.0);
    // Nor does a sheet of air, or no layer at all.
    const Layer air{1.0, 0.05};
    EXPECT_NEAR(
        layered_slab_loss({&air, 1}, wave.f, wave.incidence, wave.polarization).transmission.value,
        0.0, 1e-9);
    EXPECT_EQ(layered_slab_loss({}, wave.f, wave.incidence, wave.polarization).transmission,
              Db(0.0));
  }
}

TEST(Slab, OneLayerIsTheSlab) {
  std::mt19937_64 random(14);
  for (int i = 0; i < 1000; ++i) {
    const Wave wave = draw_wave(random);
    const auto eta = eta_of("wood", wave.f);
    const SlabLoss slab = slab_loss(eta, 0.03, wave.f, wave.incidence, wave.polarization);
    const Layer halves[] = {{eta, 0.012}, {eta, 0.018}};
    const SlabLoss layered = layered_slab_loss(halves, wave.f, wave.incidence, wave.polarization);
    EXPECT_NEAR(slab.transmission.value, layered.transmission.value, 1e-8);
    EXPECT_NEAR(slab.reflected_share, layered.reflected_share, 1e-9);
  }
}

TEST(Slab, LayersAreReciprocal) {
  std::mt19937_64 random(15);
  for (int i = 0; i < 1000; ++i) {
    const Wave wave = draw_wave(random);
    const Layer there[] = {
        {eta_of("glass", wave.f), 4e-3}, {1.0, 0.016}, {eta_of("plasterboard", wave.f), 13e-3}};
    const Layer back[] = {there[2], there[1], there[0]};
    EXPECT_NEAR(
        layered_slab_loss(there, wave.f, wave.incidence, wave.polarization).transmission.value,
        layered_slab_loss(back, wave.f, wave.incidence, wave.polarization).transmission.value,
        1e-8);
  }
}

TEST(Slab, ThickWallIsAHalfSpace) {
  // Nothing comes back from the far side of 2 m of concrete, and the loss grows by the material's
  // own attenuation, without underflow.
  const Frequency f = Frequency::ghz(28.0);
  const auto eta = eta_of("concrete", f);
  const auto at = [&](double thickness_m) {
    return slab_loss(eta, thickness_m, f, Angle(), WavePolarization::te);
  };
  EXPECT_NEAR(std::sqrt(at(2.0).reflected_share),
              std::abs(half_space_reflection(eta, Angle(), WavePolarization::te)), 1e-12);
  EXPECT_NEAR(at(101.0).transmission.value - at(100.0).transmission.value,
              material_attenuation_db_per_m(eta, f), 1e-6);
}

TEST(Slab, PolarizationsMeetAtTheNormalAndPartAtBrewster) {
  const Frequency f = Frequency::ghz(28.0);
  const auto eta = eta_of("concrete", f);
  EXPECT_NEAR(std::abs(half_space_reflection(eta, Angle(), WavePolarization::te)),
              std::abs(half_space_reflection(eta, Angle(), WavePolarization::tm)), 1e-12);
  // Pseudo-Brewster angle of concrete atan(sqrt(5.24)) = 66.40 degrees, closed form of a lossless
  // face.
  double least = 1.0, at_deg = 0.0;
  for (double t = 50.0; t < 80.0; t += 0.01) {
    const double r = std::abs(half_space_reflection(eta, Angle::degrees(t), WavePolarization::tm));
    if (r < least) {
      least = r;
      at_deg = t;
    }
  }
  EXPECT_NEAR(at_deg, 66.40, 0.15);
}

}  // namespace
}  // namespace sim
