#include "sim/plan/choose_few.h"

#include <algorithm>
#include <array>
#include <map>

#include "sim/plan/telling.h"

namespace sim {
namespace {

constexpr double apart_m = 20.0;  // nearer places share their shadowing, TR 38.901 section 7.5
constexpr std::array band_words{"in the near third of the way to the edge",
                                "in the middle third of the way to the edge",
                                "in the last third before the edge", "beyond the edge"};

double distance_of(const PlanGround& ground, const Candidate& c) {
  return horizontal_distance_m(ground.caster.scene().nodes[c.node].position, c.phone);
}

bool holds(const Candidate& c) { return c.link && c.link->p_hold >= 0.5; }

/// Which band of distance each place lies in: 0 to 2 by thirds of its node's edge, 3 beyond.
std::vector<std::size_t> bands_of(const PlanGround& ground, const std::vector<Chosen>& places) {
  std::map<NodeIndex, double> edge;
  for (const Chosen& c : places) {
    if (holds(c.at)) edge[c.at.node] = std::max(edge[c.at.node], distance_of(ground, c.at));
  }
  std::vector<std::size_t> bands;
  bands.reserve(places.size());
  for (const Chosen& c : places) {
    const double share = distance_of(ground, c.at) / std::max(1.0, edge[c.at.node]);
    bands.push_back(
        !holds(c.at) ? 3U : std::min<std::size_t>(2U, static_cast<std::size_t>(3.0 * share)));
  }
  return bands;
}

}  // namespace

std::vector<Chosen> choose_few(const PlanGround& ground, std::vector<Chosen> places,
                               std::size_t count, const Survey* measured) {
  if (places.size() <= count) return places;
  const std::vector<std::size_t> bands = bands_of(ground, places);
  std::vector<Candidate> candidates;
  candidates.reserve(places.size());
  for (const Chosen& c : places) candidates.push_back(c.at);
  Telling telling(ground, candidates, measured);
  std::vector<std::size_t> taken;
  std::array<std::size_t, 4> in_band{};
  std::vector<std::string> about(places.size());
  const auto is_taken = [&](std::size_t i) {
    return std::find(taken.begin(), taken.end(), i) != taken.end();
  };
  const auto take = [&](std::size_t i) {
    about[i] = telling.take(i);
    taken.push_back(i);
    ++in_band[bands[i]];
  };
  // Controls that were asked for, in their order; a pair whole or not at all.
  for (std::size_t i = 0; i < places.size(); ++i) {
    const PositionKind kind = places[i].kind;
    if (kind == PositionKind::step || kind == PositionKind::beyond || is_taken(i)) continue;
    const bool pair = places[i].pair >= 0;
    if (taken.size() + (pair ? 2U : 1U) > count / 2U) continue;
    take(i);
    for (std::size_t j = i + 1; pair && j < places.size(); ++j) {
      if (places[j].pair == places[i].pair) take(j);
    }
  }
  while (taken.size() < count) {
    std::array<std::size_t, 4> left{};
    for (std::size_t i = 0; i < places.size(); ++i) {
      if (!is_taken(i) && places[i].pair < 0) ++left[bands[i]];
    }
    std::size_t band = 4;
    for (std::size_t b = 0; b < 4; ++b) {
      if (left[b] > 0 && (band == 4 || in_band[b] < in_band[band])) band = b;
    }
    if (band == 4) break;
    const auto pick = [&](bool far_from_others) {
      std::size_t best = places.size();
      double most = -1.0;
      for (std::size_t i = 0; i < places.size(); ++i) {
        if (is_taken(i) || bands[i] != band || places[i].pair >= 0) continue;
        double nearest = 1e3;
        for (const std::size_t t : taken) {
          nearest =
              std::min(nearest, horizontal_distance_m(places[t].at.phone, places[i].at.phone));
        }
        if (far_from_others && nearest < apart_m) continue;
        const double gain = telling.gain(i) + 1e-6 * nearest;  // of equals the most apart
        if (gain > most) {
          most = gain;
          best = i;
        }
      }
      return best;
    };
    std::size_t next = pick(true);
    if (next == places.size()) next = pick(false);
    take(next);
  }
  std::sort(taken.begin(), taken.end());
  std::vector<Chosen> few;
  few.reserve(taken.size());
  for (const std::size_t i : taken) {
    Chosen c = places[i];
    const std::string where = std::string("one of the ") + std::to_string(count) + ": " +
                              band_words[bands[i]] +
                              (about[i].empty() ? "" : ", tells most about " + about[i]);
    c.why = c.why.empty() ? where : c.why + "; " + where;
    few.push_back(std::move(c));
  }
  return few;
}

}  // namespace sim
