#include "sim/link/antenna.h"

#include <gtest/gtest.h>

#include <fstream>

#include "sim/import/antenna_file.h"
#include "sim/import/asset_tables.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

Sector element(double azimuth_deg, double downtilt_deg) {
  Sector sector;
  sector.pattern = "3gpp-element";
  sector.azimuth = Angle::degrees(azimuth_deg);
  sector.downtilt = Angle::degrees(downtilt_deg);
  return sector;
}

SectorGain all_gains(const Sector& sector, double azimuth_deg, double elevation_deg) {
  static const Defaults defaults = read_defaults();
  return gain_towards(sector, Angle::degrees(azimuth_deg), Angle::degrees(elevation_deg),
                      sector_beams(sector, defaults));
}

double gain(const Sector& sector, double azimuth_deg, double elevation_deg) {
  return all_gains(sector, azimuth_deg, elevation_deg).data.value;
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
  const std::string path = (own_folder() / "turn.csv").string();
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

TEST(Antenna, WorldAndAntennaDirectionsAreInverse) {
  for (const double tilt : {-20.0, 0.0, 6.0, 35.0}) {
    const Sector sector = element(250.0, tilt);
    for (double azimuth = 5.0; azimuth < 360.0; azimuth += 25.0) {
      for (double elevation = -80.0; elevation <= 80.0; elevation += 20.0) {
        const WorldDirection back = world_direction(
            sector, antenna_direction(sector, Angle::degrees(azimuth), Angle::degrees(elevation)));
        EXPECT_NEAR(back.azimuth.degrees(), azimuth, 1e-6);
        EXPECT_NEAR(back.elevation.degrees(), elevation, 1e-6);
      }
    }
  }
}

// Plane geometry: a panel tilted down in front is tilted up behind, as one stiff piece.
TEST(Antenna, ATiltedSectorSeenFromBehindLooksOverThePoint) {
  const Sector sector = element(0.0, 10.0);
  const AntennaDirection seen =
      antenna_direction(sector, Angle::degrees(180.0), Angle::degrees(0.0));
  EXPECT_NEAR(std::abs(seen.azimuth.degrees()), 180.0, 1e-9);
  EXPECT_NEAR(seen.elevation.degrees(), -10.0, 1e-9);
  EXPECT_NEAR(gain(sector, 180.0, 10.0), -30.0, 1e-9);  // TR 38.901 Table 7.3-1, A_max
}

TEST(Antenna, UptiltTurnsThePeakUp) {
  const Sector sector = element(45.0, -15.0);
  EXPECT_NEAR(gain(sector, 45.0, 15.0), 0.0, 1e-9);
  EXPECT_NEAR(gain(sector, 45.0, -17.5), -3.0, 1e-3);
}

class CutFile : public testing::Test {
 protected:
  /// Two cuts of the element of TR 38.901 Table 7.3-1, every 5 degrees.
  Sector element_by_cuts() {
    std::ofstream file(path_);
    file << "cut,angle_deg,gain_dbi\n";
    const auto below = [](double angle) {
      return std::min(12.0 * angle * angle / 65.0 / 65.0, 30.0);
    };
    for (int a = -180; a < 180; a += 5) file << "azimuth," << a << "," << 8.0 - below(a) << "\n";
    for (int e = -90; e <= 90; e += 5) file << "elevation," << e << "," << 8.0 - below(e) << "\n";
    file.close();
    Sector sector = element(0.0, 0.0);
    sector.table = std::make_shared<AntennaTable>(read_antenna(path_));
    return sector;
  }
  std::string path_ = (own_folder() / "cuts.csv").string();
};

TEST_F(CutFile, CutsOfTheElementJoinToTheElement) {
  // TR 38.901 Table 7.3-1 joins its own cuts; on the angles of the file nothing is interpolated.
  const Sector sector = element_by_cuts();
  for (int azimuth = -180; azimuth < 180; azimuth += 15) {
    for (int elevation = -90; elevation <= 90; elevation += 15) {
      EXPECT_NEAR(gain(sector, azimuth, elevation), gain(element(0.0, 0.0), azimuth, elevation),
                  0.002)
          << azimuth << " " << elevation;
    }
  }
  EXPECT_NEAR(table_peak_dbi(*sector.table), 8.0, 1e-9);
}

}  // namespace
}  // namespace sim
