#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::EndsWith;
using testing::HasSubstr;

class NodeFiles : public testing::Test {
 protected:
  ImportedSite import(const std::string& csv, const std::string& crs = "EPSG:32625") {
    folder_.write("nodes.csv", csv);
    return import_site(read_site(folder_.write(
        "site.toml", "[site]\ncrs = \"" + crs + "\"\n[nodes]\nfile = \"nodes.csv\"\n")));
  }
  std::string refused(const std::string& csv) {
    return refusal([&] { import(csv); });
  }
  TempFolder folder_;
};

TEST_F(NodeFiles, RowsOfOneNodeAreItsSectors) {
  const auto nodes = import(
                         "node,lon,lat,height_agl_m,sector,azimuth_deg,downtilt_deg,frequency_ghz,"
                         "bandwidth_mhz,carriers,eirp_dbm,pattern,polarization\n"
                         "corner,-33,40,7.5,n,0,3,28,100,4,55,isotropic,slant\n"
                         "corner,-33,40,7.5,e,90,4,39,400,1,50,3gpp-array,horizontal\n"
                         "hill,-33.002,40.001,9,,200,,,,,,,\n")
                         .nodes;
  ASSERT_EQ(nodes.size(), 2U);
  EXPECT_EQ(nodes[0].id, "corner");
  EXPECT_DOUBLE_EQ(nodes[0].height_agl_m, 7.5);
  // UTM by definition: easting 500000 on the central meridian.
  EXPECT_NEAR(nodes[0].place.x, 500000.0, 1e-3);
  ASSERT_EQ(nodes[0].sectors.size(), 2U);
  const SectorRecord& east = nodes[0].sectors[1];
  EXPECT_EQ(east.id, "e");
  EXPECT_NEAR(east.azimuth.degrees(), 90.0, 1e-12);
  EXPECT_NEAR(east.downtilt.degrees(), 4.0, 1e-12);
  EXPECT_DOUBLE_EQ(east.frequency.ghz(), 39.0);
  EXPECT_DOUBLE_EQ(east.bandwidth_mhz, 400.0);
  EXPECT_EQ(nodes[0].sectors[0].carriers, 4);
  EXPECT_EQ(east.eirp, Dbm(50.0));
  EXPECT_EQ(east.pattern, "3gpp-array");
  EXPECT_EQ(east.polarization, "horizontal");
  EXPECT_EQ(nodes[1].sectors.at(0).id, "a") << "unnamed sectors are lettered";
  EXPECT_EQ(nodes[1].sectors[0].pattern, "3gpp-element") << "empty cells take the default";
  EXPECT_THAT(to_string(nodes[1].sectors[0].source), EndsWith("nodes.csv:3"));
}

TEST_F(NodeFiles, MetresOfTheSiteServeAsWell) {
  const auto nodes = import("id,x_m,y_m\nk,500010,4428236\n").nodes;
  EXPECT_DOUBLE_EQ(nodes.at(0).place.x, 500010.0);
}

TEST_F(NodeFiles, AutomaticCrsIsTheUtmZoneOfTheNodes) {
  EXPECT_EQ(import("id,lon,lat\nk,-33,40\n", "auto").crs.epsg(), "EPSG:32625");
  EXPECT_EQ(import("id,lon,lat\nk,-33,-40\n", "auto").crs.epsg(), "EPSG:32725");
}

TEST_F(NodeFiles, RowsThatCannotBeUsedAreRefusedByNumber) {
  EXPECT_THAT(refused("node,lon,lat\na,-33,40\n,-33,40\n"),
              EndsWith("nodes.csv:2: node row has no id; it needs a column 'node' or 'id'"));
  EXPECT_THAT(refused("node,lon,lat\na,-33,40\nb,,\n"),
              HasSubstr("nodes.csv:2: node row has no usable position"));
  EXPECT_THAT(refused("node,lon,lat,sector\na,-33,40,x\na,-33.001,40,y\n"),
              HasSubstr("nodes.csv:2: node 'a' is more than 1 m from its other rows"));
  EXPECT_THAT(refused("node,lon,lat,eirp_dbm\na,-33,40,loud\n"),
              HasSubstr("eirp_dbm is 'loud', but must be a number between -30 and 100"));
  EXPECT_THAT(refused("node,lon,lat,carriers\na,-33,40,2.5\n"),
              HasSubstr("carriers must be a whole number"));
  EXPECT_THAT(refused("node,lon,lat,pattern\na,-33,40,isotropc\n"),
              HasSubstr("pattern is 'isotropc'; did you mean 'isotropic'?"));
  EXPECT_THAT(refused("node,lon,lat,sector\na,-33,40,x\na,-33,40,x\n"),
              HasSubstr("nodes.csv:2: node 'a' has two sectors 'x'"));
  EXPECT_THAT(refused("node,lon,lat\n"), HasSubstr("holds no nodes"));
}

TEST_F(NodeFiles, PatternFileIsATableOfGains) {
  folder_.write("horn.csv",
                "azimuth_deg,elevation_deg,gain_dbi\n-10,0,1\n-10,5,2\n10,0,3\n10,5,4\n");
  const auto nodes = import("node,lon,lat,pattern\na,-33,40,horn.csv\n").nodes;
  const auto& table = nodes.at(0).sectors.at(0).table;
  ASSERT_TRUE(table);
  // The outermost columns stand again a full turn away.
  EXPECT_THAT(table->azimuths_deg, testing::ElementsAre(-350.0, -10.0, 10.0, 350.0));
  EXPECT_DOUBLE_EQ(table->points.at(5).gain_dbi, 4.0);
  folder_.write("horn.csv", "azimuth_deg,elevation_deg,gain_dbi\n-10,0,1\n-10,5,2\n10,0,3\n");
  EXPECT_THAT(refused("node,lon,lat,pattern\na,-33,40,horn.csv\n"), HasSubstr("is no full table"));
}

