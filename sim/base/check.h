// For a programmer's mistake: print and abort. Never for input.
#pragma once

namespace sim {
[[noreturn]] void check_failed(const char* condition, const char* file, int line);
}  // namespace sim

#define SIM_CHECK(condition) \
  ((condition) ? void(0) : ::sim::check_failed(#condition, __FILE__, __LINE__))
