#include "sim/explain/suspect_walks.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace sim {
namespace {

// All numbers here are common practice, no source.
constexpr double place_correlation_m = 20.0;
/// More at one place are fixes of their own there: products of likelihoods stay within a float.
constexpr std::size_t most_rows_of_a_fix = 8;
/// One hardly walks through a thing; but a position may be worse than it says.
constexpr float inside_a_thing = 0.05F;
constexpr double least_touch = 0.95;  ///< what leaves more of a ray does not touch it

/// Whether no ray of the row comes near the thing, wherever its phone was.
bool beside(ScenePoint node, const SuspectRow& row, ScenePoint foot) {
  const double east = row.reported.x_m - node.x_m, north = row.reported.y_m - node.y_m;
  const double length = std::max(std::hypot(east, north), 1.0);
  const double along = ((foot.x_m - node.x_m) * east + (foot.y_m - node.y_m) * north) / length;
  const double across = (east * (foot.y_m - node.y_m) - north * (foot.x_m - node.x_m)) / length;
  const double reach = farthest_thing_reach_m + 1.0 + 2.6 * row.place_sigma_m;
  return std::abs(across) > reach || along < -1.0 || along > length + reach;
}

bool same_fix(const SuspectRow& a, const SuspectRow& b) {
  return a.walk == b.walk && a.reported.x_m == b.reported.x_m && a.reported.y_m == b.reported.y_m;
}

/// Index among the row's ends of each place; none = the number of its ends.
std::vector<std::size_t> ends_at(const SuspectRow& row, const std::vector<ScenePoint>& places) {
  std::vector<std::size_t> found;
  found.reserve(places.size());
  for (const ScenePoint p : places) {
    const auto at = std::find_if(row.ends.begin(), row.ends.end(), [&](const MappedEnd& end) {
      return end.phone.x_m == p.x_m && end.phone.y_m == p.y_m;
    });
    found.push_back(static_cast<std::size_t>(at - row.ends.begin()));
  }
  return found;
}

/// Shares that go from each place of one fix to each of the next, by the errors they stand for.
Eigen::MatrixXf moves(const SuspectRow& one, const std::vector<ScenePoint>& from,
                      const SuspectRow& next, const std::vector<ScenePoint>& to, double kept) {
  // Places stand for an area each: no narrower than they lie apart.
  const double each = 2.5 / std::sqrt(static_cast<double>(to.size()));
  const double sigma = std::max(std::sqrt(1.0 - kept * kept), each);
  Eigen::MatrixXf shares(from.size(), to.size());
  for (std::size_t i = 0; i < from.size(); ++i) {
    const double east = kept * (from[i].x_m - one.reported.x_m) / one.place_sigma_m;
    const double north = kept * (from[i].y_m - one.reported.y_m) / one.place_sigma_m;
    for (std::size_t j = 0; j < to.size(); ++j) {
      const double x = (to[j].x_m - next.reported.x_m) / next.place_sigma_m;
      const double y = (to[j].y_m - next.reported.y_m) / next.place_sigma_m;
      // The places lie as the errors do, so each stands for an area of 1 / their density.
      const double z =
          (std::pow(x - east, 2) + std::pow(y - north, 2)) / (sigma * sigma) - (x * x + y * y);
      shares(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) =
          static_cast<float>(std::exp(-0.5 * z));
    }
  }
  const Eigen::VectorXf all = shares.rowwise().sum();
  return all.cwiseInverse().asDiagonal() * shares;
}

}  // namespace

