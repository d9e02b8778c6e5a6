// A site file that cannot be used is refused with line, column and a way out.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/import/nearest_word.h"
#include "sim/import/site.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::EndsWith;
using testing::HasSubstr;

const std::string node = "[[node]]\nlon = -33\nlat = 40\n[[node.sector]]\n";

class SiteRefused : public testing::Test {
 protected:
  std::string refused(const std::string& text) {
    return refusal([&] { read_site(folder_.write("site.toml", text)); });
  }
  TempFolder folder_;
};

// Lines and columns counted by hand from 1.
TEST_F(SiteRefused, UnknownKeyWithItsPlaceAndTheNearestWord) {
  EXPECT_THAT(refused("[site]\nname = \"x\"\n\n[[buildings]]\nfile = \"b.gpkg\"\n  "
                      "heigth_field = \"h\"\n"),
              EndsWith("site.toml: line 6, column 3: unknown key 'heigth_field' in [[buildings]]; "
                       "did you mean 'height_field'?"));
}

TEST_F(SiteRefused, UnknownSection) {
  EXPECT_THAT(refused(node + "[[building]]\nfile = \"b.gpkg\"\n"),
              HasSubstr("unknown key 'building'; did you mean 'buildings'?"));
}

TEST_F(SiteRefused, KeyThatResemblesNothingListsWhatIsKnown) {
  EXPECT_THAT(refused("[ground]\nxyzzyxyzzyxyzzy = 1\n" + node),
              HasSubstr("unknown key 'xyzzyxyzzyxyzzy' in [ground]; known are: file, band, "
                        "elevation_m"));
}

TEST_F(SiteRefused, WrongTypes) {
  EXPECT_THAT(refused("[site]\nname = 5\n" + node),
              HasSubstr("line 2, column 8: [site] name must be text in quotes"));
  EXPECT_THAT(refused("[predict]\nradius_m = \"far\"\n" + node),
              HasSubstr("line 2, column 12: [predict] radius_m must be a finite number"));
  EXPECT_THAT(refused("[predict]\nradius_m = nan\n" + node), HasSubstr("must be a finite number"));
  EXPECT_THAT(refused("[ground]\nfile = \"d.tif\"\nband = 1.5\n" + node),
              HasSubstr("band must be a whole number"));
  EXPECT_THAT(refused("[site]\nbounds = [1, 2, 3]\n" + node),
              HasSubstr("bounds must be a list of 4 numbers"));
  EXPECT_THAT(refused("site = 3\n" + node),
              HasSubstr("site must be a section, written [site] or [[site]]"));
  EXPECT_THAT(refused("[[objects]]\nfile = \"o.csv\"\nlength_m = true\n" + node),
              HasSubstr("length_m must be a number, or the name of a field in quotes"));
  EXPECT_THAT(refused("[plan]\ncontrol_points = [[1, 2, 3]]\n" + node),
              HasSubstr("control_points must be a list of [lon, lat] pairs"));
  EXPECT_THAT(refused("[[survey]]\nfile = \"w.csv\"\ncolumns = { lon = 3 }\n"),
              HasSubstr(".lon must be text in quotes"));
}

TEST_F(SiteRefused, NumbersOutsideTheirLimits) {
  EXPECT_THAT(refused("[predict]\nconfidence = 1.5\n" + node),
              HasSubstr("confidence is 1.5, but must lie between 0.5 and 0.999"));
  EXPECT_THAT(refused(node + "frequency_ghz = 28000\n"), HasSubstr("frequency_ghz is 28000"));
  EXPECT_THAT(refused(node + "carriers = 0\n"), HasSubstr("carriers is 0"));
}

