// Pattern files that cannot be used, each with its message.
#include "sim/import/antenna_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/base/input_error.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;

class AntennaFile : public testing::Test {
 protected:
  std::string refused(const std::string& text) {
    const std::string path = folder_.write("pattern.csv", text);
    try {
      read_antenna(path);
    } catch (const InputError& error) {
      return error.what();
    }
    return "accepted";
  }
  TempFolder folder_;
};

const std::string cuts = "cut,angle_deg,gain_dbi\n";

TEST_F(AntennaFile, CutsThatDoNotMakeAnAntennaAreRefused) {
  EXPECT_THAT(refused(cuts + "azimuth,0,8\nazimuth,90,-4\n"),
              HasSubstr("has 0 rows of the elevation cut"));
  EXPECT_THAT(refused(cuts + "azimuth,0,8\nazimut,90,-4\n"),
              HasSubstr(":2: cut is 'azimut', but must be azimuth or elevation"));
  EXPECT_THAT(refused(cuts + "azimuth,0,8\nazimuth,0,7\n"),
              HasSubstr(":2: gives angle_deg 0 of the azimuth cut a second time"));
  EXPECT_THAT(refused(cuts + "elevation,120,8\n"),
              HasSubstr(":1: angle_deg is 120, but must be within +-90"));
  EXPECT_THAT(refused(cuts + "azimuth,0,8\nazimuth,90,0\nelevation,0,14\nelevation,45,0\n"),
              HasSubstr("the azimuth cut peaks at 8 dBi and the elevation cut at 14 dBi"));
  EXPECT_THAT(refused(cuts + "azimuth,0,\n"), HasSubstr(":1: gain_dbi is empty"));
  EXPECT_THAT(refused("cut,angle,gain_dbi\nazimuth,0,8\n"),
              HasSubstr("needs a column 'angle_deg'"));
}

TEST_F(AntennaFile, GridsWithHolesOrRepeatsAreRefused) {
  const std::string grid = "azimuth_deg,elevation_deg,gain_dbi\n";
  EXPECT_THAT(refused(grid + "0,0,1\n0,5,1\n10,0,1\n"), HasSubstr("is no full table"));
  EXPECT_THAT(refused(grid + "0,0,1\n0,0,1\n10,0,1\n"), HasSubstr("gives one direction twice"));
  EXPECT_THAT(refused(grid + "0,95,1\n"),
              HasSubstr("elevation_deg is 95, but must be within +-90"));
  EXPECT_THAT(refused("bearing,gain_dbi\n0,1\n"), HasSubstr("needs a column 'azimuth_deg'"));
}

TEST_F(AntennaFile, CutsJoinAsTheStandardJoinsItsOwn) {
  // TR 38.901 Table 7.3-1: -min(-(A_V + A_H), A_max), A_max the deepest of the two cuts: 20.
  const AntennaTable table = read_antenna(folder_.write(
      "pattern.csv",
      cuts + "azimuth,-90,0\nazimuth,0,12\nazimuth,90,-8\nelevation,-30,0\nelevation,0,12\n"));
  EXPECT_DOUBLE_EQ(table.peak_dbi, 12.0);
  const auto gain = [&](double azimuth, double elevation) {
    for (const auto& row : table.points) {
      if (row.azimuth_deg == azimuth && row.elevation_deg == elevation) return row.gain_dbi;
    }
    return -999.0;
  };
  EXPECT_DOUBLE_EQ(gain(0.0, 0.0), 12.0);
  EXPECT_DOUBLE_EQ(gain(-90.0, 0.0), 0.0);
  EXPECT_DOUBLE_EQ(gain(0.0, -30.0), 0.0);
  EXPECT_DOUBLE_EQ(gain(-90.0, -30.0), -8.0) << "12 + 12 dB, held at 20";
  EXPECT_DOUBLE_EQ(gain(90.0, -30.0), -8.0);
}

}  // namespace
}  // namespace sim
