#include "sim/loss/oxygen_table.h"

#include <iterator>

namespace sim {

double oxygen_table_db_per_km(Frequency f) noexcept {
  constexpr double first_ghz = 52.0;
  constexpr double rows[] = {0.0,  1.0,  2.2,  4.0, 6.6, 9.7, 12.6, 14.6, 15.0,
                             14.6, 14.3, 10.5, 6.8, 3.9, 1.9, 1.0,  0.0};
  const double at = f.ghz() - first_ghz;
  if (!(at > 0.0 && at < static_cast<double>(std::size(rows) - 1))) return 0.0;
  const auto row = static_cast<std::size_t>(at);
  return std::lerp(rows[row], rows[row + 1], at - static_cast<double>(row));
}

}  // namespace sim
