#include "sim/fit/cross_validation.h"

#include <algorithm>
#include <cmath>

#include "sim/base/parallel.h"

namespace sim {

std::vector<std::size_t> places_of(const std::vector<Observation>& rows, double reach_m) {
  std::vector<ScenePoint> centers;
  std::vector<std::size_t> places;
  for (const Observation& row : rows) {
    std::size_t place = 0;
    while (place < centers.size() &&
           horizontal_distance_m(centers[place], row.receiver.position) > reach_m) {
      ++place;
    }
    if (place == centers.size()) centers.push_back(row.receiver.position);
    places.push_back(place);
  }
  return places;
}

FitError error_of(const LevelModel& model, const Eigen::VectorXd& residuals) {
  double n = 0.0, squares = 0.0, sizes = 0.0;
  for (std::size_t i = 0; i < model.rows().size(); ++i) {
    const Observation& row = model.rows()[i];
    if (row.evidence != Evidence::level) continue;
    if (std::isnan(residuals[static_cast<Eigen::Index>(i)])) continue;
    const double db = residuals[static_cast<Eigen::Index>(i)] * row.sigma_db;
    n += row.weight;
    squares += row.weight * db * db;
    sizes += row.weight * std::abs(db);
  }
  return {std::sqrt(squares / n), sizes / n};
}

CrossValidation cross_validate(const LevelModel& model, const Eigen::VectorXd& before,
                               const Eigen::VectorXd& fitted, const std::vector<bool>& free,
                               const RobustShape& shape, double place_reach_m) {
  constexpr std::size_t most_folds = 20;
  const auto& rows = model.rows();
  const std::vector<std::size_t> places = places_of(rows, place_reach_m);
  CrossValidation cv;
  for (const std::size_t place : places) cv.places = std::max(cv.places, place + 1);
  cv.folds = std::min(cv.places, most_folds);
  cv.residuals = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(rows.size()));
  if (cv.folds < 2) {
    cv.residuals.setConstant(std::nan(""));
    cv.before = error_of(model, before);
    cv.after = {std::nan(""), std::nan("")};
    return cv;
  }
  parallel_blocks(cv.folds, 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t fold = begin; fold < end; ++fold) {
      std::vector<bool> use(rows.size());
      for (std::size_t i = 0; i < rows.size(); ++i) use[i] = places[i] % cv.folds != fold;
      const Eigen::VectorXd without =
          model.residuals(solve(model, fitted, free, shape, &use).values);
      for (std::size_t i = 0; i < rows.size(); ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        if (!use[i]) cv.residuals[k] = without[k];
      }
    }
  });
  cv.before = error_of(model, before);
  cv.after = error_of(model, cv.residuals);
  // The gain of each place, and the standard error of their mean.
  std::vector<double> gain(cv.places, 0.0), weight(cv.places, 0.0);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (rows[i].evidence != Evidence::level) continue;
    const auto k = static_cast<Eigen::Index>(i);
    if (std::isnan(before[k])) continue;
    const double w = rows[i].weight;
    gain[places[i]] += w * rows[i].sigma_db * (std::abs(before[k]) - std::abs(cv.residuals[k]));
    weight[places[i]] += w;
  }
  double n = 0.0, sum = 0.0, squares = 0.0;
  for (std::size_t place = 0; place < cv.places; ++place) {
    if (weight[place] <= 0.0) continue;
    const double mean = gain[place] / weight[place];
    n += 1.0;
    sum += mean;
    squares += mean * mean;
  }
  if (n < 2.0) return cv;
  const double mean = sum / n;
  const double error = std::sqrt(std::max(0.0, squares / n - mean * mean) / (n - 1.0));
  cv.improves = cv.after.mean_abs_db < cv.before.mean_abs_db && mean > error;
  return cv;
}

}  // namespace sim
