// Where a record came from, and the one exception of the program.
#pragma once

#include <cstdint>
#include <stdexcept>
#include <string>

namespace sim {

/// A place in the user's input. `record` is the feature id, the CSV data row (1 = first after the
/// header) or a line of a text file; -1 where the whole file or layer is meant.
struct SourceRef {
  std::string path;
  std::string layer;
  std::int64_t record = -1;

  bool operator==(const SourceRef&) const = default;
};

/// "poles.gpkg:poles:42", leaving out what is not known.
std::string to_string(const SourceRef& where);

/// Input that cannot be used: one line that says where, what is wrong and how to mend it.
class InputError : public std::runtime_error {
 public:
  InputError(SourceRef where, const std::string& message);
  const SourceRef& where() const { return where_; }

 private:
  SourceRef where_;
};

}  // namespace sim
