// Elements in any order give the same features. Both extracts are invented: a block with a court
// (a relation of two ways) about 33 W, 40 N.
#include "sim/gis/osm_order.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/gis/vector_file.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

struct Corner {
  int id;
  double lon_deg, lat_deg;
};
const std::vector<Corner> corners{
    {1, -33, 40},           {2, -32.999, 40},       {3, -32.999, 40.001},   {4, -33, 40.001},
    {5, -32.9997, 40.0003}, {6, -32.9994, 40.0003}, {7, -32.9994, 40.0006}, {8, -32.9997, 40.0006}};
const std::vector<std::vector<int>> ways{{1, 2, 3, 4, 1}, {5, 6, 7, 8, 5}};

/// Number of rings of the one building in the file; 0 when there is no building.
std::size_t rings_read(const std::string& path) {
  const VectorTable table = read_vectors(
      {.path = path, .layer = "multipolygons", .where = "building = 'yes'"}, Crs::wgs84());
  if (table.features.empty()) return 0;
  EXPECT_EQ(table.features.front().source.path, path) << "messages name the user's file";
  return std::get<PolygonSet>(table.features.front().geometry).polygons.at(0).rings.size();
}

// ---- XML ----

std::string xml(const std::string& order) {
  std::string text =
      "<?xml version='1.0'?>\n<!-- a <way> in a comment -->\n<osm version=\"0.6\">\n";
  for (const char kind : order) {
    if (kind == 'n') {
      for (const Corner& c : corners) {
        text += "<node id=\"" + std::to_string(c.id) + "\" lon=\"" + std::to_string(c.lon_deg) +
                "\" lat=\"" + std::to_string(c.lat_deg) + "\"/>\n";
      }
    }
    for (std::size_t w = 0; kind == 'w' && w < ways.size(); ++w) {
      text += "<way id=\"" + std::to_string(10 + w) + "\">";
      for (const int id : ways[w]) text += "<nd ref=\"" + std::to_string(id) + "\"/>";
      text += "<tag k=\"note\" v=\"a > b\"/></way>\n";
    }
    if (kind == 'r') {
      text +=
          "<relation id=\"20\"><member type=\"way\" ref=\"10\" role=\"outer\"/><member "
          "type=\"way\" ref=\"11\" role=\"inner\"/><tag k=\"type\" v=\"multipolygon\"/><tag "
          "k=\"building\" v=\"yes\"/></relation>\n";
    }
  }
  return text + "</osm>\n";
}

// ---- PBF, encoded as https://wiki.openstreetmap.org/wiki/PBF_Format says, blobs not packed ----

std::string varint(std::uint64_t value) {
  std::string out;
  for (; value >= 128; value >>= 7) out += static_cast<char>((value & 127U) | 128U);
  return out + static_cast<char>(value);
}
std::uint64_t zigzag(std::int64_t value) {
  return static_cast<std::uint64_t>(value) << 1U ^ static_cast<std::uint64_t>(value >> 63);
}
std::string number(unsigned field, std::uint64_t value) {
  return varint(field << 3U) + varint(value);
}
std::string bytes(unsigned field, const std::string& value) {
  return varint(field << 3U | 2U) + varint(value.size()) + value;
}
std::string packed(unsigned field, const std::vector<int>& values, bool deltas) {
  std::string out;
  int last = 0;
  for (const int v : values) {
    out += varint(deltas ? zigzag(v - last) : static_cast<std::uint64_t>(v));
    last = v;
  }
  return bytes(field, out);
}
std::string frame(const std::string& type, const std::string& block) {
  const std::string blob = bytes(1, block);
  const std::string header = bytes(1, type) + number(3, blob.size());
  return std::string(3, '\0') + static_cast<char>(header.size()) + header + blob;
}
std::string group_of(char kind) {
  std::string group;
  if (kind == 'n') {
    for (const Corner& c : corners) {
      group += bytes(1, number(1, zigzag(c.id)) + number(8, zigzag(std::llround(c.lat_deg * 1e7))) +
                            number(9, zigzag(std::llround(c.lon_deg * 1e7))));
    }
  }
  for (std::size_t w = 0; kind == 'w' && w < ways.size(); ++w) {
    group += bytes(3, number(1, 10 + w) + packed(8, ways[w], true));
  }
  if (kind == 'r') {
    // Strings: 1 type, 2 multipolygon, 3 building, 4 yes, 5 outer, 6 inner.
    group = bytes(4, number(1, 20) + packed(2, {1, 3}, false) + packed(3, {2, 4}, false) +
                         packed(8, {5, 6}, false) + packed(9, {10, 11}, true) +
                         packed(10, {1, 1}, false));
  }
  return bytes(2, group);
}
std::string pbf(const std::string& order, bool one_block) {
  std::string strings;
  for (const char* word : {"", "type", "multipolygon", "building", "yes", "outer", "inner"}) {
    strings += bytes(1, word);
  }
  const std::string table = bytes(1, strings);
  std::string file = frame("OSMHeader", bytes(4, "OsmSchema-V0.6") + bytes(5, "Sort.Type_then_ID"));
  std::string all = table;
  for (const char kind : order) {
    all += group_of(kind);
    if (!one_block) file += frame("OSMData", table + group_of(kind));
  }
  return one_block ? file + frame("OSMData", all) : file;
}

class OsmOrder : public testing::TestWithParam<std::string> {
 protected:
  TempFolder folder_;
};

TEST_P(OsmOrder, XmlGivesTheBlockWithItsCourt) {
  EXPECT_EQ(rings_read(folder_.write("t.osm", xml(GetParam()))), 2U);
}
TEST_P(OsmOrder, PbfGivesTheBlockWithItsCourt) {
  EXPECT_EQ(rings_read(folder_.write("t.osm.pbf", pbf(GetParam(), false))), 2U);
}
TEST_P(OsmOrder, PbfOfOneBlockGivesTheBlockWithItsCourt) {
  EXPECT_EQ(rings_read(folder_.write("t.osm.pbf", pbf(GetParam(), true))), 2U);
}

INSTANTIATE_TEST_SUITE_P(Any, OsmOrder, testing::Values("nwr", "nrw", "wnr", "wrn", "rnw", "rwn"),
                         [](const auto& order) { return order.param; });

TEST(OrderedOsm, IsTheFileItselfWhereItIsInOrder) {
  TempFolder folder;
  for (const std::string& path :
       {folder.write("a.osm", xml("nwr")), folder.write("b.osm.pbf", pbf("nwr", true))}) {
    EXPECT_EQ(OrderedOsm(path).path(), path);
  }
}

TEST(OrderedOsm, LeavesBrokenFilesToTheReader) {
  TempFolder folder;
  const std::string text = xml("rwn"), binary = pbf("rwn", false);
  for (const std::string& path : {folder.write("a.osm", text.substr(0, text.size() / 2)),
                                  folder.write("b.osm.pbf", binary.substr(0, binary.size() - 9)),
                                  folder.write("c.osm.pbf", ""), folder.write("d.osm", "<")}) {
    EXPECT_EQ(OrderedOsm(path).path(), path);
  }
}

}  // namespace
}  // namespace sim
