#include "sim/loss/street_general.h"

namespace sim {
namespace {

struct Coefficients {
  double alpha, beta, gamma, sigma_db;
  StreetRange range;
};

constexpr Coefficients rows[] = {
    {2.12, 29.2, 2.11, 5.06, {0.8, 82.0, 5.0, 660.0}},
    {4.00, 10.2, 2.36, 7.60, {0.8, 82.0, 30.0, 715.0}},
    {5.06, -4.68, 2.02, 9.33, {10.0, 73.0, 30.0, 250.0}},
    {3.01, 18.8, 2.07, 3.07, {0.8, 73.0, 30.0, 170.0}},
    {2.29, 28.6, 1.96, 3.48, {2.2, 73.0, 55.0, 1200.0}},
    {4.39, -6.27, 2.30, 6.89, {2.2, 66.5, 260.0, 1200.0}},
};

const Coefficients& of(StreetRow row) { return rows[static_cast<int>(row)]; }

}  // namespace

StreetGeneralLoss street_general_loss(Frequency f, double distance_m, StreetRow row) noexcept {
  const Coefficients& c = of(row);
  return {.loss = Db(10.0 * c.alpha * std::log10(distance_m) + c.beta +
                     10.0 * c.gamma * std::log10(f.ghz())),
          .sigma = Db(c.sigma_db)};
}

StreetRange street_general_range(StreetRow row) noexcept { return of(row).range; }

}  // namespace sim
