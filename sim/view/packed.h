// Many numbers in a JSON document: a zlib stream in base64.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

#include "sim/report/summary_parts.h"

namespace sim {

/// {"type": "i16", "count": n, "data": base64 of a zlib stream (RFC 1950) of little-endian values}.
Json packed(std::span<const std::uint8_t> values);
Json packed(std::span<const std::uint16_t> values);
Json packed(std::span<const std::int16_t> values);
Json packed(std::span<const std::uint32_t> values);
Json packed(std::span<const float> values);

/// The same of bytes that are already little-endian values of a type.
Json packed_bytes(std::string_view type, std::span<const std::uint8_t> bytes,
                  std::size_t bytes_each);

}  // namespace sim
