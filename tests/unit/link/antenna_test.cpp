#include "sim/link/antenna.h"

#include <gtest/gtest.h>

#include <fstream>

#include "sim/import/asset_tables.h"

namespace sim {
namespace {

Sector element(double azimuth_deg, double downtilt_deg) {
  Sector sector;
  sector.pattern = "3gpp-element";
  sector.azimuth = Angle::degrees(azimuth_deg);
  sector.downtilt = Angle::degrees(downtilt_deg);
  return sector;
}

double gain(const Sector& sector, double azimuth_deg, double elevation_deg) {
  return relative_gain(sector, Angle::degrees(azimuth_deg), Angle::degrees(elevation_deg),
                       read_defaults())
      .value;
}

TEST(Antenna, ElementFollowsItsTable) {
  // TR 38.901 Table 7.3-1, gain over the 8 dBi peak.
  const Sector sector = element(90.0, 0.0);
  EXPECT_NEAR(gain(sector, 90.0, 0.0), 0.0, 1e-9);
  EXPECT_NEAR(gain(sector, 122.5, 0.0), -3.0, 1e-3);
  EXPECT_NEAR(gain(sector, 90.0, 32.5), -3.0, 1e-3);
  EXPECT_NEAR(gain(sector, 155.0, 0.0), -12.0, 1e-3);
  EXPECT_NEAR(gain(sector, 270.0, 0.0), -30.0, 1e-3);
}

TEST(Antenna, DowntiltTurnsThePeakDown) {
  const Sector sector = element(0.0, 6.0);
  EXPECT_NEAR(gain(sector, 0.0, -6.0), 0.0, 1e-9);
  EXPECT_NEAR(gain(sector, 0.0, -38.5), -3.0, 1e-3);
  EXPECT_GT(gain(sector, 0.0, -10.0), gain(sector, 0.0, 10.0));
}

TEST(Antenna, LeftAndRightAreAlike) {
  const Sector sector = element(30.0, 10.0);
  for (const double off : {5.0, 40.0, 100.0, 170.0}) {
    EXPECT_NEAR(gain(sector, 30.0 + off, -4.0), gain(sector, 30.0 - off, -4.0), 1e-9);
  }
}

TEST(Antenna, ATableFromNoughtToAFullTurnIsReadAllRound) {
  const std::string path = testing::TempDir() + "kerbray_turn.csv";
  std::ofstream file(path);
  file << "azimuth_deg,elevation_deg,gain_dbi\n";
  for (int azimuth = 0; azimuth < 360; azimuth += 15) {
    for (const int elevation : {-90, 90}) {
      file << azimuth << "," << elevation << "," << (azimuth == 270 ? 20 : 0) << "\n";
    }
  }
  file.close();
  Sector sector = element(0.0, 0.0);
  sector.table = std::make_shared<AntennaTable>(read_antenna(path));
  EXPECT_NEAR(gain(sector, 270.0, 0.0), 0.0, 1e-9);
  EXPECT_NEAR(gain(sector, -90.0, 0.0), 0.0, 1e-9);
  EXPECT_NEAR(gain(sector, 262.5, 0.0), -10.0, 1e-9);  // half way between two columns
  EXPECT_NEAR(gain(sector, 172.0, 0.0), -20.0, 1e-9);
  EXPECT_NEAR(gain(sector, 188.0, 0.0), -20.0, 1e-9);
}

TEST(Antenna, IsotropicIsFlat) {
  Sector sector = element(0.0, 0.0);
  sector.pattern = "isotropic";
  EXPECT_EQ(gain(sector, 123.0, -77.0), 0.0);
}

TEST(Antenna, ArrayPeaksAhead) {
  Sector sector = element(0.0, 0.0);
  sector.pattern = "3gpp-array";
  EXPECT_NEAR(gain(sector, 0.0, 0.0), 0.0, 1e-9);
  for (double azimuth = -180.0; azimuth <= 180.0; azimuth += 7.0) {
    for (double elevation = -90.0; elevation <= 90.0; elevation += 7.0) {
      EXPECT_LE(gain(sector, azimuth, elevation), 1e-9);
    }
  }
}

}  // namespace
}  // namespace sim
