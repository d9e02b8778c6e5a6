// A site file with numbers changed: comments stay, paths hold, and it reads back.
#include "sim/import/site_rewrite.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/import/text_edits.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

SiteChanges one_sector() {
  SiteChanges changes;
  changes.heading = "Written by a test";
  changes.sectors[{0, 0}] = {{"azimuth_deg", {"83.50", "was 80"}},
                             {"eirp_dbm", {"44.00", "was 55"}}};
  changes.thresholds = {{"foliage_scale", {"0.800", "from leaves"}}};
  return changes;
}

/// Reads the new text from a folder elsewhere.
Site read_back(const TempFolder& elsewhere, const std::string& text) {
  return read_site(elsewhere.write("fitted.toml", text));
}

TEST(SiteRewrite, ChangesNumbersAndKeepsTheRest) {
  const InventedSite site;
  const ImportedSite imported =
      site.import("azimuth_deg = 80  # from the roof\n# a last word, é and all");
  const std::string text = rewritten_site(imported, one_sector());
  EXPECT_EQ(text.rfind("# Written by a test\n", 0), 0U);
  EXPECT_THAT(text, HasSubstr("# was 80\nazimuth_deg = 83.50  # from the roof\n"));
  EXPECT_THAT(text, HasSubstr("# a last word, é and all"));
  const TempFolder elsewhere;
  const Site again = read_back(elsewhere, text);
  EXPECT_EQ(again.nodes.inline_nodes.at(0).sectors.at(0).azimuth_deg, 83.5);
  EXPECT_EQ(again.nodes.inline_nodes.at(0).sectors.at(0).eirp_dbm, 44.0) << "a key that was absent";
  EXPECT_EQ(again.predict.thresholds.at("foliage_scale"), 0.8);
  EXPECT_EQ(again.predict.radius_m, 100.0);
}

TEST(SiteRewrite, PathsHoldFromAnotherFolder) {
  const InventedSite site;
  site.folder.write("walk.csv", "lon,lat\n");
  site.layer("lamps.geojson", {feature(point(5, 5))});
  const ImportedSite imported =
      site.import("[[poles]]\nfile = \"lamps.geojson\"\n[[survey]]\nfile = \"walk.csv\"");
  const TempFolder elsewhere;
  const Site again = read_back(elsewhere, rewritten_site(imported, {}));
  EXPECT_EQ(again.surveys.at(0).file, site.folder.file("walk.csv"));
  EXPECT_EQ(again.poles.at(0).file, site.folder.file("lamps.geojson"));
}

TEST(SiteRewrite, InlineTablesTakeNewNumbersToo) {
  const InventedSite site;
  const std::string file = site.folder.write(
      "site.toml",
      "site = { crs = \"EPSG:32625\" }\n"
      "predict = { radius_m = 90, thresholds = { drop_rsrp_dbm = -99 } }\n"
      "node = [\n  { id = \"é\", lon = -33.0, lat = 40.0, sector = [{ azimuth_deg = 80 }] },\n]\n");
  const ImportedSite imported = import_site(read_site(file));
  SiteChanges changes = one_sector();
  changes.thresholds["drop_rsrp_dbm"] = {"-105.00", "lower"};
  const TempFolder elsewhere;
  const Site again = read_back(elsewhere, rewritten_site(imported, changes));
  EXPECT_EQ(again.nodes.inline_nodes.at(0).sectors.at(0).azimuth_deg, 83.5);
  EXPECT_EQ(again.nodes.inline_nodes.at(0).sectors.at(0).eirp_dbm, 44.0);
  EXPECT_EQ(again.predict.thresholds.at("foliage_scale"), 0.8);
  EXPECT_EQ(again.predict.thresholds.at("drop_rsrp_dbm"), -105.0);
}

TEST(SiteRewrite, NodesOfAFileAreWrittenOut) {
  const InventedSite site;
  site.folder.write("nodes.csv",
                    "id,lon,lat,height_agl_m,sector,azimuth_deg,eirp_dbm\n"
                    "p,-33.0,40.0,7,a,80,55\np,-33.0,40.0,7,b,200,55\nq,-33.001,40.0,6,a,10,50\n");
  const std::string file = site.folder.write(
      "site.toml", "[site]\ncrs = \"EPSG:32625\"\n[nodes]\nfile = \"nodes.csv\"\n");
  const ImportedSite imported = import_site(read_site(file));
  SiteChanges changes;
  changes.sectors[{0, 1}] = {{"eirp_dbm", {"51.00", "was 55"}}};
  changes.nodes[1] = {{imported.nodes[1].place.x + 10.0, imported.nodes[1].place.y}, "moved"};
  const TempFolder elsewhere;
  const std::string text = rewritten_site(imported, changes);
  EXPECT_THAT(text, HasSubstr("# file = "));
  const ImportedSite again = import_site(read_back(elsewhere, text));
  ASSERT_EQ(again.nodes.size(), 2U);
  EXPECT_EQ(again.nodes[0].sectors[0].eirp.value, 55.0);
  EXPECT_EQ(again.nodes[0].sectors[1].eirp.value, 51.0);
  EXPECT_NEAR(again.nodes[0].sectors[1].azimuth.degrees(), 200.0, 1e-9);
  EXPECT_NEAR(again.nodes[0].place.x, imported.nodes[0].place.x, 1e-3);
  EXPECT_NEAR(again.nodes[1].place.x, imported.nodes[1].place.x + 10.0, 1e-3);
}

TEST(TextEdits, ColumnsCountCodePoints) {
  TextEdits edits("é = 1\nb = 2");
  const std::size_t at = edits.byte_at(1, 5);
  EXPECT_EQ(edits.text()[at], '1');
  edits.replace(at, at + 1, "7");
  edits.add_above(2, "# two");
  EXPECT_EQ(edits.result(), "é = 7\n# two\nb = 2\n");
}

}  // namespace
}  // namespace sim
