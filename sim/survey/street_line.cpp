#include "sim/survey/street_line.h"

#include <algorithm>
#include <cmath>

namespace sim {
namespace {

constexpr double joint_m = 1.0;  // ends of two ways nearer than this meet

double apart(Xy a, Xy b) { return std::hypot(a.x - b.x, a.y - b.y); }

double distance_to(const std::vector<Xy>& line, Xy p) {
  double least = 1e300;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Xy a = line[i], b = line[i + 1];
    const double length = apart(a, b);
    if (length == 0.0) continue;
    const double t = std::clamp(
        ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / (length * length), 0.0, 1.0);
    least = std::min(least, apart(p, {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)}));
  }
  return least;
}

}  // namespace

std::optional<StreetLine> StreetLine::find(const std::vector<StreetRecord>& streets,
                                           const std::string& name, Xy near) {
  std::vector<std::vector<Xy>> ways;
  for (const StreetRecord& street : streets) {
    if (street.name == name) ways.push_back(street.line);
  }
  if (ways.empty()) return std::nullopt;
  // Grow from the way nearest to the node, at both ends, as drawn or turned round.
  const auto start = std::min_element(ways.begin(), ways.end(), [&](const auto& a, const auto& b) {
    return distance_to(a, near) < distance_to(b, near);
  });
  StreetLine street;
  street.line_ = *start;
  ways.erase(start);
  for (bool grown = true; grown;) {
    grown = false;
    for (auto way = ways.begin(); way != ways.end() && !grown; ++way) {
      for (int turn = 0; turn < 2 && !grown; ++turn) {
        if (apart(street.line_.back(), way->front()) < joint_m) {
          street.line_.insert(street.line_.end(), way->begin() + 1, way->end());
          grown = true;
        } else if (apart(street.line_.front(), way->back()) < joint_m) {
          street.line_.insert(street.line_.begin(), way->begin(), way->end() - 1);
          grown = true;
        } else {
          std::reverse(way->begin(), way->end());
        }
      }
      if (grown) {
        ways.erase(way);
        break;
      }
    }
  }
  return street;
}

double StreetLine::along_of(Xy p) const {
  double walked = 0.0, best = 0.0, least = 1e300;
  for (std::size_t i = 0; i + 1 < line_.size(); ++i) {
    const Xy a = line_[i], b = line_[i + 1];
    const double length = apart(a, b);
    if (length == 0.0) continue;
    const double t = std::clamp(
        ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / (length * length), 0.0, 1.0);
    const double d = apart(p, {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)});
    if (d < least) {
      least = d;
      best = walked + t * length;
    }
    walked += length;
  }
  return best;
}

double StreetLine::length_m() const {
  double length = 0.0;
  for (std::size_t i = 0; i + 1 < line_.size(); ++i) length += apart(line_[i], line_[i + 1]);
  return length;
}

Xy StreetLine::at(double along_m, double left_m) const {
  double walked = 0.0;
  for (std::size_t i = 0; i + 1 < line_.size(); ++i) {
    const Xy a = line_[i], b = line_[i + 1];
    const double length = apart(a, b);
    const bool last = i + 2 == line_.size();
    if (length == 0.0 || (along_m > walked + length && !last)) {
      walked += length;
      continue;
    }
    const double ux = (b.x - a.x) / length, uy = (b.y - a.y) / length, t = along_m - walked;
    return {a.x + t * ux - left_m * uy, a.y + t * uy + left_m * ux};
  }
  return line_.front();
}

}  // namespace sim
