#include "sim/explain/suspects.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "sim/base/parallel.h"
#include "sim/base/quantile.h"
#include "sim/scene/scene_builder.h"

namespace sim {
namespace {

// All numbers of this search are common practice, no source.
constexpr double finest_cell_m = 0.5, coarsest_cell_m = 2.0, cells_per_sigma = 1.5;
constexpr std::size_t most_cells = 4000, most_work = 400000;  ///< work: cells x fixes
constexpr std::size_t coarse_places = 3;                      ///< every third
constexpr std::size_t most_fine_cells = 300;
constexpr double least_fine_mass = 1e-5;  ///< of the likeliest cell's
constexpr double prior_of_a_missing_thing = 0.5;
constexpr double street_area_m2 = 4000.0;  ///< over which it may stand anywhere
constexpr std::size_t most_suspects = 20;
constexpr double least_odds = 0.25;  ///< of there being a thing at all; less is not reported
constexpr double enough_likelihood = 0.5, enough_crossing_deg = 10.0;
constexpr std::size_t enough_rays = 3;

/// A place where it may stand, and its share of the posterior.
struct Place {
  ThingPlace thing;
  bool in_street = false;
  double mass = 0.0;  ///< over the prior of a cell
  std::size_t guess = 0;
  double best = 0.0, width_m = 0.0, height_m = 0.0;
};

class Search {
 public:
  Search(const Scene& scene, std::vector<SuspectRow> rows)
      : scene_(scene),
        footprints_(scene),
        coarse_(scene, with_every(coarse_places, rows)),
        walks_(scene, std::move(rows)) {
    std::vector<double> sigmas;
    for (const SuspectRow& row : walks_.rows()) {
      if (row.weaker) sigmas.push_back(row.place_sigma_m);
      weaker_.push_back(row.weaker);
    }
    if (sigmas.empty()) return;
    cell_m_ = std::clamp(quantile(sigmas, 0.5) / cells_per_sigma, finest_cell_m, coarsest_cell_m);
  }

  std::optional<Suspect> next() {
    std::vector<Place> places = candidates();
    if (places.empty()) return std::nullopt;
    weigh(places, coarse_);
    keep_likely(places);
    weigh(places, walks_);
    double all = 0.0;
    for (const Place& place : places) all += place.mass;
    const double exists = prior_of_a_missing_thing / street_area_m2 * cell_m_ * cell_m_ * all;
    const double none = 1.0 - prior_of_a_missing_thing;
    if (exists < least_odds * none) return std::nullopt;
    return close(places, all, exists / (exists + none));
  }

 private:
  /// The cells that most weaker rays pass, as far as the things reach; outside of buildings.
  std::vector<Place> candidates() const {
    std::map<std::pair<int, int>, int> passed;
    for (std::size_t i = 0; i < weaker_.size(); ++i) {
      if (weaker_[i]) pass(walks_.rows()[i], passed);
    }
    std::vector<std::pair<int, std::pair<int, int>>> order;
    order.reserve(passed.size());
    for (const auto& [cell, count] : passed) order.emplace_back(-count, cell);
    std::sort(order.begin(), order.end());
    std::vector<Place> places;
    const std::size_t most =
        std::min(most_cells,
                 std::max<std::size_t>(most_work / std::max<std::size_t>(walks_.fixes(), 1), 200));
    for (const auto& [count, cell] : order) {
      if (places.size() == most) break;
      ScenePoint foot{(cell.first + 0.5) * cell_m_, (cell.second + 0.5) * cell_m_, 0.0};
      foot.z_m = scene_.ground.height_at(foot.x_m, foot.y_m);
      if (std::isnan(foot.z_m) || footprints_.building_at(foot.x_m, foot.y_m)) continue;
      places.push_back({.thing = {foot, {}}});
    }
    face_streets(places);
    return places;
  }

  void face_streets(std::vector<Place>& places) const {
    if (places.empty()) return;
    ScenePoint low = places[0].thing.foot, high = low;
    for (const Place& p : places) {
      low = {std::min(low.x_m, p.thing.foot.x_m), std::min(low.y_m, p.thing.foot.y_m), 0.0};
      high = {std::max(high.x_m, p.thing.foot.x_m), std::max(high.y_m, p.thing.foot.y_m), 0.0};
    }
    const StreetDirections streets(scene_, low.x_m, low.y_m, high.x_m, high.y_m);
    for (Place& p : places) {
      const auto runs = streets.at(p.thing.foot.x_m, p.thing.foot.y_m);
      p.in_street = runs.has_value();
      p.thing.street = runs.value_or(PlanDirection{});
    }
  }

  /// Counts a row's ray in the cells that it may pass where it is low enough for a thing.
  void pass(const SuspectRow& row, std::map<std::pair<int, int>, int>& passed) const {
    const ScenePoint node = scene_.nodes[row.node].position;
    const double east = row.reported.x_m - node.x_m, north = row.reported.y_m - node.y_m;
    const double length = std::max(std::hypot(east, north), 1e-3);
    const double spread = 2.0 * row.place_sigma_m;
    std::map<std::pair<int, int>, bool> seen;
    for (double along = 2.0; along < length + std::min(spread, 5.0); along += 0.7 * cell_m_) {
      const double share = std::min(along / length, 1.0);
      const double height = node.z_m + share * (row.reported.z_m - node.z_m);
      const double x = node.x_m + along / length * east, y = node.y_m + along / length * north;
      const double ground = scene_.ground.height_at(x, y);
      if (std::isnan(ground) || height - ground > thing_heights_m.back()) continue;
      const double half = farthest_thing_reach_m * 0.6 + share * spread;
      for (double off = -half; off <= half; off += 0.7 * cell_m_) {
        const double px = x - off * north / length, py = y + off * east / length;
        seen[{static_cast<int>(std::floor(px / cell_m_)),
              static_cast<int>(std::floor(py / cell_m_))}] = true;
      }
    }
    for (const auto& [cell, yes] : seen) ++passed[cell];
  }

