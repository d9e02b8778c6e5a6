// The phone, the weather and the panel in the site file: contract section 3 and what it leaves
// open.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/import/records.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;

class SiteKeys : public testing::Test {
 protected:
  const std::string node_ =
      "[[node]]\nlon = -33\nlat = 40\n[[node.sector]]\npattern = \"3gpp-array\"\n";
  Site read(const std::string& text) { return read_site(folder_.write("site.toml", node_ + text)); }
  std::string refused(const std::string& text) {
    try {
      read(text);
    } catch (const InputError& error) {
      return error.what();
    }
    return "accepted";
  }
  TempFolder folder_;
};

TEST_F(SiteKeys, TellHowThePhoneIsHeldAndHoused) {
  const Site s = read(
      "[receiver]\nfacing = \"away\"\nvehicle_windows = \"metallised\"\nfacade = \"efficient\"\n"
      "indoor_depth_m = 3\nhand = \"over_panel\"\n");
  EXPECT_EQ(s.receiver.facing.way, Facing::Way::away);
  EXPECT_TRUE(s.receiver.housing.metallised_windows);
  EXPECT_EQ(s.receiver.housing.facade, Facade::efficient);
  EXPECT_DOUBLE_EQ(s.receiver.housing.indoor_depth_m, 3.0);
  EXPECT_TRUE(s.receiver.housing.hand_over_panel);
  EXPECT_NEAR(read("[receiver]\nfacing = 135\n").receiver.facing.heading.degrees(), 135.0, 1e-9);
  EXPECT_EQ(read("").receiver.facing.way, Facing::Way::held);
  EXPECT_TRUE(read("[receiver]\nglass = \"coated\"\n").receiver.housing.coated_glass);
}

TEST_F(SiteKeys, WordsThatContradictAreRefused) {
  EXPECT_THAT(refused("[receiver]\nfacing = \"back\"\n"),
              HasSubstr("facing is 'back', but must be \"held\", \"node\", \"away\" or degrees"));
  EXPECT_THAT(refused("[receiver]\nfacade = \"low_loss\"\nglass = \"coated\"\n"),
              HasSubstr("already holds its own panes"));
  EXPECT_THAT(refused("[receiver]\nglass = \"coated\"\nglass_thickness_mm = 6\n"),
              HasSubstr("is for plain glass"));
  EXPECT_THAT(refused("[receiver]\nindoor_depth_m = 6\n"), HasSubstr("needs a facade"));
  EXPECT_THAT(refused("[receiver]\nvehicle_windows = \"metalised\"\n"), HasSubstr("metallised"));
  EXPECT_THAT(refused("[[node.sector]]\nrows = 4\n"),
              HasSubstr("rows counts the elements of pattern = \"3gpp-array\""));
  EXPECT_THAT(refused("[[node.sector]]\nbroadcast_gain_db = 3\n"), HasSubstr("broadcast_gain_db"));
}

TEST_F(SiteKeys, SectorsMayStateTheirPanel) {
  const Site s = read("rows = 4\ncols = 16\nbroadcast_gain_db = -7\n");
  const SectorSettings& sector = s.nodes.inline_nodes.at(0).sectors.at(0);
  EXPECT_EQ(sector.rows, 4);
  EXPECT_EQ(sector.cols, 16);
  EXPECT_EQ(sector.broadcast_gain_db, -7.0);
}

TEST_F(SiteKeys, WeatherTakesThePlaceOfTheReferenceAtmosphere) {
  const Site s = read("[site]\ntemperature_c = 30\nwater_vapour_g_m3 = 20\npressure_hpa = 1000\n");
  const Defaults d = import_site(s).defaults;
  EXPECT_NEAR(d("temperature_k"), 303.15, 1e-9);
  EXPECT_DOUBLE_EQ(d("water_vapour_g_m3"), 20.0);
  EXPECT_DOUBLE_EQ(d("pressure_hpa"), 1000.0);
  EXPECT_EQ(d.all().at("temperature_k").source, "site file");
}

TEST_F(SiteKeys, EveryDefaultHasASourceAndMayBeOverridden) {
  const Defaults given = import_site(read("")).defaults;
  for (const auto& [name, value] : given.all()) {
    EXPECT_FALSE(value.source.empty()) << name;
    const Site s = read("[predict]\nthresholds = { " + name + " = 1.5 }\n");
    EXPECT_DOUBLE_EQ(import_site(s).defaults(name), 1.5) << name;
  }
}

}  // namespace
}  // namespace sim
