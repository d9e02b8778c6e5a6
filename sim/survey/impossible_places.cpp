#include "sim/survey/impossible_places.h"

#include <algorithm>
#include <cmath>

#include "sim/base/quantile.h"

namespace sim {
namespace {

double apart(Xy a, Xy b) { return std::hypot(a.x - b.x, a.y - b.y); }

bool can_be(const TimedPlace& before, const TimedPlace& after, double fastest_m_per_s) {
  const double elapsed = after.time_s - before.time_s;
  if (elapsed <= 0.0) return true;
  // Clocks of logs tick in seconds, and both ends may be off.
  return apart(before.place, after.place) <=
         fastest_m_per_s * std::max(elapsed, 1.0) + before.accuracy_m + after.accuracy_m;
}

/// Rows between two jumps.
struct Stretch {
  std::size_t begin = 0, end = 0;
  std::size_t chained_rows = 0;
  std::optional<std::size_t> after = std::nullopt;
  bool believed = false;
  std::size_t rows() const { return end - begin; }
};

/// A longer stretch (also above a tenth of the rows) is no slip of the receiver: the walk went on
/// there, and which side of the jump is wrong is not known. Common practice, no source.
constexpr std::size_t most_rows_of_a_jump = 5;
constexpr std::size_t farthest_back = 200;  // stretches between two that may be linked; speed only

}  // namespace

std::vector<std::size_t> speed_jumps(const std::vector<TimedPlace>& walk, double fastest_m_per_s) {
  if (walk.empty()) return {};
  std::vector<Stretch> stretches{{0, 1}};
  for (std::size_t i = 1; i < walk.size(); ++i) {
    if (can_be(walk[i - 1], walk[i], fastest_m_per_s)) {
      stretches.back().end = i + 1;
    } else {
      stretches.push_back({i, i + 1});
    }
  }
  // The chain of stretches, each within reach of the one before, that holds the most rows.
  std::size_t best = 0;
  for (std::size_t s = 0; s < stretches.size(); ++s) {
    Stretch& here = stretches[s];
    here.chained_rows = here.rows();
    for (std::size_t b = s - std::min(s, farthest_back); b < s; ++b) {
      const Stretch& before = stretches[b];
      if (before.chained_rows + here.rows() <= here.chained_rows ||
          !can_be(walk[before.end - 1], walk[here.begin], fastest_m_per_s)) {
        continue;
      }
      here.chained_rows = before.chained_rows + here.rows();
      here.after = b;
    }
    if (here.chained_rows > stretches[best].chained_rows) best = s;
  }
  for (std::size_t s = best;; s = *stretches[s].after) {
    stretches[s].believed = true;
    if (!stretches[s].after) break;
  }
  const std::size_t most = std::max(most_rows_of_a_jump, walk.size() / 10);
  std::vector<std::size_t> jumps;
  for (const Stretch& stretch : stretches) {
    if (stretch.believed || stretch.rows() > most) continue;
    for (std::size_t i = stretch.begin; i < stretch.end; ++i) jumps.push_back(i);
  }
  return jumps;
}

std::vector<std::size_t> far_places(const std::vector<Xy>& places, std::vector<Xy> near,
                                    double farthest_m) {
  if (near.empty()) {
    std::vector<double> xs, ys;
    for (const Xy p : places) {
      xs.push_back(p.x);
      ys.push_back(p.y);
    }
    near.push_back({quantile(xs, 0.5), quantile(ys, 0.5)});
  }
  std::vector<std::size_t> far;
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (std::all_of(near.begin(), near.end(),
                    [&](Xy n) { return apart(n, places[i]) > farthest_m; })) {
      far.push_back(i);
    }
  }
  return far;
}

}  // namespace sim
