// Units as people write them, in a header or behind a number.
#pragma once

#include <optional>
#include <string>

namespace sim {

/// What a column of a survey counts.
enum class Quantity { number, length, rate, delay, level, ratio };
/// Of one of our column names.
Quantity quantity_of(const std::string& our_name);

/// "rate", and the units it may be in, for people.
std::string words_of(Quantity quantity);

/// By what a number in the unit is multiplied to be in ours: metres, Mbit/s, ms, dBm, dB. Without
/// regard to case, but "MB/s" are bytes. nullopt for a unit of something else.
std::optional<double> unit_factor(Quantity quantity, const std::string& unit);

/// "Downlink (Gbps)" → "downlink" and "Gbps"; "rtt_in_ms" → "rtt" and "ms". The name in lower case
/// with single spaces; no unit = empty.
struct HeaderWords {
  std::string name, unit;
  bool in_brackets = false;
};
HeaderWords header_words(const std::string& header);

/// What a cell holds.
struct CellNumber {
  enum class Kind { value, empty, no_value, not_a_number } kind = Kind::empty;
  double value = 0.0;      ///< in our unit
  bool with_unit = false;  ///< the cell names its unit itself
};
/// "512", "1.2 Gbps", "120 ft", "39'6\"". `no_value` for the words and numbers that logs write
/// where they know nothing: null, N/A, nan, -, and the largest and smallest whole numbers. `factor`
/// is that of the header's unit.
CellNumber number_from_cell(const std::string& cell, Quantity quantity, double factor);

}  // namespace sim
