// A buildings layer of any bytes, read through GDAL, checked, repaired and recorded.
#include "sim/import/records.h"
#include "tests/fuzz/as_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace sim;
  const std::string path = fuzz::as_file("houses.geojson", data, size);
  Site site;
  site.file = fuzz::folder() + "/site.toml";
  site.crs = "EPSG:32625";
  BuildingLayer layer;
  layer.file = path;
  site.buildings.push_back(layer);
  site.max_features = 1000;
  fuzz::refuse_or_read([&] { import_site(site); });
  return 0;
}
