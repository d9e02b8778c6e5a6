#include "sim/link/taut_string.h"

#include <algorithm>

namespace sim {

const std::vector<DetourCorner>& TautString::draw(double length_m) {
  string_.clear();
  draw_between(0, at_m_.size(), {}, {.at_m = length_m});
  clear();
  for (const DetourCorner& corner : string_) add(corner);
  return string_;
}

/// Only corners beyond the straight line from p to q can be touched: the farthest is.
void TautString::draw_between(std::size_t begin, std::size_t end, const DetourCorner& p,
                              const DetourCorner& q) {
  const std::size_t first = at_m_.size();
  at_m_.resize(first + end - begin);
  aside_m_.resize(first + end - begin);
  owner_.resize(first + end - begin);
  const double slope = (q.aside_m - p.aside_m) / std::max(q.at_m - p.at_m, 1e-9);
  std::size_t beyond = first, farthest = first;
  double most = 0.0;
  // Without branches: half of the corners are beyond, in no order.
  for (std::size_t i = begin; i < end; ++i) {
    const double at = at_m_[i], aside = aside_m_[i];
    const double out = aside - p.aside_m - slope * (at - p.at_m);
    const bool counts = (at > p.at_m) & (at < q.at_m) & (out > 1e-6);
    at_m_[beyond] = at;
    aside_m_[beyond] = aside;
    owner_[beyond] = owner_[i];
    const bool farther = counts & (out > most);
    most = farther ? out : most;
    farthest = farther ? beyond : farthest;
    beyond += counts ? 1 : 0;
  }
  if (beyond > first) {
    const DetourCorner peak{at_m_[farthest], aside_m_[farthest], owner_[farthest]};
    draw_between(first, beyond, p, peak);
    string_.push_back(peak);
    draw_between(first, beyond, peak, q);
  }
  at_m_.resize(first);
  aside_m_.resize(first);
  owner_.resize(first);
}

}  // namespace sim
