#include "sim/base/input_error.h"

namespace sim {

std::string to_string(const SourceRef& where) {
  std::string text = where.path;
  if (!where.layer.empty()) text.append(1, ':').append(where.layer);
  if (where.record >= 0) text.append(1, ':').append(std::to_string(where.record));
  return text;
}

InputError::InputError(SourceRef where, const std::string& message)
    : std::runtime_error(where == SourceRef{} ? message
                                              : to_string(where).append(": ").append(message)),
      where_(std::move(where)) {}

}  // namespace sim
