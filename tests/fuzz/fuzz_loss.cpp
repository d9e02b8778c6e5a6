// Any model of the formula book with any keys: refused, or answered without NaN where it claims to
// be in range.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <cstring>

#include "sim/loss/formula_book.h"
#include "tests/fuzz/as_file.h"

namespace {

/// Numbers of the magnitudes that people type as well as any bit pattern.
class Bytes {
 public:
  Bytes(const std::uint8_t* data, std::size_t size) : data_(data), left_(size) {}
  std::uint8_t byte() {
    if (left_ == 0) return 0;
    --left_;
    return *data_++;
  }
  double number() {
    const std::uint8_t how = byte();
    if (how % 4 == 0) {
      double value = 0.0;
      std::uint8_t raw[sizeof value];
      for (std::uint8_t& b : raw) b = byte();
      std::memcpy(&value, raw, sizeof value);
      return value;
    }
    const double mantissa = byte() + 256.0 * byte() - (how % 8 == 1 ? 32768.0 : 0.0);
    return mantissa * std::pow(10.0, byte() % 9 - 5);
  }

 private:
  const std::uint8_t* data_;
  std::size_t left_;
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace sim;
  Bytes bytes(data, size);
  const BookModel& model = formula_book()[bytes.byte() % formula_book().size()];
  std::map<std::string, std::string> texts;
  std::map<std::string, BookTable> tables;
  for (const BookKey& key : model.keys) {
    const std::uint8_t how = bytes.byte();
    if (how % 16 == 0) continue;  // left out
    if (!key.columns.empty()) {
      BookTable& table = tables[key.name];
      for (int row = 0; row < how % 12; ++row) {
        table.emplace_back();
        for (std::size_t c = 0; c < key.columns.size(); ++c) table.back().push_back(bytes.number());
      }
      texts[key.name] = "rows";
    } else if (!key.words.empty() && (!key.number || how % 2 == 0)) {
      texts[key.name] = key.words[how % key.words.size()];
    } else {
      texts[key.name] = fmt::format("{}", bytes.number());
    }
  }
  fuzz::refuse_or_read([&] {
    const BookAnswer answer = ask(model, texts, tables);
    for (const double value : answer.values) {
      if (answer.in_range() && std::isnan(value)) std::abort();
    }
  });
  return 0;
}