TEST_F(SiteRefused, WordsThatAreNotKnown) {
  EXPECT_THAT(refused("[site]\ntime = \"leafon\"\n" + node),
              HasSubstr("time is \"leafon\"; did you mean 'leaf-on'?"));
  EXPECT_THAT(refused("[receiver]\ncontext = \"in_car\"\n" + node),
              HasSubstr("context is \"in_car\""));
  EXPECT_THAT(refused("[[buildings]]\nfile = \"b\"\nmaterial = \"brik\"\n" + node),
              HasSubstr("did you mean 'brick'?"));
  EXPECT_THAT(refused("[predict]\nthresholds = { hold_rsrp = -100 }\n" + node),
              HasSubstr("unknown name 'hold_rsrp' in thresholds; did you mean 'hold_rsrp_dbm'?"));
}

TEST_F(SiteRefused, BoundsThatEncloseNothing) {
  EXPECT_THAT(refused("[site]\nbounds = [1, 2, 0, 3]\n" + node), HasSubstr("west < east"));
}

TEST_F(SiteRefused, SectionWithoutItsFile) {
  EXPECT_THAT(refused(node + "[[trees]]\nspecies_class = \"conifer\"\n"),
              HasSubstr("[[trees]] needs a `file`"));
}

TEST_F(SiteRefused, NodesThatCannotStand) {
  EXPECT_THAT(refused("[site]\nname = \"x\"\n"), HasSubstr("names no node"));
  EXPECT_THAT(refused("[[node]]\nid = \"a\"\nlon = -33\n[[node.sector]]\n"),
              HasSubstr("'a' needs a position: lon and lat, or x_m and y_m"));
  EXPECT_THAT(refused("[[node]]\nid = \"a\"\nlon = -33\nlat = 40\nx_m = 1\ny_m = 2\n"
                      "[[node.sector]]\n"),
              HasSubstr("'a' needs a position"));
  EXPECT_THAT(refused("[[node]]\nid = \"a\"\nlon = -33\nlat = 40\n"),
              HasSubstr("'a' has no [[node.sector]]"));
  EXPECT_THAT(refused("[[node]]\nid = \"a\"\nlon = -33\nlat = 40\n[[node.sector]]\n"
                      "[[node]]\nid = \"a\"\nlon = -33\nlat = 40\n[[node.sector]]\n"),
              HasSubstr("line 7, column 6: [[node]] id 'a' is used twice"));
}

TEST_F(SiteRefused, TwoSectorsOfOneName) {
  EXPECT_THAT(refused("[[node]]\nid = \"a\"\nlon = -33\nlat = 40\n[[node.sector]]\nsector = "
                      "\"s\"\n[[node.sector]]\nsector = \"s\"\n"),
              HasSubstr("has two sectors 's'"));
}

TEST_F(SiteRefused, SurveyAloneNeedsNoNode) {
  EXPECT_EQ(refused("[[survey]]\nfile = \"walk.csv\"\n"), "");
}

TEST_F(SiteRefused, TomlThatDoesNotParse) {
  EXPECT_THAT(refused("[site\nname = 1\n"), HasSubstr("site.toml: line 1, column 6"));
  EXPECT_THAT(refused("[site]\nname = \"a\"\nname = \"b\"\n"), HasSubstr("line 3, column "));
}

TEST_F(SiteRefused, FileOrFolderThatIsNotThere) {
  EXPECT_THAT(refusal([&] { read_site(folder_.file("none.toml")); }),
              HasSubstr("none.toml: no such file; name a site file, or a folder that holds "
                        "site.toml"));
  EXPECT_THAT(refusal([&] { read_site(folder_.path()); }), HasSubstr("site.toml: no such file"));
}

// Edit distances by hand: "heigth" to "height" is two substitutions.
TEST(NearestWord, IsTheOneWithTheFewestEdits) {
  EXPECT_EQ(nearest_word("heigth", {"width", "height", "depth"}), "height");
  EXPECT_EQ(nearest_word("lat", {"lon", "latitude", "late"}), "late");
  EXPECT_EQ(nearest_word("zzzzzzzz", {"lon", "lat"}), "");
  EXPECT_EQ(nearest_word("x", {}), "");
}

}  // namespace
}  // namespace sim
