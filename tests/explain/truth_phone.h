// What a tester's phone shows at a place, with the errors that phones have.
#pragma once

#include <vector>

#include "sim/survey/survey.h"
#include "tests/explain/dice.h"
#include "tests/support/street.h"

namespace sim::test {

/// How one phone errs on one day.
struct PhoneErrors {
  double shadow_sigma_db = 3.0;   ///< 2-4 dB, alike within some 10 m (TR 38.901 section 7.4.4)
  double reading_sigma_db = 1.5;  ///< of each reading
  double accuracy_m = 4.0;        ///< 68 % of positions lie nearer, as phones state it
};
PhoneErrors phone_errors(Dice& dice);

/// Shadowing at several places: jointly normal, correlation exp(-distance / 10 m).
std::vector<double> shadowing_db(const std::vector<ScenePoint>& places, double sigma_db,
                                 Dice& dice);

/// Where the phone believes to be.
ScenePoint reported_place(ScenePoint truly, double accuracy_m, Dice& dice);

/// The row of a true link. `cell_share` of the rate is left by others.
Measurement phone_row(const Street& truth, const LinkResult& link, ScenePoint reported,
                      const PhoneErrors& errors, double shadow_db, double cell_share, Dice& dice);

}  // namespace sim::test
