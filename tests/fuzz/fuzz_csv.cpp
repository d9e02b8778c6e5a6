#include "sim/gis/csv_file.h"
#include "tests/fuzz/as_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace sim;
  const std::string path = fuzz::as_file("table.csv", data, size);
  fuzz::refuse_or_read([&] {
    const CsvTable table = read_csv(path);
    for (std::size_t row = 0; row < table.rows.size(); ++row) {
      for (std::size_t column = 0; column < table.header.size(); ++column) {
        fuzz::refuse_or_read([&] { number_at(table, row, column); });
      }
    }
  });
  return 0;
}
