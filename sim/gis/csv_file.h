// Comma-separated tables as people and spreadsheets write them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/base/input_error.h"

namespace sim {

struct CsvTable {
  std::string path;
  std::vector<std::string> header;
  std::vector<std::vector<std::string>> rows;                        ///< each as long as the header
  std::optional<std::size_t> column(const std::string& name) const;  ///< without case
  SourceRef row_ref(std::size_t row) const;  ///< 1 = first row after the header
};

/// Reads RFC 4180 CSV, also with a byte-order mark, semicolons or tabs. Decimal commas are read
/// where the separator is a semicolon or tab. Throws InputError for a row of another length than
/// the header, a quote that is never closed, a repeated header name, no header, text that is not
/// UTF-8, or an ambiguous separator.
CsvTable read_csv(const std::string& path);

/// A finite number, "12,5" too when unambiguous; nullopt for an empty cell. Throws InputError
/// naming the column otherwise.
std::optional<double> number_at(const CsvTable& table, std::size_t row, std::size_t column);

/// One CSV field, quoted where RFC 4180 needs it.
std::string csv_field(const std::string& text);

}  // namespace sim