SuspectWalks::SuspectWalks(const Scene& scene, std::vector<SuspectRow> rows)
    : scene_(scene), rows_(std::move(rows)) {
  for (std::size_t i = 0; i < rows_.size();) {
    Fix fix{.first = i, .last = i + 1};
    const std::size_t most = std::min(rows_.size(), i + most_rows_of_a_fix);
    while (fix.last < most && same_fix(rows_[i], rows_[fix.last])) ++fix.last;
    const auto fullest = std::max_element(
        rows_.begin() + static_cast<std::ptrdiff_t>(fix.first),
        rows_.begin() + static_cast<std::ptrdiff_t>(fix.last),
        [](const SuspectRow& a, const SuspectRow& b) { return a.ends.size() < b.ends.size(); });
    for (const MappedEnd& end : fullest->ends) fix.places.push_back(end.phone);
    for (std::size_t r = fix.first; r < fix.last; ++r) {
      fix.ends.push_back(ends_at(rows_[r], fix.places));
    }
    const bool goes_on = !fixes_.empty() && rows_[fixes_.back().first].walk == rows_[i].walk;
    if (goes_on) {
      const SuspectRow& last = rows_[fixes_.back().first];
      fix.kept =
          std::exp(-horizontal_distance_m(last.reported, rows_[i].reported) / place_correlation_m);
      fix.from_before = moves(last, fixes_.back().places, rows_[i], fix.places, fix.kept);
    } else if (!fixes_.empty()) {
      walk_ends_.push_back(fixes_.size());
    }
    i = fix.last;
    fixes_.push_back(std::move(fix));
  }
  if (!fixes_.empty()) walk_ends_.push_back(fixes_.size());
  prepare();
}

void SuspectWalks::prepare() {
  for (SuspectRow& row : rows_) set_likelihoods(row);
  std::size_t begin = 0;
  for (const std::size_t end : walk_ends_) {
    for (std::size_t s = begin; s < end; ++s) {
      Fix& fix = fixes_[s];
      const Eigen::VectorXf plain = plain_likelihoods(fix);
      fix.before = s > begin ? Eigen::VectorXf(fix.from_before.transpose() * fixes_[s - 1].before)
                             : Eigen::VectorXf::Ones(plain.size());
      fix.before.array() *= plain.array();
      const float all = fix.before.sum();
      fix.before /= all;
      if (s > begin) fix.moved_plain = fix.from_before * (plain / all).asDiagonal();
    }
    for (std::size_t s = end; s-- > begin;) {
      Fix& fix = fixes_[s];
      if (s + 1 == end) {
        fix.after.setOnes(fix.before.size());
      } else {
        fix.after = fixes_[s + 1].moved_plain * fixes_[s + 1].after;
      }
    }
    begin = end;
  }
}

/// By place of the fix, by the map; the greatest is 1.
Eigen::VectorXf SuspectWalks::plain_likelihoods(const Fix& fix) const {
  Eigen::VectorXf plain = Eigen::VectorXf::Ones(static_cast<Eigen::Index>(fix.places.size()));
  for (std::size_t r = fix.first; r < fix.last; ++r) {
    const SuspectRow& row = rows_[r];
    for (std::size_t j = 0; j < fix.places.size(); ++j) {
      const std::size_t end = fix.ends[r - fix.first][j];
      plain[static_cast<Eigen::Index>(j)] *= end == row.ends.size()
                                                 ? static_cast<float>(erring_likelihood(row))
                                                 : row.ends[end].likelihoods[0];
    }
  }
  return plain / plain.maxCoeff();
}

bool SuspectWalks::touched(const Fix& fix, const ThingPlace& thing, GuessesByPlace& factors) const {
  bool any = false;
  PowerLeft left{};
  for (std::size_t r = fix.first; r < fix.last; ++r) {
    const SuspectRow& row = rows_[r];
    const ScenePoint node = scene_.nodes[row.node].position;
    if (beside(node, row, thing.foot)) continue;
    for (std::size_t j = 0; j < fix.places.size(); ++j) {
      const std::size_t at = fix.ends[r - fix.first][j];
      if (at == row.ends.size()) continue;
      const MappedEnd& end = row.ends[at];
      if (!power_left({node, end.phone, row.frequency}, thing, left)) continue;
      if (!any) factors.setOnes(thing_guesses, static_cast<Eigen::Index>(fix.places.size()));
      any = true;
      const float each = 1.0F / end.likelihoods[0];
      auto factor = factors.col(static_cast<Eigen::Index>(j));
      for (std::size_t g = 0; g < thing_guesses; ++g) {
        if (left[g] >= least_touch) continue;
        if (left[g] <= 0.0) {
          factor[static_cast<Eigen::Index>(g)] *= inside_a_thing;
        } else if (!end.blocked) {
          factor[static_cast<Eigen::Index>(g)] *= each * end.likelihoods[power_index(left[g])];
        }
      }
    }
  }
  return any;
}

