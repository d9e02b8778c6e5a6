// Where the map lacks an obstacle: how near the suspects come to where it truly stands.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <iostream>

#include "sim/base/parallel.h"
#include "sim/explain/explanation.h"
#include "tests/explain/seeds.h"
#include "tests/explain/truth_site.h"

namespace sim::test {
namespace {

struct Found {
  std::uint64_t seed = 0;
  int rays = 0;
  double off_m = 1e9;  ///< of the likeliest suspect
  double likelihood = 0.0;
  std::size_t suspects = 0, sure_and_wrong = 0;
  double width_m = 0.0, height_m = 0.0;
  ScenePoint hidden, said;
  double accuracy_m = 0.0;
};

Found search(std::uint64_t seed) {
  const HiddenSite site = hidden_site(seed);
  const Street map(site.map);
  const Explanation explanation =
      explain(map.caster, site.survey, map.settings, {.radius_m = 200.0});
  Found found{.seed = seed, .rays = site.rays_taken};
  found.hidden = site.hidden;
  found.accuracy_m = *site.survey.measurements[0].accuracy_m;
  found.suspects = explanation.suspects.size();
  for (const Suspect& s : explanation.suspects) {
    const double off = horizontal_distance_m(s.place, site.hidden);
    if (s.enough_evidence && off > 8.0) ++found.sure_and_wrong;
    if (&s != &explanation.suspects.front()) continue;
    found.off_m = off;
    found.said = s.place;
    found.likelihood = s.likelihood;
    found.width_m = s.width_m;
    found.height_m = s.height_m;
  }
  return found;
}

TEST(HiddenObstacles, AreFoundWithinFiveMetres) {
  const int count = hidden_sites();
  int near = 0, claimed = 0, claimed_near = 0;
  std::size_t elsewhere = 0;
  std::vector<double> off;
  double claimed_likelihood = 0.0;
  std::vector<Found> all(static_cast<std::size_t>(count));
  parallel_blocks(all.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t k = begin; k < end; ++k) all[k] = search(first_seed() + k);
  });
  for (const Found& found : all) {
    off.push_back(found.off_m);
    near += found.off_m <= 5.0 ? 1 : 0;
    if (found.likelihood >= 0.5) {
      ++claimed;
      claimed_likelihood += found.likelihood;
      claimed_near += found.off_m <= 5.0 ? 1 : 0;
    }
    elsewhere += found.sure_and_wrong;
    if (std::getenv("KERBRAY_TRUTH_MISSES") != nullptr) {
      std::cout << fmt::format(
          "seed {}: {} rays, off {:.1f} m ({:+.1f} east, {:+.1f} north of {:.0f}, {:.1f}), "
          "accuracy "
          "{:.1f} m, likelihood {:.2f}, {} suspects, {:.1f} wide {:.1f} high\n",
          found.seed, found.rays, found.off_m, found.said.x_m - found.hidden.x_m,
          found.said.y_m - found.hidden.y_m, found.hidden.x_m, found.hidden.y_m, found.accuracy_m,
          found.likelihood, found.suspects, found.width_m, found.height_m);
    }
  }
  std::sort(off.begin(), off.end());
  std::cout << fmt::format(
      "hidden obstacles: {} of {} within 5 m, half within {:.1f} m; likelihood over 0.5 said of "
      "{}, "
      "{} of those within 5 m; {} sure suspects where nothing is\n",
      near, count, off[off.size() / 2], claimed, claimed_near, elsewhere);
  EXPECT_GE(static_cast<double>(near) / count, 0.80);
  // What it claims is so about as often as it claims.
  EXPECT_LE(claimed_likelihood, 1.0 * claimed_near + 0.15 * claimed);
}

}  // namespace
}  // namespace sim::test
