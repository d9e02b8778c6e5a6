#include "tests/explain/truth_phone.h"

#include <algorithm>

namespace sim::test {
namespace {

/// The rate at a level that strays from the predicted one, between the rates a sigma below and
/// above.
double rate_at(const LinkResult& link, double stray_db) {
  const double sigmas = std::clamp(stray_db / link.sigma.value, -1.5, 1.5);
  const double end = sigmas < 0.0 ? link.downlink_low_mbps : link.downlink_high_mbps;
  return std::max(link.downlink_mbps + std::abs(sigmas) * (end - link.downlink_mbps), 0.0);
}

}  // namespace

PhoneErrors phone_errors(Dice& dice) {
  return {.shadow_sigma_db = dice.between(2.0, 4.0),
          .reading_sigma_db = 1.5,
          .accuracy_m = dice.between(2.0, 8.0)};
}

std::vector<double> shadowing_db(const std::vector<ScenePoint>& places, double sigma_db,
                                 Dice& dice) {
  constexpr double correlation_m = 10.0;
  const std::size_t n = places.size();
  std::vector<std::vector<double>> root(n, std::vector<double>(n, 0.0));  // Cholesky
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = std::exp(-horizontal_distance_m(places[i], places[j]) / correlation_m);
      for (std::size_t k = 0; k < j; ++k) sum -= root[i][k] * root[j][k];
      root[i][j] = i == j ? std::sqrt(std::max(sum, 1e-9)) : sum / root[j][j];
    }
  }
  std::vector<double> white, shadow(n, 0.0);
  for (std::size_t i = 0; i < n; ++i) white.push_back(dice.normal(0.0, sigma_db));
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j <= i; ++j) shadow[i] += root[i][j] * white[j];
  }
  return shadow;
}

ScenePoint reported_place(ScenePoint truly, double accuracy_m, Dice& dice) {
  // 68 % of a circular normal distribution lie within sqrt(-2 ln 0.32) = 1.51 sigmas.
  const double sigma = accuracy_m / std::sqrt(-2.0 * std::log(0.32));
  truly.x_m += dice.normal(0.0, sigma);
  truly.y_m += dice.normal(0.0, sigma);
  return truly;
}

Measurement phone_row(const Street& truth, const LinkResult& link, ScenePoint reported,
                      const PhoneErrors& errors, double shadow_db, double cell_share, Dice& dice) {
  constexpr double faintest_dbm = -118.0;  // common practice, no source
  Measurement m;
  m.survey = "walk.csv";
  const MapPoint place = truth.scene.frame.map_from_scene(reported);
  m.place = Xy{place.x_m, place.y_m};
  m.accuracy_m = errors.accuracy_m;
  m.context = link.receiver.context;
  m.node = truth.scene.nodes[link.node].id;
  // Leaves, bodies and panes differ from their middle value; edges are not as sharp as drawn.
  const double terms =
      dice.normal(0.0, std::hypot(link.spread().value, link.sight == Sight::los ? 0.0 : 2.0));
  const double stray = shadow_db + terms + dice.normal(0.0, errors.reading_sigma_db);
  const double level = link.rsrp.value + stray;
  if (level >= faintest_dbm) m.rsrp_dbm = std::round(level);
  m.connected = level >= truth.settings.drop_rsrp.value;
  if (*m.connected) {
    // Schedulers and protocols: a tenth off, and a spread of a quarter; common practice, no source.
    m.downlink_mbps = rate_at(link, stray) * cell_share * std::exp(dice.normal(-0.1, 0.25));
  }
  return m;
}

}  // namespace sim::test
