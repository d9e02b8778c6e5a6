#include "sim/link/foliage_terms.h"

#include "sim/loss/foliage.h"

namespace sim {

void add_foliage(const Scene& scene, const PathProfile& path, Frequency f,
                 const LinkSettings& settings, std::vector<LossTerm>& terms) {
  double depth = 0.0;
  for (const Crossing& c : path.crossings) {
    if (is_foliage(scene.obstacles[c.obstacle].kind)) depth += c.inside_m;
  }
  if (depth <= 0.0) return;
  constexpr double deepest_m = 400.0;  // Weissberger's stated range
  const Db total = weissberger_loss(f, depth);
  for (const Crossing& c : path.crossings) {
    const Obstacle& obstacle = scene.obstacles[c.obstacle];
    if (!is_foliage(obstacle.kind)) continue;
    const bool bare = !settings.leaf_on && obstacle.species_class != "conifer";
    const double share = bare ? settings.defaults("leaf_off_share") : 1.0;
    terms.push_back({.model = "foliage_decay",
                     .source = "Weissberger 1982",
                     .group = TermGroup::foliage,
                     .loss = (share * c.inside_m / depth) * total,
                     .cause = Cause::foliage,
                     .obstacle = c.obstacle,
                     .validity = depth > deepest_m ? Validity::outside : Validity::inside});
  }
}

}  // namespace sim
