#include "sim/compare/stretches.h"

#include <cmath>

#include "sim/base/quantile.h"

namespace sim {
namespace {

Likeness like_of(const ComparedRow& row, double bin_m) {
  return {bin_of(row.distance_m, bin_m), row.sight, row.situation};
}

bool goes_on(const ComparedRow& first, const ComparedRow& next, double bin_m, double stretch_m) {
  if (first.walk != next.walk || first.group != next.group) return false;
  if (like_of(first, bin_m) != like_of(next, bin_m)) return false;
  if (first.place.has_value() != next.place.has_value()) return false;
  if (first.place) {
    return std::hypot(next.place->x - first.place->x, next.place->y - first.place->y) <= stretch_m;
  }
  if (first.distance_m && std::abs(*next.distance_m - *first.distance_m) > stretch_m) return false;
  return first.spot == next.spot;
}

std::optional<double> median_of(const std::vector<double>& values) {
  if (values.empty()) return std::nullopt;
  return quantile(values, 0.5);
}

class Gathered {
 public:
  Gathered(const ComparedRow& first, double bin_m) : first_(first) {
    stretch_.group = first.group;
    stretch_.like = like_of(first, bin_m);
  }
  const ComparedRow& first() const { return first_; }

  void add(const ComparedRow& row) {
    ++stretch_.rows;
    if (row.distance_m) distances_ += *row.distance_m;
    for (const Measure m : all_measures) {
      // A level that was logged was heard, even below the threshold.
      const bool counts = m == Measure::level || row.linked.value_or(true);
      if (row.measured[m] && counts) {
        measured_[m].push_back(*row.measured[m]);
        if (!row.predicted[m]) continue;
        predicted_[m].push_back(*row.predicted[m]);
        residuals_[m].push_back(*row.measured[m] - *row.predicted[m]);
      }
    }
    if (!row.linked) return;
    ++stretch_.linked_rows;
    linked_ += *row.linked ? 1.0 : 0.0;
    if (row.predicted_hold) holds_.push_back(*row.predicted_hold);
  }

  Stretch finish() {
    if (first_.distance_m) stretch_.distance_m = distances_ / static_cast<double>(stretch_.rows);
    for (const Measure m : all_measures) {
      stretch_.measured[m] = median_of(measured_[m]);
      stretch_.measured_rows[m] = measured_[m].size();
      stretch_.predicted[m] = median_of(predicted_[m]);
      stretch_.residual[m] = median_of(residuals_[m]);
    }
    if (stretch_.linked_rows > 0) {
      stretch_.linked = linked_ / static_cast<double>(stretch_.linked_rows);
    }
    if (!holds_.empty()) {
      double sum = 0.0;
      for (const double p : holds_) sum += p;
      stretch_.predicted_hold = sum / static_cast<double>(holds_.size());
    }
    return std::move(stretch_);
  }

 private:
  const ComparedRow& first_;
  Stretch stretch_;
  double distances_ = 0.0, linked_ = 0.0;
  ByMeasure<std::vector<double>> measured_, predicted_, residuals_;
  std::vector<double> holds_;
};

}  // namespace

int bin_of(const std::optional<double>& distance_m, double bin_m) {
  return distance_m ? static_cast<int>(std::floor(*distance_m / bin_m)) : -1;
}

std::vector<Stretch> stretches_of(const std::vector<ComparedRow>& rows, double bin_m,
                                  double stretch_m) {
  std::vector<Stretch> stretches;
  std::optional<Gathered> open;
  for (const ComparedRow& row : rows) {
    if (open && !goes_on(open->first(), row, bin_m, stretch_m)) {
      stretches.push_back(open->finish());
      open.reset();
    }
    if (row.group.empty()) continue;
    if (!open) open.emplace(row, bin_m);
    open->add(row);
  }
  if (open) stretches.push_back(open->finish());
  return stretches;
}

}  // namespace sim
