// A column of the surveys as it was written, whatever it is called.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/import/records.h"

namespace sim {

/// One per survey row, in the order of Survey::measurements; empty where a file has no such column.
struct WrittenColumn {
  std::vector<std::string> cells;
  bool found = false;               ///< in one file at least
  std::vector<std::string> fields;  ///< of all files, each once, for people
};

/// Looks for the name without regard to case. Throws InputError as read_surveys does.
WrittenColumn written_column(const ImportedSite& imported, const std::string& name);

/// "2026-05-01", by the clock that wrote the row; empty where it tells no time.
std::vector<std::string> written_dates(const ImportedSite& imported);

/// A column of lengths in metres: its unit from the cell, else from the header ("distance_ft"),
/// else metres. nullopt for a cell that is none. Throws InputError for a column that no file has.
std::vector<std::optional<double>> written_lengths_m(const ImportedSite& imported,
                                                     const std::string& name);

}  // namespace sim
