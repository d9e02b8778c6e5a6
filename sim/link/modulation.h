// What a signal can carry: the tables of modulation and code rate.
#pragma once

#include <span>

#include "sim/base/units.h"

namespace sim {

struct ModulationRow {
  int index = 0;
  int bits_per_symbol = 2;  ///< 2 QPSK, 4 16QAM, 6 64QAM
  double code_rate_x1024 = 0.0;
  double efficiency = 0.0;  ///< bits per resource element, as printed
};

/// What a phone reports, block error rate 0.1. Source: TS 38.214 Table 5.2.2.1-2.
std::span<const ModulationRow> cqi_table() noexcept;
/// What a node sends. Source: TS 38.214 Table 5.1.3.1-1.
std::span<const ModulationRow> mcs_table() noexcept;

/// SNR that an efficiency needs: Shannon's, and a margin for a real receiver.
Db needed_snr(double efficiency, Db margin) noexcept;

/// Bits per resource element at an SNR: the most efficient row that it carries. The node steers
/// between the reported steps, so the finer table counts; below its first row only CQI 1 is left,
/// by repetition. 0 when not even that.
double spectral_efficiency(Db snr, Db margin) noexcept;

/// Most of blocks x efficiency, for a sender whose whole power would have this SNR in a single
/// resource block: one that is short of power sends fewer blocks.
double best_block_efficiency(Db one_block_snr, Db margin, int resource_blocks) noexcept;

}  // namespace sim
