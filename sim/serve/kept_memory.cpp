#include "sim/serve/kept_memory.h"

#include <malloc.h>

namespace sim {

void keep_freed_memory() noexcept {
  constexpr int all = 1 << 30;
  mallopt(M_MMAP_THRESHOLD, all);
  mallopt(M_TRIM_THRESHOLD, all);
  mallopt(M_ARENA_MAX, 1);  // else each worker keeps its own
}

}  // namespace sim