  static void weigh(std::vector<Place>& places, const SuspectWalks& walks) {
    parallel_blocks(places.size(), 8, [&](std::size_t begin, std::size_t end) {
      for (std::size_t k = begin; k < end; ++k) weigh(places[k], walks);
    });
  }
  static void weigh(Place& place, const SuspectWalks& walks) {
    LogRatios ratios{};
    walks.add_log_ratios(place.thing, ratios);
    constexpr double most_log = 600.0;
    place = {.thing = place.thing, .in_street = place.in_street};
    for (std::size_t g = 0; g < thing_guesses; ++g) {
      const double mass =
          prior_of_guess(g, place.in_street) * std::exp(std::min(ratios[g], most_log));
      place.mass += mass;
      place.width_m += mass * 2.0 * shape_of_guess(g).half_length_m;
      place.height_m += mass * height_of_guess(g);
      if (mass <= place.best) continue;
      place.best = mass;
      place.guess = g;
    }
  }

  /// Those that a coarse look leaves open, to be looked at with all possible places of the phones.
  static void keep_likely(std::vector<Place>& places) {
    std::stable_sort(places.begin(), places.end(),
                     [](const Place& a, const Place& b) { return a.mass > b.mass; });
    if (places.size() > most_fine_cells) places.resize(most_fine_cells);
    const double least = least_fine_mass * places[0].mass;
    std::erase_if(places, [&](const Place& p) { return p.mass < least; });
  }

  Suspect close(const std::vector<Place>& places, double all, double exists) {
    const auto near_mass = [&](ScenePoint middle) {
      double mass = 0.0;
      for (const Place& p : places) {
        const bool near = horizontal_distance_m(p.thing.foot, middle) <= Suspect::place_tolerance_m;
        if (near) mass += p.mass;
      }
      return mass;
    };
    const Place* middle = &places[0];
    double most = -1.0;
    for (const Place& p : places) {
      if (p.mass < 1e-4 * all / static_cast<double>(places.size())) continue;
      const double mass = near_mass(p.thing.foot);
      if (mass <= most) continue;
      most = mass;
      middle = &p;
    }
    Suspect suspect;
    const Place* top = middle;
    double mass = 0.0;
    for (const Place& p : places) {
      if (horizontal_distance_m(p.thing.foot, middle->thing.foot) > Suspect::place_tolerance_m)
        continue;
      mass += p.mass;
      suspect.place = suspect.place + p.mass * p.thing.foot;
      suspect.width_m += p.width_m;
      suspect.height_m += p.height_m;
      if (p.best > top->best) top = &p;
    }
    suspect.place = (1.0 / mass) * suspect.place;
    suspect.place.z_m = scene_.ground.height_at(suspect.place.x_m, suspect.place.y_m);
    suspect.width_m /= mass;
    suspect.height_m /= mass;
    suspect.likelihood = exists * near_mass(suspect.place) / all;
    claim_rays(suspect, *top);
    return suspect;
  }

  /// The weaker rays that it probably takes are explained.
  void claim_rays(Suspect& suspect, const Place& top) {
    const std::vector<SuspectRow>& rows = walks_.rows();
    std::vector<double> bearings;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (!weaker_[i] || walks_.takes(rows[i], top.thing, top.guess) < 0.3) continue;
      weaker_[i] = false;
      if (suspect.points.empty()) suspect.node = rows[i].node;
      suspect.points.push_back(rows[i].point);
      const ScenePoint node = scene_.nodes[rows[i].node].position;
      bearings.push_back(
          std::atan2(rows[i].reported.y_m - node.y_m, rows[i].reported.x_m - node.x_m));
    }
    double crossing = 0.0;
    for (const double a : bearings) {
      for (const double b : bearings) crossing = std::max(crossing, std::abs(std::sin(a - b)));
    }
    suspect.enough_evidence = suspect.likelihood >= enough_likelihood &&
                              suspect.points.size() >= enough_rays &&
                              crossing >= std::sin(enough_crossing_deg * std::numbers::pi / 180.0);
    coarse_.put(top.thing, top.guess);
    walks_.put(top.thing, top.guess);
  }

  const Scene& scene_;
  FootprintIndex footprints_;
  SuspectWalks coarse_, walks_;
  std::vector<bool> weaker_;  ///< and not explained yet
  double cell_m_ = 1.0;
};

}  // namespace

std::vector<Suspect> find_suspects(const Scene& scene, std::vector<SuspectRow> rows) {
  Search search(scene, std::move(rows));
  std::vector<Suspect> suspects;
  while (suspects.size() < most_suspects) {
    auto suspect = search.next();
    if (!suspect || suspect->points.empty()) break;
    suspects.push_back(std::move(*suspect));
  }
  std::stable_sort(suspects.begin(), suspects.end(),
                   [](const Suspect& a, const Suspect& b) { return a.likelihood > b.likelihood; });
  return suspects;
}

}  // namespace sim
