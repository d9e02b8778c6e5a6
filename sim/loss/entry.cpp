#include "sim/loss/entry.h"

namespace sim {
namespace {

Db concrete_loss(Frequency f) { return Db(5.0 + 4.0 * f.ghz()); }  // [TR38.901] Table 7.4.3-1

/// Loss of a wall of which `share` is the first material.
Db mixed(double share, Db first, Db second) {
  return Db(5.0 - 10.0 * std::log10(share * std::pow(10.0, -first.value / 10.0) +
                                    (1.0 - share) * std::pow(10.0, -second.value / 10.0)));
}

}  // namespace

EntryLoss vehicle_entry_loss(bool metallised_windows) noexcept {
  return {.loss = Db(metallised_windows ? 20.0 : 9.0), .sigma = Db(5.0)};
}

Db glass_loss(Frequency f) noexcept { return Db(2.0 + 0.2 * f.ghz()); }

Db coated_glass_loss(Frequency f, int release) noexcept {
  return release >= 19 ? Db(25.4 + 0.11 * f.ghz()) : Db(23.0 + 0.3 * f.ghz());
}

EntryLoss facade_entry_loss(Frequency f, bool high_loss, int release) noexcept {
  if (high_loss) {
    return {.loss = mixed(0.7, coated_glass_loss(f, release), concrete_loss(f)), .sigma = Db(6.5)};
  }
  return {.loss = mixed(0.3, glass_loss(f), concrete_loss(f)), .sigma = Db(4.4)};
}

}  // namespace sim
