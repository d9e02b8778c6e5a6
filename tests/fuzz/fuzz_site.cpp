#include "sim/import/site.h"
#include "tests/fuzz/as_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string path = sim::fuzz::as_file("site.toml", data, size);
  sim::fuzz::refuse_or_read([&] { sim::read_site(path); });
  return 0;
}
