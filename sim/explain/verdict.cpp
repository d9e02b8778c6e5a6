#include "sim/explain/verdict.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace sim {
namespace {

// How often each reading is met before anything is measured; common practice, no source.
constexpr std::array<double, 5> priors{0.62, 0.18, 0.06, 0.08, 0.06};
constexpr double least_unmapped_db = 6.0, most_unmapped_db = 45.0;
constexpr double short_rate_share = 0.5;  ///< less than this share of the predicted rate is short
constexpr double short_when_loaded = 0.9, short_by_chance = 0.1;

double mean_shifted(const LevelEvidence& evidence, double mean_dbm, double sigma_db, double sign) {
  double sum = 0.0;
  int steps = 0;
  for (double shift = least_unmapped_db; shift <= most_unmapped_db; shift += 1.0, ++steps) {
    sum += likelihood(evidence, mean_dbm + sign * shift, sigma_db);
  }
  return sum / steps;
}

}  // namespace

double comparison_sigma_db(const LinkResult& link, const LinkSettings& settings) {
  const double shadow =
      link.sight == Sight::los ? settings.shadow_sigma_los_db : settings.shadow_sigma_nlos_db;
  return std::hypot(shadow, settings.defaults("measured_level_sigma_db"));
}

Verdict weigh(const LinkResult& link, const Measurement& m, const std::vector<double>& nearby_dbm,
              const LinkSettings& settings) {
  const LevelEvidence evidence = evidence_of(m, settings);
  const bool rate_known = m.downlink_mbps && link.downlink_mbps > 0.0;
  if (evidence.none() && !rate_known) return {};
  const double mean = link.rsrp.value;
  const double sigma = comparison_sigma_db(link, settings);
  std::array<double, 5> weight{};
  weight[0] = likelihood(evidence, mean, sigma);
  weight[1] = mean_shifted(evidence, mean, sigma, -1.0);
  weight[2] = mean_shifted(evidence, mean, sigma, 1.0);
  for (const double level : nearby_dbm) {
    weight[3] += likelihood(evidence, level, sigma) / static_cast<double>(nearby_dbm.size());
  }
  weight[4] = weight[0];
  // A lost connection tells nothing about the load; a connected phone's rate does.
  if (rate_known && !(m.connected && !*m.connected)) {
    const bool is_short = *m.downlink_mbps < short_rate_share * link.downlink_mbps;
    for (std::size_t i = 0; i < weight.size(); ++i) {
      const bool rate_may_fall = i == 4 || i == 1;
      const double chance = rate_may_fall ? short_when_loaded : short_by_chance;
      weight[i] *= is_short ? chance : 1.0 - chance;
    }
  } else {
    weight[4] = 0.0;
  }
  double total = 0.0;
  for (std::size_t i = 0; i < weight.size(); ++i) total += weight[i] *= priors[i];
  // Farther than any reading reaches: the side of it is plain all the same.
  if (!(total > 0.0)) {
    const bool below = evidence.level_dbm ? *evidence.level_dbm < mean : bool(evidence.at_most_dbm);
    return {below ? Reading::weaker : Reading::stronger, 1.0};
  }
  const auto most = std::max_element(weight.begin(), weight.end());
  return {static_cast<Reading>(most - weight.begin()), *most / total};
}

}  // namespace sim
