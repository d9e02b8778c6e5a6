#include "sim/view/band_codes.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <type_traits>

#include "sim/base/parallel.h"

namespace sim {
namespace {

static_assert(std::endian::native == std::endian::little, "bands are sent as they lie in memory");

constexpr float db_steps = 50.0F, p_steps = 200.0F, downlink_steps = 1.0F, uplink_steps = 10.0F;

/// Whole steps within [low, high]; the value is not NaN.
float whole_steps(float value, float steps_per_unit, float low, float high) noexcept {
  return std::clamp(std::floor(value * steps_per_unit + 0.5F), low, high);
}

template <class Code>
constexpr std::string_view type_word() {
  if constexpr (std::is_same_v<Code, std::uint8_t>) return "u8";
  if constexpr (std::is_same_v<Code, std::uint16_t>) return "u16";
  if constexpr (std::is_same_v<Code, std::int16_t>) return "i16";
  if constexpr (std::is_same_v<Code, std::uint32_t>) return "u32";
}

/// Writes of(i) of every cell, rows turned so that the first is the southernmost.
template <class Code, class Of>
CodedBand coded(const char* name, const GridSpec& spec, const Of& of) {
  CodedBand band{.name = name, .type = type_word<Code>(), .bytes_each = sizeof(Code), .bytes = {}};
  band.bytes.resize(spec.size() * sizeof(Code));
  const auto cols = static_cast<std::size_t>(spec.cols), rows = static_cast<std::size_t>(spec.rows);
  constexpr std::size_t block = 64;
  parallel_blocks(rows, block, [&](std::size_t begin, std::size_t end) {
    std::vector<Code> line(cols);
    for (std::size_t row = begin; row < end; ++row) {
      for (std::size_t col = 0; col < cols; ++col) line[col] = of(row * cols + col);
      std::memcpy(&band.bytes[(rows - 1 - row) * cols * sizeof(Code)], line.data(),
                  cols * sizeof(Code));
    }
  });
  return band;
}

}  // namespace

std::uint8_t encode_u8(float value, float steps_per_unit) noexcept {
  if (std::isnan(value)) return missing_u8;
  return static_cast<std::uint8_t>(whole_steps(value, steps_per_unit, 0.0F, 254.0F));
}

std::uint16_t encode_u16(float value, float steps_per_unit) noexcept {
  if (std::isnan(value)) return missing_u16;
  return static_cast<std::uint16_t>(whole_steps(value, steps_per_unit, 0.0F, 65534.0F));
}

std::int16_t encode_i16(float value, float steps_per_unit) noexcept {
  if (std::isnan(value)) return missing_i16;
  return static_cast<std::int16_t>(whole_steps(value, steps_per_unit, -32767.0F, 32767.0F));
}

std::vector<CodedBand> coded_bands(const PredictionGrid& grid) {
  std::vector<CodedBand> bands;
  if (grid.spec.size() == 0) return bands;
  const std::vector<float>& answered = grid.band("rsrp_dbm").values;
  const auto small = [&](const char* name, const char* of, float steps) {
    const std::vector<float>& values = grid.band(of).values;
    bands.push_back(coded<std::uint8_t>(
        name, grid.spec, [&](std::size_t i) { return encode_u8(values[i], steps); }));
  };
  const auto rate = [&](const char* name, float steps) {
    const std::vector<float>& values = grid.band(name).values;
    bands.push_back(coded<std::uint16_t>(
        name, grid.spec, [&](std::size_t i) { return encode_u16(values[i], steps); }));
  };
  const auto level = [&](const char* name) {
    const std::vector<float>& values = grid.band(name).values;
    bands.push_back(coded<std::int16_t>(
        name, grid.spec, [&](std::size_t i) { return encode_i16(values[i], db_steps); }));
  };
  const auto column = [&](const char* name, float LedgerOfCell::*member) {
    bands.push_back(coded<std::int16_t>(name, grid.spec, [&](std::size_t i) {
      return encode_i16(grid.ledger[i].*member, db_steps);
    }));
  };
  small("sight", "sight", 1.0F);
  small("state", "state", 1.0F);
  const std::vector<float>& sectors = grid.band("best_sector").values;
  bands.push_back(
      coded<std::uint16_t>("best_sector", grid.spec, [&](std::size_t i) -> std::uint16_t {
        return std::isnan(sectors[i]) ? std::uint16_t{0} : encode_u16(sectors[i], 1.0F);
      }));
  bands.push_back(coded<std::uint8_t>("cause", grid.spec, [&](std::size_t i) {
    return std::isnan(answered[i]) ? missing_u8 : grid.cause[i];
  }));
  bands.push_back(coded<std::uint32_t>("cause_thing", grid.spec,
                                       [&](std::size_t i) { return grid.cause_obstacle[i]; }));
  small("p_hold", "p_hold", p_steps);
  for (const char* name : {"rsrp_dbm", "snr_db", "path_loss_db"}) level(name);
  rate("downlink_mbps", downlink_steps);
  rate("uplink_mbps", uplink_steps);
  column("free_space_db", &LedgerOfCell::free_space_db);
  column("diffraction_db", &LedgerOfCell::diffraction_db);
  column("foliage_db", &LedgerOfCell::foliage_db);
  column("penetration_db", &LedgerOfCell::penetration_db);
  column("gas_rain_db", &LedgerOfCell::gas_rain_db);
  column("pattern_db", &LedgerOfCell::pattern_db);
  column("reflection_gain_db", &LedgerOfCell::reflection_gain_db);
  return bands;
}

PageGrid page_grid(const GridSpec& spec, const SceneFrame& frame) {
  return {.x0_m = spec.center_x_m(0) - frame.origin.x_m,
          .y0_m = spec.center_y_m(spec.rows - 1) - frame.origin.y_m,
          .step_m = spec.cell_x_m,
          .columns = spec.cols,
          .rows = spec.rows};
}

std::vector<std::string> cause_names() {
  std::vector<std::string> names;
  for (int i = 0; i <= static_cast<int>(Cause::position); ++i) {
    names.emplace_back(to_string(static_cast<Cause>(i)));
  }
  return names;
}

}  // namespace sim