namespace {

/// What rows say of all guesses, fix by fix along one walk: guesses x places.
class Filter {
 public:
  explicit Filter(LogRatios& ratios) : ratios_(ratios) {}

  void start(const Fix& fix) { state_ = fix.before.transpose().replicate(thing_guesses, 1); }
  void move_to(const Fix& fix) {
    moved_.noalias() = state_ * fix.moved_plain;
    std::swap(state_, moved_);
  }
  void weigh(const GuessesByPlace& factors) {
    state_.array() *= factors.array();
    sums_ = state_.rowwise().sum().cwiseMax(least);
    state_.array().colwise() /= sums_.array();
    add_logs(1.0F);
  }
  /// All that follows the fix is as by the map.
  void close(const Fix& fix) {
    sums_ = (state_ * fix.after).cwiseMax(least);
    add_logs(fix.before.dot(fix.after));
  }

 private:
  static constexpr float least = 1e-30F;
  void add_logs(float plain) {
    for (std::size_t g = 0; g < thing_guesses; ++g) {
      ratios_[g] += std::log(static_cast<double>(sums_[static_cast<Eigen::Index>(g)] / plain));
    }
  }

  LogRatios& ratios_;
  GuessesByPlace state_, moved_;
  Eigen::VectorXf sums_;
};

}  // namespace

bool SuspectWalks::add_log_ratios(const ThingPlace& thing, LogRatios& ratios) const {
  constexpr double forgotten = 0.05;  // of an error: what follows is another one
  bool any = false;
  GuessesByPlace factors;
  Filter filter(ratios);
  std::size_t begin = 0;
  for (const std::size_t end : walk_ends_) {
    std::optional<std::size_t> at;  // the last fix that was touched
    for (std::size_t s = begin; s < end; ++s) {
      if (!touched(fixes_[s], thing, factors)) continue;
      any = true;
      double kept = at ? 1.0 : 0.0;
      for (std::size_t k = at.value_or(s); k < s; ++k) kept *= fixes_[k + 1].kept;
      if (kept < forgotten) {
        if (at) filter.close(fixes_[*at]);
        filter.start(fixes_[s]);
      } else {
        for (std::size_t k = *at; k < s; ++k) filter.move_to(fixes_[k + 1]);
      }
      filter.weigh(factors);
      at = s;
    }
    if (at) filter.close(fixes_[*at]);
    begin = end;
  }
  return any;
}

double SuspectWalks::takes(const SuspectRow& row, const ThingPlace& thing,
                           std::size_t guess) const {
  PowerLeft left{};
  double taken = 0.0;
  for (const MappedEnd& end : row.ends) {
    const DirectRay ray{scene_.nodes[row.node].position, end.phone, row.frequency};
    if (!end.blocked && power_left(ray, thing, left) && left[guess] < 0.5) taken += 1.0;
  }
  return row.ends.empty() ? 0.0 : taken / static_cast<double>(row.ends.size());
}

void SuspectWalks::put(const ThingPlace& thing, std::size_t guess) {
  PowerLeft left{};
  for (SuspectRow& row : rows_) {
    if (beside(scene_.nodes[row.node].position, row, thing.foot)) continue;
    for (MappedEnd& end : row.ends) {
      const DirectRay ray{scene_.nodes[row.node].position, end.phone, row.frequency};
      if (end.blocked || !power_left(ray, thing, left)) continue;
      end.level_dbm += level_change_db(end, left[guess]);
      end.blocked = end.blocked || left[guess] < 0.1;
    }
  }
  prepare();
}

}  // namespace sim
