#include "sim/explain/evidence.h"

#include <cmath>
#include <numbers>

namespace sim {

LevelEvidence evidence_of(const Measurement& m, const LinkSettings& settings) {
  LevelEvidence evidence;
  if (m.rsrp_dbm) {
    evidence.level_dbm = *m.rsrp_dbm;
    return evidence;
  }
  if (m.connected && !*m.connected) {
    evidence.at_most_dbm = settings.drop_rsrp.value;
    return evidence;
  }
  if (m.sinr_db) {
    evidence.at_least_dbm = noise_level(settings).value + *m.sinr_db;
  } else if ((m.connected && *m.connected) || (m.downlink_mbps && *m.downlink_mbps > 0.0)) {
    evidence.at_least_dbm = settings.drop_rsrp.value;
  }
  return evidence;
}

double likelihood(const LevelEvidence& evidence, double mean_dbm, double sigma_db) {
  const double scale = 1.0 / (sigma_db * std::numbers::sqrt2);
  if (evidence.level_dbm) {
    const double z = (*evidence.level_dbm - mean_dbm) * scale;
    return std::exp(-z * z) * scale * std::numbers::inv_sqrtpi;
  }
  if (evidence.at_most_dbm) return 0.5 * std::erfc((mean_dbm - *evidence.at_most_dbm) * scale);
  if (evidence.at_least_dbm) return 0.5 * std::erfc((*evidence.at_least_dbm - mean_dbm) * scale);
  return 1.0;
}

}  // namespace sim
