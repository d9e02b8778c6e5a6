#include "sim/base/parallel.h"

#include <gtest/gtest.h>

#include <atomic>
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

TEST(Parallel, ALoopThatIsToldToStopEndsWithinABlock) {
  std::atomic<int> blocks{0};
  const auto loop = [&](int wanted) {
    const StopWhen stop([&] { return blocks >= wanted; });
    parallel_blocks(10'000, 10, [&](std::size_t, std::size_t) { ++blocks; });
  };
  EXPECT_THROW(loop(5), Stopped);
  EXPECT_GE(blocks, 5);
  EXPECT_LT(blocks, 1000);
  EXPECT_NO_THROW(loop(1'000'000));
}

TEST(Parallel, StoppingIsOfTheInnermostScopeAndEndsWithIt) {
  int count = 0;
  const auto loop = [&] { parallel_blocks(1, 1, [&](std::size_t, std::size_t) { ++count; }); };
  {
    const StopWhen outer([] { return true; });
    {
      const StopWhen inner([] { return false; });
      EXPECT_NO_THROW(loop());
    }
    EXPECT_THROW(loop(), Stopped);
  }
  loop();
  EXPECT_EQ(count, 2);
}

}  // namespace
}  // namespace sim
