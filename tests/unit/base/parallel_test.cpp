#include "sim/base/parallel.h"

#include <gtest/gtest.h>

#include <vector>

namespace sim {
namespace {

TEST(Parallel, EveryItemOnceInTheSameBlocksWhateverTheThreads) {
  for (const int threads : {1, 2, 0}) {
    set_thread_count(threads);
    std::vector<int> visits(1003, 0);
    std::vector<std::size_t> begins(11, 0);
    parallel_blocks(visits.size(), 100, [&](std::size_t begin, std::size_t end) {
      begins[begin / 100] = begin;
      for (std::size_t i = begin; i < end; ++i) ++visits[i];
    });
    EXPECT_EQ(visits, std::vector<int>(1003, 1));
    for (std::size_t b = 0; b < begins.size(); ++b) EXPECT_EQ(begins[b], 100 * b);
  }
  set_thread_count(0);
}

}  // namespace
}  // namespace sim
