// A terrain raster of any bytes; its CRS stands in a .prj beside it.
#include <fstream>

#include "sim/gis/raster_file.h"
#include "tests/fuzz/as_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace sim;
  const std::string path = fuzz::as_file("terrain.asc", data, size);
  static const Crs crs = Crs::parse("EPSG:32625", {});
  static const bool projected = [] {
    std::ofstream(fuzz::folder() + "/terrain.prj") << crs.wkt();
    return true;
  }();
  fuzz::refuse_or_read([&] {
    if (projected) read_heights({.path = path}, crs, {499000.0, 4427000.0, 501000.0, 4429000.0});
  });
  return 0;
}
