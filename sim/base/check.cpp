#include "sim/base/check.h"

#include <cstdio>
#include <cstdlib>

namespace sim {

void check_failed(const char* condition, const char* file, int line) {
  std::fprintf(stderr, "%s:%d: this should hold and does not: %s\n", file, line, condition);
  std::abort();
}

}  // namespace sim
