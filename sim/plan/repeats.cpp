#include "sim/plan/repeats.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/loss/normal_quantile.h"
#include "sim/survey/bootstrap.h"

namespace sim {

Repeats repeats_for(const LinkResult& link, const Defaults& d,
                    std::optional<double> pair_difference_db) {
  const double share = d("bootstrap_share"), spread_db = d("measured_level_sigma_db");
  const double z = normal_quantile(0.5 + 0.5 * share);
  const double least = static_cast<double>(least_bootstrap_values);
  const double percent = 100.0 * share;
  const double p = std::clamp(link.p_hold, 0.0, 1.0);
  constexpr double unsure = 0.1;  // below and above, the outcome is as good as known
  if (pair_difference_db) {
    const double change = std::max(1.0, std::abs(*pair_difference_db));
    const double needed =
        static_cast<double>(repeats_needed(spread_db, change, share, d("pair_power")));
    const double count = std::max(least, needed);
    return {static_cast<std::size_t>(count),
            fmt::format("{:.0f} on each side show {:.0f} dB; fewer than {:.0f} give the median no "
                        "interval",
                        needed, change, least)};
  }
  if (p > unsure && p < 1.0 - unsure) {
    const double error = d("plan_share");
    const double count = std::max(least, std::ceil(p * (1.0 - p) * z * z / (error * error)));
    return {static_cast<std::size_t>(count),
            fmt::format("near the edge ({:.0f} % to hold): the share with a link is then known to "
                        "±{:.0f} % at {:.0f} %",
                        100.0 * p, 100.0 * error, percent)};
  }
  const double error_db = d("plan_level_db");
  const double count =
      std::max(least, std::ceil(z * z * spread_db * spread_db / (error_db * error_db)));
  return {static_cast<std::size_t>(count),
          fmt::format("the mean level is then known to ±{:.1f} dB at {:.0f} %, for readings that "
                      "spread by {:.0f} dB",
                      z * spread_db / std::sqrt(count), percent, spread_db)};
}

}  // namespace sim
