#include "sim/explain/verdict.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace sim {
namespace {

// How often each reading is met before anything is measured, and how much unmapped things take or
// give; common practice, no source.
constexpr std::array<double, 5> priors{0.62, 0.18, 0.06, 0.08, 0.06};
constexpr double least_unmapped_db = 6.0, most_unmapped_db = 45.0;
// Rates over the predicted one: log-normal when the radio path decides, anything when it does not.
// Common practice, no source.
constexpr double rate_log_sigma = 0.4, least_rate_share = 0.01, most_rate_share = 1.5;

double rate_density_as_predicted(double share) {
  const double z = std::log(share) / rate_log_sigma;
  return std::exp(-0.5 * z * z) / (rate_log_sigma * std::sqrt(2.0 * std::numbers::pi));
}
double rate_density_anything() { return 1.0 / std::log(most_rate_share / least_rate_share); }

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

Verdict weigh(const LinkResult& link, const Measurement& m, double offset_db,
              const std::vector<double>& nearby_dbm, const LinkSettings& settings) {
  const LevelEvidence evidence = evidence_of(m, settings);
  const bool rate_known = m.downlink_mbps && link.downlink_mbps > 0.0;
  if (evidence.none() && !rate_known) return {};
  const double mean = link.rsrp.value + offset_db;
  const double sigma = comparison_sigma_db(link, settings);
  std::array<double, 5> weight{};
  weight[0] = likelihood(evidence, mean, sigma);
  weight[1] = mean_shifted(evidence, mean, sigma, -1.0);
  weight[2] = mean_shifted(evidence, mean, sigma, 1.0);
  for (const double level : nearby_dbm) {
    weight[3] +=
        likelihood(evidence, level + offset_db, sigma) / static_cast<double>(nearby_dbm.size());
  }
  weight[4] = weight[0];
  // A lost connection tells nothing about the load; a connected phone's rate does.
  if (rate_known && !(m.connected && !*m.connected)) {
    const double share =
        std::clamp(*m.downlink_mbps / link.downlink_mbps, least_rate_share, most_rate_share);
    for (const std::size_t i : {0U, 2U, 3U}) weight[i] *= rate_density_as_predicted(share);
    for (const std::size_t i : {1U, 4U}) weight[i] *= rate_density_anything();
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
