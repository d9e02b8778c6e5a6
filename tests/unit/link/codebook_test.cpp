// Beams of a panel against the closed forms of uniform arrays.
#include "sim/link/codebook.h"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/import/asset_tables.h"
#include "sim/link/antenna.h"
#include "sim/loss/element_pattern.h"

namespace sim {
namespace {

Angle deg(double a) { return Angle::degrees(a); }
AntennaDirection at(double azimuth_deg, double elevation_deg) {
  return {deg(azimuth_deg), deg(elevation_deg)};
}
Codebook panel(double oversampling) {
  return Codebook(8, 8, oversampling, deg(60.0), deg(30.0), Db(40.0));
}

Sector array_sector() {
  Sector sector;
  sector.pattern = "3gpp-array";
  return sector;
}
SectorGain towards(const Sector& sector, double azimuth_deg, double elevation_deg) {
  static const Defaults defaults = read_defaults();
  return gain_towards(sector, deg(azimuth_deg), deg(elevation_deg), sector_beams(sector, defaults));
}

TEST(RowFactor, HasTheBeamwidthAndSideLobeOfItsTextbook) {
  // Half-power width 0.886 lambda / (N d): 12.7 degrees for 8 sources at half a wavelength; first
  // side lobe of 8 sources 12.8 dB down, 13.26 dB for very many (textbook values, from memory).
  EXPECT_NEAR(10.0 * std::log10(row_factor(8, std::sin(deg(6.35).radians()))), -3.0, 0.1);
  double side_lobe = 0.0;
  for (double u = 0.26; u < 0.5; u += 0.001) side_lobe = std::max(side_lobe, row_factor(8, u));
  EXPECT_NEAR(10.0 * std::log10(side_lobe), -12.8, 0.05);
}

TEST(Codebook, WorstPlaceIsHalfwayBetweenBeams) {
  // Scalloping of a rectangular window of 8: 1 / (8 sin(pi / 16))^2 = -3.87 dB for beams a full
  // step apart (closed form; 3.92 dB for very long windows, F. J. Harris 1978, from memory).
  const double halfway_deg = std::asin(0.125) * 180.0 / std::numbers::pi;
  EXPECT_NEAR(panel(1.0).best(at(halfway_deg, 0.0)).gain.value, -3.866, 0.002);
  // Oversampled twice: 1 / (8 sin(pi / 32))^2 sin^2(pi / 4) = -0.899 dB.
  const double quarter_deg = std::asin(0.0625) * 180.0 / std::numbers::pi;
  EXPECT_NEAR(panel(2.0).best(at(quarter_deg, 0.0)).gain.value, -0.899, 0.002);
}

TEST(Codebook, NearestBeamIsTheBestOfAll) {
  // Trying all: the codebook asked towards each of its own beams gives every beam there is.
  const Codebook book = panel(2.0);
  for (double azimuth = -80.0; azimuth <= 80.0; azimuth += 3.7) {
    for (double elevation = -40.0; elevation <= 40.0; elevation += 3.1) {
      const double u = std::cos(deg(elevation).radians()) * std::sin(deg(azimuth).radians());
      const double v = std::sin(deg(elevation).radians());
      double best = 0.0;
      for (int k = -6; k <= 6; ++k) {    // |u_k| <= sin 60 = 0.866: 6 steps of 1/8
        for (int m = -4; m <= 4; ++m) {  // |v_m| <= sin 30 = 0.5: 4 steps of 1/8
          best = std::max(best, row_factor(8, u - k / 8.0) * row_factor(8, v - m / 8.0));
        }
      }
      EXPECT_NEAR(book.best(at(azimuth, elevation)).gain.value,
                  std::max(10.0 * std::log10(best), -40.0), 1e-9);
    }
  }
  EXPECT_EQ(book.size(), 13 * 9);
}

TEST(Codebook, BeamsOfAWholeTurnSharePower) {
  // Parseval: the powers of the 8 beams of an 8-point transform sum to one towards any side. The
  // book leaves out the one along the panel, u = 1.
  const Codebook row(1, 8, 1.0, deg(90.0), deg(0.0), Db(60.0));
  ASSERT_EQ(row.size(), 7);
  for (const double azimuth : {0.0, 3.0, 11.0, 25.0, 48.0}) {
    const double u = std::sin(deg(azimuth).radians());
    const double seven = 7.0 * row.mean_gain(at(azimuth, 0.0)).power_ratio();
    EXPECT_NEAR(seven + row_factor(8, u - 1.0), 1.0, 1e-9) << azimuth;
  }
}

TEST(ArraySector, SteeringCostsWhatTheElementLoses) {
  // u = 0.5 is a beam of the book: what is left is the element at 30 degrees, 12 (30/65)^2 dB.
  const SectorGain gain = towards(array_sector(), 30.0, 0.0);
  EXPECT_NEAR(gain.data.value, -12.0 * 30.0 * 30.0 / (65.0 * 65.0), 1e-6);
  EXPECT_NEAR(gain.beam_points.azimuth.degrees(), 30.0, 1e-6);
  EXPECT_NEAR(gain.beam_points.elevation.degrees(), 0.0, 1e-6);
  EXPECT_NEAR(towards(array_sector(), 0.0, 0.0).data.value, 0.0, 1e-9) << "EIRP is the peak";
}

TEST(ArraySector, BeamPointsIntoTheWorldAlsoWhenTilted) {
  Sector sector = array_sector();
  sector.azimuth = deg(200.0);
  sector.downtilt = deg(8.0);
  const SectorGain gain = towards(sector, 205.0, -10.0);
  EXPECT_NEAR(gain.beam_points.azimuth.degrees(), 205.0, 4.0);  // within half a beam step
  EXPECT_NEAR(gain.beam_points.elevation.degrees(), -10.0, 4.0);
  EXPECT_GT(gain.data.value, -2.5) << "two scalloping losses of 0.9 dB and a little scanning";
}

TEST(ArraySector, BehindOnlySideLobesAreLeft) {
  // TR 38.901 Table 7.3-1: the element is 30 dB down behind, and the array repeats there.
  const SectorGain gain = towards(array_sector(), 180.0, 0.0);
  EXPECT_NEAR(gain.data.value, -30.0, 1e-6);
  EXPECT_LE(towards(array_sector(), 150.0, 20.0).data.value, -30.0 + 1e-9);
}

TEST(ArraySector, BroadcastBeamIsWiderAndWeaker) {
  // 4 x 4 of 8 x 8 elements at full power: 10 log10(16 / 64) = -6.02 dB at the peak.
  const SectorGain ahead = towards(array_sector(), 0.0, 0.0);
  EXPECT_NEAR(ahead.broadcast.value, -6.0206, 1e-3);
  const Defaults defaults = read_defaults();
  const SectorBeams beams = sector_beams(array_sector(), defaults);
  EXPECT_LT(beams.broadcast.size(), beams.data.size());
  Sector stated = array_sector();
  stated.broadcast_gain = Db(-9.0);
  EXPECT_NEAR(towards(stated, 0.0, 0.0).broadcast.value, -9.0, 1e-9);
}

TEST(ArraySector, AnEnvelopeDisturbsOthersByItsMeanBeam) {
  // One beam of n elements at a time: 1/n of its peak on average, 18.06 dB for 64.
  Sector sector;
  sector.pattern = "3gpp-element";
  const SectorGain gain = towards(sector, 20.0, 0.0);
  EXPECT_NEAR((gain.data - gain.others).value, 18.0618, 1e-3);
  EXPECT_EQ(gain.beam, -1);
}

}  // namespace
}  // namespace sim
