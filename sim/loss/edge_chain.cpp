#include "sim/loss/edge_chain.h"

#include <algorithm>
#include <cmath>

#include "sim/loss/knife_edge.h"
#include "sim/loss/rounded_edge.h"
#include "sim/loss/two_edges.h"
#include "sim/loss/upright_screen.h"

namespace sim {
namespace {

constexpr double least_v = -0.78;  // P.526: below, J is taken as 0
constexpr double least_gap_m = 1e-3;

/// Height of q over the line from p to r.
double over_line_m(const ProfileEdge& p, const ProfileEdge& q, const ProfileEdge& r) {
  return q.above_m - (p.above_m + (q.at_m - p.at_m) / std::max(r.at_m - p.at_m, least_gap_m) *
                                      (r.above_m - p.above_m));
}

double parameter_between(Frequency f, const ProfileEdge& p, const ProfileEdge& q,
                         const ProfileEdge& r) {
  return edge_parameter(f, r.at_m - p.at_m, q.at_m - p.at_m, over_line_m(p, q, r));
}

/// The point of a profile at -1 or its size is an end of the path.
struct Profile {
  Frequency f;
  double length_m;
  std::span<const ProfileEdge> points;

  ProfileEdge at(long i) const {
    if (i < 0) return {};
    if (i >= static_cast<long>(points.size())) return {.at_m = length_m};
    return points[static_cast<std::size_t>(i)];
  }

  /// Whether two points belong to one hill: no valley between them dips below the line that joins
  /// them.
  bool on_one_hill(long i, long k) const {
    if (i > k) std::swap(i, k);
    if (i < 0 || k >= static_cast<long>(points.size())) return false;  // the ends are no ground
    const ProfileEdge p = at(i), q = at(k);
    if (!p.smooth || !q.smooth) return false;
    for (long m = i + 1; m <= k; ++m) {
      if (at(m).apart) return false;
      if (m < k && over_line_m(p, at(m), q) < -least_gap_m) return false;
    }
    return true;
  }

  /// Whether v of an edge h high is surely below a bound, without roots: the way over it is longer
  /// by at most h^2 / 2 (1/d1 + 1/d2).
  static bool surely_less(double h_m, double d1_m, double d2_m, double bound, double wavelength_m) {
    if (bound <= 0.0 || h_m <= 0.0) return bound > 0.0;
    const double d1 = std::max(d1_m, least_gap_m), d2 = std::max(d2_m, least_gap_m);
    constexpr double slack = 1.0 + 1e-9;
    return 2.0 * slack * h_m * h_m * (d1 + d2) < bound * bound * wavelength_m * d1 * d2;
  }

  /// Adds the deciding points between `from` and `to` (both excluded), `levels` deep.
  void decide(long from, long to, int levels, std::vector<std::size_t>& chosen) const {
    if (levels == 0) return;
    const ProfileEdge a = at(from), b = at(to);
    const double wavelength_m = f.wavelength_m();
    long best = -2;
    double most = least_v;
    for (long i = from + 1; i < to; ++i) {
      const ProfileEdge& q = points[static_cast<std::size_t>(i)];
      const double h_m = over_line_m(a, q, b), along_m = q.at_m - a.at_m;
      if (surely_less(h_m, along_m, b.at_m - q.at_m, most, wavelength_m)) continue;
      const double v = edge_parameter(f, b.at_m - a.at_m, along_m, h_m);
      if (v <= most || on_one_hill(i, from) || on_one_hill(i, to)) continue;
      most = v;
      best = i;
    }
    if (best == -2) return;
    decide(from, best, levels - 1, chosen);
    chosen.push_back(static_cast<std::size_t>(best));
    decide(best, to, levels - 1, chosen);
  }
};

Db single_loss(Frequency f, const ProfileEdge& p, const ProfileEdge& q, const ProfileEdge& r) {
  return knife_edge_loss(parameter_between(f, p, q, r));
}

/// What a crest's roundness adds between its neighbours; nothing where it stays below the line.
Db roundness(Frequency f, const ProfileEdge& p, const ProfileEdge& q, const ProfileEdge& r) {
  const double over = over_line_m(p, q, r);
  if (!(q.radius_m > 0.0) || !(over > 0.0)) return Db(0.0);
  const RoundedEdge edge =
      rounded_edge_loss(f, std::max(q.at_m - p.at_m, least_gap_m),
                        std::max(r.at_m - q.at_m, least_gap_m), over, q.radius_m);
  return std::max(edge.curvature, Db(0.0));
}

Db pair_loss(Frequency f, const ProfileEdge& p, const ProfileEdge& q, const ProfileEdge& r,
             const ProfileEdge& s) {
  const double whole = s.at_m - p.at_m;
  const auto over = [&](const ProfileEdge& edge) {
    return edge.above_m - (p.above_m + (edge.at_m - p.at_m) / whole * (s.above_m - p.above_m));
  };
  const auto field = two_edges_field(f, {.a_m = std::max(q.at_m - p.at_m, least_gap_m),
                                         .b_m = std::max(r.at_m - q.at_m, least_gap_m),
                                         .c_m = std::max(s.at_m - r.at_m, least_gap_m),
                                         .h1_m = over(q),
                                         .h2_m = over(r)});
  return Db(-10.0 * std::log10(std::max(std::norm(field), 1e-30)));
}

}  // namespace

std::vector<std::size_t> deciding_edges(Frequency f, double length_m,
                                        std::span<const ProfileEdge> profile) {
  constexpr int levels = 3;
  std::vector<std::size_t> chosen;
  chosen.reserve(7);  // all that three levels can find
  Profile{f, length_m, profile}.decide(-1, static_cast<long>(profile.size()), levels, chosen);
  return chosen;
}

EdgeChainLoss edge_chain_loss(Frequency f, double length_m, std::span<const ProfileEdge> edges) {
  EdgeChainLoss chain;
  if (edges.empty()) return chain;
  const Profile ends{f, length_m, edges};
  const auto count = static_cast<long>(edges.size());
  const ProfileEdge near_end = ends.at(-1), far_end = ends.at(count);
  double weights = 0.0;
  Db round, worst;
  std::vector<double> own;
  own.reserve(edges.size());
  chain.shares.reserve(edges.size());
  for (long i = 0; i < count; ++i) {
    const Db between = single_loss(f, ends.at(i - 1), ends.at(i), ends.at(i + 1));
    const Db curved = roundness(f, ends.at(i - 1), ends.at(i), ends.at(i + 1));
    const Db sharp = single_loss(f, near_end, ends.at(i), far_end);
    const Db alone = sharp + roundness(f, near_end, ends.at(i), far_end);
    if (i == 0 || alone > worst) {
      worst = alone;
      chain.single = sharp;
      chain.principal = static_cast<std::size_t>(i);
    }
    if (count > 2 && i > 0 && i + 1 < count) chain.loss = chain.loss - between;
    if (i + 1 < count) {
      chain.loss += pair_loss(f, ends.at(i - 1), ends.at(i), ends.at(i + 1), ends.at(i + 2));
    }
    round += curved;
    own.push_back((between + curved).value);
    weights += own.back();
  }
  if (count == 1) chain.loss = single_loss(f, near_end, edges[0], far_end);
  chain.loss = std::max(chain.loss + round, worst);
  for (std::size_t i = 0; i < own.size(); ++i) {
    chain.shares.push_back(weights > 0.0 ? (own[i] / weights) * chain.loss : Db(0.0));
  }
  return chain;
}

}  // namespace sim
