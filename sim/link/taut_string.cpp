#include "sim/link/taut_string.h"

#include <algorithm>
#include <array>

namespace sim {

const std::vector<DetourCorner>& TautString::draw(double length_m) {
  string_.clear();
  std::size_t peak = 0;
  double most = 1e-6;
  for (std::size_t i = 0; i < count_; ++i) {
    const bool farther = aside_m_[i] > most;
    most = farther ? aside_m_[i] : most;
    peak = farther ? i : peak;
  }
  if (most > 1e-6) add_round({0, count_}, count_, {}, corner(peak), {.at_m = length_m});
  clear();
  for (const DetourCorner& touched : string_) add(touched);
  return string_;
}

/// Only corners beyond the straight lines from p to the peak and from there to q can be touched
/// besides: the farthest of each are, and so on.
void TautString::add_round(Range of, std::size_t room, const DetourCorner& p,
                           const DetourCorner& peak, const DetourCorner& q) {
  struct Part {
    double at_m, aside_m, slope;  ///< its straight line
    std::size_t count, farthest;
    double most = 1e-6;
  };
  const auto part = [](const DetourCorner& from, const DetourCorner& to, std::size_t first) {
    const double slope = (to.aside_m - from.aside_m) / std::max(to.at_m - from.at_m, 1e-9);
    return Part{from.at_m, from.aside_m, slope, first, first};
  };
  const std::size_t middle = room + (of.end - of.begin);
  make_room(middle + (of.end - of.begin));
  std::array<Part, 2> parts{part(p, peak, room), part(peak, q, middle)};
  const double peak_at_m = peak.at_m;
  double* const at_m = at_m_.data();
  double* const aside_m = aside_m_.data();
  ObstacleId* const owner = owner_.data();
  // Without branches: which corners are beyond follows no order.
  for (std::size_t i = of.begin; i < of.end; ++i) {
    const double at = at_m[i], aside = aside_m[i];
    Part& half = parts[at > peak_at_m ? 1 : 0];
    const double out = aside - half.aside_m - half.slope * (at - half.at_m);
    const std::size_t place = half.count;
    at_m[place] = at;
    aside_m[place] = aside;
    owner[place] = owner[i];
    const bool counts = (out > 1e-6) & (at != peak_at_m);
    const bool farther = counts & (out > half.most);
    half.most = farther ? out : half.most;
    half.farthest = farther ? place : half.farthest;
    half.count = place + (counts ? 1 : 0);
  }
  const Part before = parts[0], after = parts[1];
  const Range nearer{room, before.count}, farther{middle, after.count};
  if (nearer.begin < nearer.end) {
    add_round(nearer, farther.end, p, corner(before.farthest), peak);
  }
  string_.push_back(peak);
  if (farther.begin < farther.end) {
    add_round(farther, farther.end, peak, corner(after.farthest), q);
  }
}

}  // namespace sim
