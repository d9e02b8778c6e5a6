#include "sim/link/modulation.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace sim {
namespace {

constexpr std::array<ModulationRow, 15> cqi_rows{{{1, 2, 78, 0.1523},
                                                  {2, 2, 120, 0.2344},
                                                  {3, 2, 193, 0.3770},
                                                  {4, 2, 308, 0.6016},
                                                  {5, 2, 449, 0.8770},
                                                  {6, 2, 602, 1.1758},
                                                  {7, 4, 378, 1.4766},
                                                  {8, 4, 490, 1.9141},
                                                  {9, 4, 616, 2.4063},
                                                  {10, 6, 466, 2.7305},
                                                  {11, 6, 567, 3.3223},
                                                  {12, 6, 666, 3.9023},
                                                  {13, 6, 772, 4.5234},
                                                  {14, 6, 873, 5.1152},
                                                  {15, 6, 948, 5.5547}}};

constexpr std::array<ModulationRow, 29> mcs_rows{
    {{0, 2, 120, 0.2344},  {1, 2, 157, 0.3066},  {2, 2, 193, 0.3770},  {3, 2, 251, 0.4902},
     {4, 2, 308, 0.6016},  {5, 2, 379, 0.7402},  {6, 2, 449, 0.8770},  {7, 2, 526, 1.0273},
     {8, 2, 602, 1.1758},  {9, 2, 679, 1.3262},  {10, 4, 340, 1.3281}, {11, 4, 378, 1.4766},
     {12, 4, 434, 1.6953}, {13, 4, 490, 1.9141}, {14, 4, 553, 2.1602}, {15, 4, 616, 2.4063},
     {16, 4, 658, 2.5703}, {17, 6, 438, 2.5664}, {18, 6, 466, 2.7305}, {19, 6, 517, 3.0293},
     {20, 6, 567, 3.3223}, {21, 6, 616, 3.6094}, {22, 6, 666, 3.9023}, {23, 6, 719, 4.2129},
     {24, 6, 772, 4.5234}, {25, 6, 822, 4.8164}, {26, 6, 873, 5.1152}, {27, 6, 910, 5.3320},
     {28, 6, 948, 5.5547}}};

struct Step {
  double shannon_db, shannon_ratio, efficiency;
};

/// What links may use, with Shannon's limit of each, which every link is asked for: taken once.
/// Below the first row of the finer table only CQI 1 is left, by repetition.
const std::array<Step, mcs_rows.size() + 1>& steps() {
  static const auto taken = [] {
    std::array<Step, mcs_rows.size() + 1> all{};
    for (std::size_t i = 0; i < all.size(); ++i) {
      const double e = i == 0 ? cqi_rows[0].efficiency : mcs_rows[i - 1].efficiency;
      const Db limit = needed_snr(e, Db());
      all[i] = {limit.value, limit.power_ratio(), e};
    }
    return all;
  }();
  return taken;
}

}  // namespace

std::span<const ModulationRow> cqi_table() noexcept { return cqi_rows; }
std::span<const ModulationRow> mcs_table() noexcept { return mcs_rows; }

Db needed_snr(double efficiency, Db margin) noexcept {
  return Db(10.0 * std::log10(std::exp2(efficiency) - 1.0)) + margin;
}

double spectral_efficiency(Db snr, Db margin) noexcept {
  const double usable_db = snr.value - margin.value;
  double best = 0.0;
  if (usable_db < steps()[0].shannon_db) return best;
  for (const Step& step : steps()) {  // not quite in order: MCS 16 carries more than 17
    if (usable_db >= step.shannon_db) best = std::max(best, step.efficiency);
  }
  return best;
}

double best_block_efficiency(Db one_block_snr, Db margin, int resource_blocks) noexcept {
  double best = 0.0;
  if ((one_block_snr - margin).value < steps()[0].shannon_db - 1e-9) return best;
  const double usable = (one_block_snr - margin).power_ratio();
  for (const Step& step : steps()) {
    // Whole blocks; std::floor is a call.
    const auto blocks =
        static_cast<int>(std::min(usable / step.shannon_ratio, 1.0 * resource_blocks));
    best = std::max(best, blocks * step.efficiency);
  }
  return best;
}

}  // namespace sim
