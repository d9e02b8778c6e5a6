// Loops over independent items on all allowed threads.
#pragma once

#include <cstddef>
#include <functional>

namespace sim {

/// Limits every parallel loop of the process, Embree's builds included. 0 = all cores.
void set_thread_count(int threads);

/// What a loop under StopWhen ends with.
struct Stopped {};

/// While it lives, parallel_blocks() called by this thread, and by what it calls, asks `stopped`
/// before each block, on any thread, and throws Stopped when the answer is true. So a long answer
/// that nobody waits for any more makes way within one block. The innermost one is asked.
class StopWhen {
 public:
  explicit StopWhen(std::function<bool()> stopped);
  ~StopWhen();
  StopWhen(const StopWhen&) = delete;
  StopWhen& operator=(const StopWhen&) = delete;

 private:
  std::function<bool()> stopped_;
  const std::function<bool()>* before_;
};

/// Calls body(begin, end) for blocks of [0, count) of at most `block` items. The blocks are the
/// same whatever the thread count, so a result that is kept per block does not depend on it.
void parallel_blocks(std::size_t count, std::size_t block,
                     const std::function<void(std::size_t begin, std::size_t end)>& body);

}  // namespace sim