// A column passed over would leave every sector looking north, by the default.
TEST_F(NodeFiles, ColumnsThatAreNearlyOursAreAskedFor) {
  EXPECT_THAT(refused("id,lon,lat,Azimuth,eirp_dbm\nA,-33,40,80,47\n"),
              HasSubstr("nodes.csv:0: is column 'Azimuth' what kerbray calls azimuth_deg? name it "
                        "so, in that unit"));
  EXPECT_THAT(refused("id,lon,lat,azimuth_deg,Height (ft)\nA,-33,40,80,26\n"),
              HasSubstr("is column 'Height (ft)' what kerbray calls height_agl_m? name it so, in "
                        "that unit (or with the unit in each cell: 26 ft)"));
}

TEST_F(NodeFiles, AnEirpThatIsNotToldIsTheDefaultAndSaid) {
  const ImportedSite site = import("id,lon,lat,azimuth_deg\nA,-33,40,80\n");
  EXPECT_EQ(site.nodes.at(0).sectors.at(0).eirp.value, site.defaults("sector_eirp_dbm"));
  ASSERT_EQ(site.report.issues.size(), 1U);
  EXPECT_EQ(site.report.issues[0].code, "eirp_default");
  EXPECT_THAT(site.report.issues[0].message, HasSubstr("sector 'a' of node 'A' tells no eirp_dbm"));
}

class InlineNodes : public testing::Test {
 protected:
  std::string refused(const std::string& text) {
    const std::string site = folder_.write("site.toml", text);
    return refusal([&] { import_site(read_site(site)); });
  }
  TempFolder folder_;
};

TEST_F(InlineNodes, PlacesThatCannotBeAreRefused) {
  const std::string crs = "[site]\ncrs = \"EPSG:32625\"\n[[node]]\nid = \"n\"\n";
  const std::string sector = "[[node.sector]]\n";
  EXPECT_THAT(refused(crs + "lon = 0\nlat = 0\n" + sector),
              HasSubstr("is at longitude 0, latitude 0"));
  EXPECT_THAT(refused(crs + "lon = 40\nlat = -33\n" + sector),
              HasSubstr("latitude and longitude look swapped"));
  EXPECT_THAT(refused(crs + "lon = 150\nlat = 40\n" + sector),
              HasSubstr("node 'n' lies outside the area of WGS 84 / UTM zone 25N"));
  EXPECT_THAT(refused("[[node]]\nid = \"n\"\nx_m = 1\ny_m = 2\n" + sector),
              HasSubstr("but the site names no CRS"));
}

TEST_F(InlineNodes, SiteInDegreesOrFeetIsRefused) {
  const std::string node = "[[node]]\nlon = -73\nlat = 40\n[[node.sector]]\n";
  EXPECT_THAT(refused("[site]\ncrs = \"EPSG:4326\"\n" + node), HasSubstr("is not a map in metres"));
  EXPECT_THAT(refused("[site]\ncrs = \"EPSG:2263\"\n" + node), HasSubstr("is not a map in metres"));
}

TEST_F(InlineNodes, NoUtmZoneIsChosenBeyondItsLatitudes) {
  // UTM is defined between 80 S and 84 N.
  EXPECT_THAT(refused("[[node]]\nlon = 10\nlat = 85\n[[node.sector]]\n"),
              HasSubstr("no UTM zone can be chosen"));
}

// True north against grid north at 33 W is 0 on the central meridian; 1 degree east at 40 N it is
// atan(tan(1 deg) sin(40 deg)) = 0.6428 deg (closed form of Transverse Mercator on the sphere).
TEST(SiteFrame, ConvergenceIsThatOfTheMiddleOfTheArea) {
  TempFolder folder;
  const auto import = [&](const std::string& lon) {
    return import_site(
        read_site(folder.write("site.toml", "[site]\ncrs = \"EPSG:32625\"\n[[node]]\nlon = " + lon +
                                                "\nlat = 40\n[[node.sector]]\n")));
  };
  EXPECT_NEAR(import("-33").convergence.degrees(), 0.0, 1e-5);
  EXPECT_NEAR(import("-32").convergence.degrees(), 0.6428, 1e-3);
}

TEST(SiteArea, IsTheRadiusAndAHundredMetresAroundTheNodesOrTheBoundsGiven) {
  InventedSite site;
  const auto imported = site.import("");
  EXPECT_NEAR(imported.area_west_m, origin_x_m - 200.0, 1e-6);
  EXPECT_NEAR(imported.area_north_m, origin_y_m + 200.0, 1e-6);
  const auto bounded = import_site(read_site(site.folder.write(
      "site.toml",
      "[site]\nbounds = [-33.0, 0.0, -32.999, 0.001]\n[[node]]\nlon = -33\nlat = 0.0005\n"
      "[[node.sector]]\n")));
  EXPECT_NEAR(bounded.area_west_m, 500000.0, 1e-3);
  // 0.001 degree of longitude on the equator: 6378137 m x 0.001 pi / 180 x 0.9996 = 111.27 m.
  EXPECT_NEAR(bounded.area_east_m - bounded.area_west_m, 111.275, 0.01);
}

}  // namespace
}  // namespace sim
