// An OSM PBF of any bytes: put in order, read, and its buildings recorded.
#include "sim/import/records.h"
#include "tests/fuzz/as_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace sim;
  Site site;
  site.file = fuzz::folder() + "/site.toml";
  site.crs = "EPSG:32625";
  BuildingLayer layer;
  layer.file = fuzz::as_file("houses.osm.pbf", data, size);
  site.buildings.push_back(layer);
  site.max_features = 1000;
  fuzz::refuse_or_read([&] { import_site(site); });
  return 0;
}
