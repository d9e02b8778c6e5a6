#include "sim/loss/measured_street.h"

#include <algorithm>

#include "sim/loss/free_space.h"

namespace sim {
namespace {

/// Free space over the first metre, then its own exponent.
Db close_in(Frequency f, double exponent, double decades) {
  return free_space_loss(f, 1.0) + Db(10.0 * exponent * decades);
}

}  // namespace

MeasuredStreetLoss measured_street_loss(Frequency f, double distance_m,
                                        MeasuredForm form) noexcept {
  const double decades = std::log10(distance_m);
  switch (form) {
    case MeasuredForm::nyc_2014_los:
      return {Db(61.4 + 20.0 * decades), Db(5.8)};
    case MeasuredForm::nyc_2014_nlos:
      return {Db(72.0 + 29.2 * decades), Db(8.7)};
    case MeasuredForm::nyc_2015_los:
      return {close_in(f, 2.1, decades), Db(3.6)};
    case MeasuredForm::nyc_2015_nlos:
      return {close_in(f, 3.4, decades), Db(9.7)};
    case MeasuredForm::ci_los:
      return {close_in(f, 2.1, decades), Db(3.76)};
    case MeasuredForm::ci_nlos:
      return {close_in(f, 3.17, decades), Db(8.09)};
    case MeasuredForm::abg_nlos:
      break;
  }
  return {Db(35.3 * decades + 22.4 + 21.3 * std::log10(f.ghz())), Db(7.82)};
}

MeasuredSight measured_sight(double distance_m) noexcept {
  const double outage = std::max(0.0, 1.0 - std::exp(-distance_m / 30.0 + 5.2));
  return {.outage = outage, .los = (1.0 - outage) * std::exp(-distance_m / 67.1)};
}

}  // namespace sim
