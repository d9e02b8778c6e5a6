#include "sim/explain/verdict.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sim/link/rate.h"

namespace sim {
namespace {

// How often each is met before anything is measured, and how much unmapped things take or give;
// common practice, no source.
constexpr double prior_as_mapped = 0.74, prior_weaker = 0.12, prior_stronger = 0.04,
                 prior_load = 0.10;
constexpr double least_unmapped_db = 6.0, most_unmapped_db = 45.0;
// Rates over those that the level allows: log-normal when the radio path decides, anything when it
// does not. Common practice, no source.
constexpr double rate_log_sigma = 0.4, least_rate_share = 0.01, most_rate_share = 1.5;

double density_as_allowed(double share) {
  const double z = std::log(share) / rate_log_sigma;
  return std::exp(-0.5 * z * z) / (rate_log_sigma * std::sqrt(2.0 * std::numbers::pi));
}
double density_of_any_rate() { return 1.0 / std::log(most_rate_share / least_rate_share); }

double mean_shifted(const LevelEvidence& evidence, double mean_dbm, double sigma_db, double sign) {
  double sum = 0.0;
  int steps = 0;
  for (double shift = least_unmapped_db; shift <= most_unmapped_db; shift += 1.0, ++steps) {
    sum += likelihood(evidence, mean_dbm + sign * shift, sigma_db);
  }
  return sum / steps;
}

/// The rate that the measured level allows; without one, that of the predicted level.
double allowed_mbps(const LinkResult& link, const Measurement& m, double offset_db,
                    const LinkSettings& settings) {
  LinkResult as_measured = link;
  const double level = m.rsrp_dbm.value_or(link.rsrp.value + offset_db);
  as_measured.snr = link.snr + Db(level - link.rsrp.value);
  set_rates(as_measured, settings);
  return as_measured.downlink_mbps;
}

}  // namespace

double weaker_log_ratio(const Verdict& verdict) {
  double others = verdict.stronger + verdict.load;
  for (const double share : verdict.as_mapped) others += share;
  if (others + verdict.weaker <= 0.0) return 0.0;
  constexpr double least = 1e-9, most = 10.0;
  const double posterior = std::max(verdict.weaker, least) / std::max(others, least);
  return std::clamp(std::log(posterior * (1.0 - prior_weaker) / prior_weaker), -most, most);
}

double comparison_sigma_db(const LinkResult& link, const LinkSettings& settings) {
  const double edges = link.sight == Sight::los ? 0.0 : edge_sigma_db;
  const double reading = settings.defaults("measured_level_sigma_db");
  return std::hypot(std::hypot(settings.shadow_sigma_los_db, edges),
                    std::hypot(link.spread().value, reading));
}

Verdict weigh(std::span<const PossiblePlace> places, const Measurement& m, double offset_db,
              const LinkSettings& settings) {
  const LevelEvidence evidence = evidence_of(m, settings);
  Verdict verdict{.as_mapped = std::vector<double>(places.size(), 0.0)};
  // A lost connection tells nothing about the load; a connected phone's rate does.
  const bool rate_known = m.downlink_mbps.has_value() && m.connected.value_or(true) &&
                          places[0].link.downlink_mbps > 0.0;
  if (evidence.none() && !rate_known) return verdict;
  const double each = 1.0 / static_cast<double>(places.size());
  double total = 0.0;
  for (std::size_t k = 0; k < places.size(); ++k) {
    const LinkResult& link = places[k].link;
    const double mean = link.rsrp.value + offset_db, sigma = comparison_sigma_db(link, settings);
    const double fits = each * likelihood(evidence, mean, sigma);
    double rate_fits = 1.0, any_rate = 0.0, rate_of_unmapped = 1.0;
    if (rate_known) {
      const double allowed = allowed_mbps(link, m, offset_db, settings);
      const double share =
          std::clamp(*m.downlink_mbps / std::max(allowed, 1.0), least_rate_share, most_rate_share);
      rate_fits = density_as_allowed(share);
      any_rate = density_of_any_rate();
      // With a level the rate is judged by it, whatever made the level; without, only the map's.
      rate_of_unmapped = m.rsrp_dbm ? rate_fits : any_rate;
    }
    verdict.as_mapped[k] = prior_as_mapped * fits * rate_fits;
    verdict.load += prior_load * fits * any_rate;
    // Of a lost link something unmapped is the cause only as far as the map alone does not do it.
    const double shifted = mean_shifted(evidence, mean, sigma, -1.0) -
                           (evidence.at_most_dbm ? likelihood(evidence, mean, sigma) : 0.0);
    verdict.weaker += prior_weaker * each * std::max(shifted, 0.0) * rate_of_unmapped;
    verdict.stronger += prior_stronger * each * mean_shifted(evidence, mean, sigma, 1.0) *
                        (rate_known ? rate_fits : 1.0);
    total += verdict.as_mapped[k];
  }
  total += verdict.load + verdict.weaker + verdict.stronger;
  if (!(total > 0.0)) {  // farther than any of them reaches: the side of it is plain all the same
    const double mean = places[0].link.rsrp.value + offset_db;
    const bool below = evidence.level_dbm ? *evidence.level_dbm < mean : bool(evidence.at_most_dbm);
    (below ? verdict.weaker : verdict.stronger) = 1.0;
    return verdict;
  }
  for (double& share : verdict.as_mapped) share /= total;
  verdict.load /= total;
  verdict.weaker /= total;
  verdict.stronger /= total;
  return verdict;
}

}  // namespace sim
