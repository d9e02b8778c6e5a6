#include "sim/plan/street_pieces.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace sim {
namespace {

constexpr double joint_m = 0.5;      // corners nearer than this are one
constexpr double end_reach_m = 1.0;  // a way that ends this near to another meets it

struct Segment2 {
  std::size_t way;
  Xy a, b;
  bool first, last;          ///< of its way: its free ends may meet other ways
  std::vector<double> cuts;  ///< shares of the way from a
};

double apart(Xy a, Xy b) { return std::hypot(a.x - b.x, a.y - b.y); }
Xy between(Xy a, Xy b, double t) { return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)}; }

/// Gives one number to all places within joint_m of each other.
class Corners {
 public:
  std::size_t at(Xy p) {
    const long col = std::lround(p.x / joint_m), row = std::lround(p.y / joint_m);
    for (long r = row - 1; r <= row + 1; ++r) {
      for (long c = col - 1; c <= col + 1; ++c) {
        const auto found = cells_.find({c, r});
        if (found != cells_.end() && apart(places[found->second], p) <= joint_m) {
          return found->second;
        }
      }
    }
    cells_.emplace(std::pair(col, row), places.size());
    places.push_back(p);
    return places.size() - 1;
  }
  std::vector<Xy> places;

 private:
  std::map<std::pair<long, long>, std::size_t> cells_;
};

void cut_at_crossing(Segment2& s, Segment2& o) {
  const double ux = s.b.x - s.a.x, uy = s.b.y - s.a.y, vx = o.b.x - o.a.x, vy = o.b.y - o.a.y;
  const double turn = ux * vy - uy * vx;
  if (std::abs(turn) < 1e-12) return;
  const double wx = o.a.x - s.a.x, wy = o.a.y - s.a.y;
  const double t = (wx * vy - wy * vx) / turn, u = (wx * uy - wy * ux) / turn;
  if (t <= 0.0 || t >= 1.0 || u <= 0.0 || u >= 1.0) return;
  s.cuts.push_back(t);
  o.cuts.push_back(u);
}

/// Cuts `s` beside a free end of another way; the caller joins end and cut by a short piece.
std::optional<Xy> cut_at_end(Segment2& s, Xy end) {
  const double t = nearest_share(s.a, s.b, end);
  const Xy at = between(s.a, s.b, t);
  if (apart(at, end) > end_reach_m) return std::nullopt;
  if (t > 0.0 && t < 1.0) s.cuts.push_back(t);
  return at;
}

}  // namespace

double nearest_share(Xy a, Xy b, Xy p) {
  const double length = apart(a, b);
  if (length == 0.0) return 0.0;
  return std::clamp(((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / (length * length),
                    0.0, 1.0);
}

CutStreets cut_where_they_meet(const std::vector<WalkerStreet>& ways) {
  std::vector<Segment2> segments;
  for (std::size_t w = 0; w < ways.size(); ++w) {
    const std::vector<Xy>& line = ways[w].line;
    if (!ways[w].walkable) continue;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
      segments.push_back({w, line[i], line[i + 1], i == 0, i + 2 == line.size(), {}});
    }
  }
  const auto west = [](const Segment2& s) { return std::min(s.a.x, s.b.x); };
  const auto east = [](const Segment2& s) { return std::max(s.a.x, s.b.x); };
  std::stable_sort(segments.begin(), segments.end(),
                   [&](const Segment2& s, const Segment2& o) { return west(s) < west(o); });
  struct Link {
    std::size_t way;
    Xy end, at;
  };
  std::vector<Link> links;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    Segment2& s = segments[i];
    for (std::size_t j = i + 1; j < segments.size() && west(segments[j]) <= east(s) + end_reach_m;
         ++j) {
      Segment2& o = segments[j];
      if (o.way == s.way ||
          std::max(std::min(s.a.y, s.b.y), std::min(o.a.y, o.b.y)) >
              std::min(std::max(s.a.y, s.b.y), std::max(o.a.y, o.b.y)) + end_reach_m) {
        continue;
      }
      if (!ways[s.way].bridge && !ways[o.way].bridge) cut_at_crossing(s, o);
      const auto end_on = [&](const Segment2& ending, Segment2& other) {
        for (const bool first : {true, false}) {
          if (first ? !ending.first : !ending.last) continue;
          const Xy end = first ? ending.a : ending.b;
          if (const auto at = cut_at_end(other, end)) links.push_back({ending.way, end, *at});
        }
      };
      end_on(s, o);
      end_on(o, s);
    }
  }
  CutStreets cut;
  Corners corners;
  const auto add = [&](std::size_t way, Xy a, Xy b) {
    const std::size_t from = corners.at(a), to = corners.at(b);
    if (from == to) return;
    const double length = apart(corners.places[from], corners.places[to]);
    cut.pieces.push_back({.way = way, .from = from, .to = to, .length_m = length});
  };
  for (Segment2& s : segments) {
    std::sort(s.cuts.begin(), s.cuts.end());
    Xy from = s.a;
    for (const double t : s.cuts) {
      const Xy at = between(s.a, s.b, t);
      add(s.way, from, at);
      from = at;
    }
    add(s.way, from, s.b);
  }
  for (const Link& link : links) add(link.way, link.end, link.at);
  cut.corners = std::move(corners.places);
  return cut;
}

}  // namespace sim
