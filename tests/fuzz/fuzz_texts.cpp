// Small texts in cells: heights, times, zones.
#include <cstdlib>

#include "sim/import/height_text.h"
#include "sim/import/nearest_word.h"
#include "sim/survey/survey_time.h"
#include "tests/fuzz/as_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  if (const auto length = sim::length_from_text(text); length && *length != *length) std::abort();
  if (const auto time = sim::time_from_text(text, 0.0)) sim::time_text(*time);
  sim::zone_offset_s(text);
  sim::nearest_word(text, {"height_field", "levels_field"});
  return 0;
}
