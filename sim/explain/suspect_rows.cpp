#include "sim/explain/suspect_rows.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>

namespace sim {
namespace {

// All numbers here are common practice, no source.
/// A reading may be wrong by itself: a passer-by, a turned phone. Then it is any of 60 dB.
constexpr double erring_share = 0.05, erring_per_db = 1.0 / 60.0, erring_bound = 0.5;
/// Crowns and boards let something through.
constexpr double leaky_share = 0.3, leaky_power = 0.06;

double erring(const LevelEvidence& evidence) {
  return evidence.level_dbm ? erring_per_db : erring_bound;
}

double fits(const SuspectRow& row, const MappedEnd& end, double direct_left) {
  return likelihood(row.evidence, end.level_dbm + level_change_db(end, direct_left), end.sigma_db);
}

double row_likelihood(const SuspectRow& row, const MappedEnd& end, double direct_left) {
  double fit = fits(row, end, direct_left);
  if (direct_left < leaky_power) {
    fit = (1.0 - leaky_share) * fit + leaky_share * fits(row, end, leaky_power);
  }
  return (1.0 - erring_share) * fit + erring_share * erring(row.evidence);
}

double power_at(std::size_t index) {
  return std::bit_cast<double>(std::bit_cast<std::uint64_t>(1.0) - (std::uint64_t{index} << 50));
}

}  // namespace

/// Of the level, where the direct path keeps that share of its power and other paths stay.
double level_change_db(const MappedEnd& end, double direct_left) {
  constexpr double least = 1e-6;
  return 10.0 * std::log10(std::max(1.0 + end.direct_share * (direct_left - 1.0), least));
}

std::size_t power_index(double share) {
  // Quarters of an octave, read off the bits of the number: its exponent and first digits are its
  // logarithm.
  constexpr int shift = 50;  // of a double's 52 bits of digits, two are kept
  const auto down = std::bit_cast<std::uint64_t>(1.0) - std::bit_cast<std::uint64_t>(share);
  return std::min<std::size_t>((down + (1ULL << (shift - 1))) >> shift, power_steps - 1);
}

void set_likelihoods(SuspectRow& row) {
  for (MappedEnd& end : row.ends) {
    for (std::size_t k = 0; k < power_steps; ++k) {
      end.likelihoods[k] = static_cast<float>(row_likelihood(row, end, power_at(k)));
    }
  }
}

double erring_likelihood(const SuspectRow& row) { return erring_share * erring(row.evidence); }

std::vector<SuspectRow> with_every(std::size_t step, std::vector<SuspectRow> rows) {
  for (SuspectRow& row : rows) {
    std::vector<MappedEnd> kept;
    kept.reserve(row.ends.size() / step + 1);
    for (std::size_t k = 0; k < row.ends.size(); k += step) kept.push_back(row.ends[k]);
    row.ends = std::move(kept);
  }
  return rows;
}

}  // namespace sim
