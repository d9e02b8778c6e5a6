// Loops over independent items on all allowed threads.
#pragma once

#include <cstddef>
#include <functional>

namespace sim {

/// Limits every parallel loop of the process, Embree's builds included. 0 = all cores.
void set_thread_count(int threads);

/// Calls body(begin, end) for blocks of [0, count) of at most `block` items. The blocks are the
/// same whatever the thread count, so a result that is kept per block does not depend on it.
void parallel_blocks(std::size_t count, std::size_t block,
                     const std::function<void(std::size_t begin, std::size_t end)>& body);

}  // namespace sim
