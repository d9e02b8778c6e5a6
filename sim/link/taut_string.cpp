#include "sim/link/taut_string.h"

#include <algorithm>

namespace sim {

const std::vector<DetourCorner>& TautString::draw(double length_m) {
  string_.clear();
  draw_between(0, count_, {}, {.at_m = length_m});
  clear();
  for (const DetourCorner& corner : string_) add(corner);
  return string_;
}

/// Only corners beyond the straight line from p to q can be touched: the farthest is.
void TautString::draw_between(std::size_t begin, std::size_t end, const DetourCorner& p,
                              const DetourCorner& q) {
  if (begin == end) return;
  make_room(end + (end - begin));
  double* const at_m = at_m_.data();
  double* const aside_m = aside_m_.data();
  ObstacleId* const owner = owner_.data();
  const double slope = (q.aside_m - p.aside_m) / std::max(q.at_m - p.at_m, 1e-9);
  std::size_t beyond = end, farthest = end;
  double most = 0.0;
  // Without branches: which corners are beyond follows no order.
  for (std::size_t i = begin; i < end; ++i) {
    const double at = at_m[i], aside = aside_m[i];
    const double out = aside - p.aside_m - slope * (at - p.at_m);
    const bool counts = (at > p.at_m) & (at < q.at_m) & (out > 1e-6);
    at_m[beyond] = at;
    aside_m[beyond] = aside;
    owner[beyond] = owner[i];
    const bool farther = counts & (out > most);
    most = farther ? out : most;
    farthest = farther ? beyond : farthest;
    beyond += counts ? 1 : 0;
  }
  if (beyond == end) return;
  const DetourCorner peak{at_m[farthest], aside_m[farthest], owner[farthest]};
  draw_between(end, beyond, p, peak);
  string_.push_back(peak);
  draw_between(end, beyond, peak, q);
}

}  // namespace sim
