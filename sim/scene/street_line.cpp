#include "sim/scene/street_line.h"

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

/// Cosine of the turn from one way into the next.
double straightness(Xy before, Xy joint, Xy next, Xy after) {
  const double ux = joint.x - before.x, uy = joint.y - before.y;
  const double vx = after.x - next.x, vy = after.y - next.y;
  const double lengths = std::hypot(ux, uy) * std::hypot(vx, vy);
  return lengths > 0.0 ? (ux * vx + uy * vy) / lengths : -1.0;
}

}  // namespace

std::vector<std::size_t> grow_line(std::vector<Xy>& line,
                                   const std::vector<std::vector<Xy>>& ways) {
  std::vector<std::size_t> taken;
  if (line.size() < 2) return taken;
  std::vector<bool> used(ways.size(), false);
  for (const bool at_back : {true, false}) {
    if (!at_back) std::reverse(line.begin(), line.end());
    for (;;) {
      std::size_t chosen = ways.size();
      bool turned = false;
      double straightest = -2.0;
      for (std::size_t w = 0; w < ways.size(); ++w) {
        const std::vector<Xy>& way = ways[w];
        if (used[w] || way.size() < 2) continue;
        for (const bool turn : {false, true}) {
          const Xy first = turn ? way.back() : way.front();
          const Xy second = turn ? way[way.size() - 2] : way[1];
          if (apart(line.back(), first) >= joint_m) continue;
          const double straight = straightness(line[line.size() - 2], line.back(), first, second);
          if (straight <= straightest) continue;
          straightest = straight;
          chosen = w;
          turned = turn;
        }
      }
      if (chosen == ways.size()) break;
      std::vector<Xy> way = ways[chosen];
      used[chosen] = true;
      taken.push_back(chosen);
      if (turned) std::reverse(way.begin(), way.end());
      line.insert(line.end(), way.begin() + 1, way.end());
    }
    if (!at_back) std::reverse(line.begin(), line.end());
  }
  return taken;
}

std::optional<StreetLine> StreetLine::find(const std::vector<StreetRecord>& streets,
                                           const std::string& name, Xy near) {
  std::vector<std::vector<Xy>> ways;
  for (const StreetRecord& street : streets) {
    if (street.name == name) ways.push_back(street.line);
  }
  if (ways.empty()) return std::nullopt;
  const auto start = std::min_element(ways.begin(), ways.end(), [&](const auto& a, const auto& b) {
    return distance_to(a, near) < distance_to(b, near);
  });
  std::vector<Xy> line = *start;
  ways.erase(start);
  grow_line(line, ways);
  return StreetLine(std::move(line));
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
