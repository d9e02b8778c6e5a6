// Bodies of the live view's requests, and the edits in them made on a site.
#include "sim/serve/questions.h"
#include "tests/fuzz/as_file.h"

namespace {

sim::ImportedSite small_site() {
  sim::ImportedSite site;
  site.site.folder = "site";
  site.nodes.push_back({.id = "n", .sectors = {{.id = "a"}}});
  site.buildings.push_back({.id = "house", .source = {"site/houses.geojson", "houses", 0}});
  site.poles.push_back({.id = "lamp", .source = {"lamps.csv", "lamps", 3}});
  return site;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const sim::ImportedSite site = small_site();
  const std::string_view body(reinterpret_cast<const char*>(data), size);
  sim::fuzz::refuse_or_read([&] { sim::edited_site(site, sim::read_site_question(body).edits); });
  sim::fuzz::refuse_or_read([&] { sim::read_link_question(body); });
  sim::fuzz::refuse_or_read([&] { sim::read_survey_question(body); });
  sim::fuzz::refuse_or_read([&] { sim::read_save_question(body); });
  return 0;
}
