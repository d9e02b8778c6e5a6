#include "sim/base/parallel.h"

#include <tbb/global_control.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <memory>

namespace sim {
namespace {

thread_local const std::function<bool()>* asked_to_stop = nullptr;

}  // namespace

StopWhen::StopWhen(std::function<bool()> stopped)
    : stopped_(std::move(stopped)), before_(asked_to_stop) {
  asked_to_stop = &stopped_;
}

StopWhen::~StopWhen() { asked_to_stop = before_; }

void set_thread_count(int threads) {
  static std::unique_ptr<tbb::global_control> limit;
  limit.reset();
  if (threads > 0) {
    limit = std::make_unique<tbb::global_control>(tbb::global_control::max_allowed_parallelism,
                                                  static_cast<std::size_t>(threads));
  }
}

void parallel_blocks(std::size_t count, std::size_t block,
                     const std::function<void(std::size_t, std::size_t)>& body) {
  const std::size_t blocks = (count + block - 1) / block;
  const std::function<bool()>* stopped = asked_to_stop;
  tbb::parallel_for(std::size_t{0}, blocks, [&](std::size_t i) {
    if (stopped != nullptr && (*stopped)()) throw Stopped{};
    body(i * block, std::min(count, (i + 1) * block));
  });
}

}  // namespace sim
