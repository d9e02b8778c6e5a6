// A survey of any bytes, placed by GPS or along a street.
#include "sim/import/asset_tables.h"
#include "sim/survey/survey.h"
#include "tests/fuzz/as_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace sim;
  ImportedSite imported;
  static const Defaults defaults = read_defaults();
  imported.defaults = defaults;
  imported.crs = Crs::parse("EPSG:32625", {});
  imported.nodes.push_back({.id = "n1", .place = {500000.0, 4428000.0}});
  imported.streets.push_back({.id = "way 1",
                              .name = "High Street",
                              .line = {{499900.0, 4428000.0}, {500300.0, 4428040.0}}});
  SurveySettings settings;
  settings.file = fuzz::as_file("walk.csv", data, size);
  imported.site.surveys.push_back(settings);
  fuzz::refuse_or_read([&] { read_surveys(imported); });
  return 0;
}
