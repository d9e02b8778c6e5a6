// A prediction as the page reads it: small whole numbers, row by row from the south-west.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "sim/predict/prediction.h"

namespace sim {

/// One band of `Bands` in tools/viewer/src/answers.ts: little-endian values.
struct CodedBand {
  std::string name;
  std::string_view type;  ///< u8, u16, i16 or u32
  std::size_t bytes_each = 1;
  std::vector<std::uint8_t> bytes;
  std::size_t count() const { return bytes.size() / bytes_each; }
};

/// What stands for a missing value.
inline constexpr std::uint8_t missing_u8 = 255;
inline constexpr std::uint16_t missing_u16 = 65535;
inline constexpr std::int16_t missing_i16 = -32768;

/// A number in steps of 1/steps_per_unit, held within what the type can say; NaN is missing.
std::uint8_t encode_u8(float value, float steps_per_unit) noexcept;
std::uint16_t encode_u16(float value, float steps_per_unit) noexcept;
std::int16_t encode_i16(float value, float steps_per_unit) noexcept;

/// All bands of `Bands`, in its order. Things are named by their ObstacleId, none is no_obstacle;
/// cells that nothing reaches are missing in every band but `best_sector`, where they are 0.
std::vector<CodedBand> coded_bands(const PredictionGrid& grid);

/// `GridSpec` of the page: the south-western cell's centre in scene axes.
struct PageGrid {
  double x0_m = 0.0, y0_m = 0.0, step_m = 1.0;
  int columns = 0, rows = 0;
};
PageGrid page_grid(const GridSpec& spec, const SceneFrame& frame);

/// The names of `causes`, by the code of the band `cause`.
std::vector<std::string> cause_names();

}  // namespace sim
