#include "sim/view/packed.h"

#include <zlib.h>

#include <bit>
#include <boost/archive/iterators/base64_from_binary.hpp>
#include <boost/archive/iterators/transform_width.hpp>
#include <stdexcept>
#include <string>
#include <vector>

namespace sim {
namespace {

static_assert(std::endian::native == std::endian::little, "the page reads little-endian values");

std::vector<std::uint8_t> deflated(std::span<const std::uint8_t> bytes) {
  std::vector<std::uint8_t> out(compressBound(bytes.size()));
  uLongf size = out.size();
  constexpr int level = 6;
  if (compress2(out.data(), &size, bytes.data(), bytes.size(), level) != Z_OK) {
    throw std::runtime_error("zlib refuses to compress");
  }
  out.resize(size);
  return out;
}

std::string base64(const std::vector<std::uint8_t>& bytes) {
  using namespace boost::archive::iterators;
  using Letters = base64_from_binary<transform_width<const std::uint8_t*, 6, 8>>;
  std::string text(Letters(bytes.data()), Letters(bytes.data() + bytes.size()));
  while (text.size() % 4 != 0) text += '=';
  return text;
}

template <class Value>
Json packed_values(std::string_view type, std::span<const Value> values) {
  const auto* bytes = reinterpret_cast<const std::uint8_t*>(values.data());
  return packed_bytes(type, {bytes, values.size_bytes()}, sizeof(Value));
}

}  // namespace

Json packed_bytes(std::string_view type, std::span<const std::uint8_t> bytes,
                  std::size_t bytes_each) {
  return {{"type", type}, {"count", bytes.size() / bytes_each}, {"data", base64(deflated(bytes))}};
}

Json packed(std::span<const std::uint8_t> values) { return packed_bytes("u8", values, 1); }
Json packed(std::span<const std::uint16_t> values) { return packed_values("u16", values); }
Json packed(std::span<const std::int16_t> values) { return packed_values("i16", values); }
Json packed(std::span<const std::uint32_t> values) { return packed_values("u32", values); }
Json packed(std::span<const float> values) { return packed_values("f32", values); }

}  // namespace sim
