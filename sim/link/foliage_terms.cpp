#include "sim/link/foliage_terms.h"

#include <algorithm>
#include <cmath>

#include "sim/link/round_foliage.h"
#include "sim/loss/foliage.h"

namespace sim {
namespace {

constexpr double deepest_m = 400.0;  // Weissberger's stated range

FoliageEstimate scaled(const FoliageEstimate& whole, double share) {
  return {share * whole.low, share * whole.middle, share * whole.high};
}

/// Without leaves the low estimate falls most: the fits differ more on bare trees.
FoliageEstimate bare(const FoliageEstimate& leafy, const Defaults& d) {
  return {d("leaf_off_share_low") * leafy.low, d("leaf_off_share") * leafy.middle,
          d("leaf_off_share_high") * leafy.high};
}

}  // namespace

std::vector<double> foliage_parts_m(const Scene& scene, const PathProfile& path) {
  const std::vector<Crossing>& crossings = path.crossings;
  std::vector<double> parts(crossings.size(), 0.0), cuts, filled(crossings.size(), 0.0);
  for (std::size_t i = 0; i < crossings.size(); ++i) {
    const Crossing& c = crossings[i];
    if (!is_foliage(scene.obstacles[c.obstacle].kind) || c.exit_m <= c.enter_m) continue;
    filled[i] = std::min(1.0, c.inside_m / (c.exit_m - c.enter_m));
    cuts.push_back(c.enter_m);
    cuts.push_back(c.exit_m);
  }
  if (cuts.size() == 2) {
    for (std::size_t i = 0; i < crossings.size(); ++i) {
      if (filled[i] > 0.0) parts[i] = crossings[i].inside_m;
    }
    return parts;
  }
  std::sort(cuts.begin(), cuts.end());
  for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
    const double from = cuts[k], to = cuts[k + 1];
    if (to <= from) continue;
    double air = 1.0, sum = 0.0;
    const auto spans = [&](std::size_t i) {
      return filled[i] > 0.0 && crossings[i].enter_m <= from && crossings[i].exit_m >= to;
    };
    for (std::size_t i = 0; i < crossings.size(); ++i) {
      if (!spans(i)) continue;
      air *= 1.0 - filled[i];
      sum += filled[i];
    }
    for (std::size_t i = 0; i < crossings.size(); ++i) {
      if (spans(i)) parts[i] += (to - from) * (1.0 - air) * filled[i] / sum;
    }
  }
  return parts;
}

void add_foliage(const RayCaster& caster, const PathProfile& path, Frequency f,
                 std::span<const ObstacleId> own_poles, const LinkSettings& settings,
                 std::vector<LossTerm>& terms) {
  const Scene& scene = caster.scene();
  const auto leafy = [&](const Crossing& c) {
    return is_foliage(scene.obstacles[c.obstacle].kind);
  };
  if (std::none_of(path.crossings.begin(), path.crossings.end(), leafy)) return;
  const std::vector<double> parts = foliage_parts_m(scene, path);
  double depth = 0.0;
  for (const double part : parts) depth += part;
  if (depth <= 0.0) return;
  const double scale = settings.defaults("foliage_scale");  // of this street, as measured
  const FoliageEstimate whole =
      foliage_estimate(f, depth, settings.defaults("foliage_low_db_per_m"));
  for (std::size_t i = 0; i < path.crossings.size(); ++i) {
    if (parts[i] <= 0.0) continue;
    const Crossing& c = path.crossings[i];
    const Obstacle& obstacle = scene.obstacles[c.obstacle];
    FoliageEstimate through = scaled(whole, parts[i] / depth);
    const bool keeps_leaves = settings.leaf_on || obstacle.species_class == "conifer";
    if (!keeps_leaves) through = bare(through, settings.defaults);
    const double round = share_round_foliage(caster, path, c, f, own_poles, through.middle);
    const double passed = std::pow(10.0, -through.middle.value / 10.0);
    LossTerm term{.model = "foliage_decay",
                  .source = "Weissberger 1982",
                  .group = TermGroup::foliage,
                  .loss = scale * loss_past_foliage(through.middle, round),
                  .cause = Cause::foliage,
                  .obstacle = c.obstacle,
                  .validity = depth > deepest_m ? Validity::outside : Validity::inside,
                  .band = LossBand{scale * loss_past_foliage(through.low, round),
                                   scale * loss_past_foliage(through.high, round)}};
    if ((1.0 - passed) * round > passed) {
      const bool over = obstacle.kind == ObstacleKind::canopy;
      term.model = over ? "two_edges" : "finite_screen";
      term.source = over ? "ITU-R P.526 section 4.3" : "ITU-R P.526 section 5.1";
    }
    terms.push_back(term);
  }
}

void measure_foliage_band(LinkResult& link, const LinkSettings& settings) {
  link.foliage_low = link.foliage_high = Db(0.0);
  for (const LossTerm& term : link.terms) {
    if (!term.band) continue;
    link.foliage_low += term.band->low;
    link.foliage_high += term.band->high;
  }
  const double half = 0.5 * (link.foliage_high - link.foliage_low).value;
  link.foliage_spread_db = half / settings.foliage_band_sigmas;
}

}  // namespace sim
