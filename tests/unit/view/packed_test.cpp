// Read back with GDAL's base64 and zlib's own inflate.
#include "sim/view/packed.h"

#include <cpl_string.h>
#include <gtest/gtest.h>
#include <zlib.h>

#include <cmath>
#include <cstring>
#include <numeric>

namespace sim {
namespace {

template <class Value>
std::vector<Value> unpacked(const Json& json) {
  std::string text = json["data"];
  text.push_back('\0');
  auto* bytes = reinterpret_cast<GByte*>(text.data());
  const int length = CPLBase64DecodeInPlace(bytes);
  std::vector<Value> values(json["count"].get<std::size_t>());
  uLongf size = values.size() * sizeof(Value);
  EXPECT_EQ(
      uncompress(reinterpret_cast<Bytef*>(values.data()), &size, bytes, static_cast<uLong>(length)),
      Z_OK);
  EXPECT_EQ(size, values.size() * sizeof(Value));
  return values;
}

template <class Value>
void comes_back(const std::vector<Value>& values, const std::string& type) {
  const Json json = packed(std::span<const Value>(values));
  EXPECT_EQ(json["type"], type);
  EXPECT_EQ(unpacked<Value>(json), values);
}

TEST(Packed, EveryTypeComesBack) {
  for (const std::size_t count : {1U, 2U, 3U, 4U, 1000U}) {
    std::vector<std::uint8_t> small(count);
    std::iota(small.begin(), small.end(), std::uint8_t{250});
    comes_back(small, "u8");
    std::vector<std::uint16_t> words(count);
    std::iota(words.begin(), words.end(), std::uint16_t{65530});
    comes_back(words, "u16");
    std::vector<std::int16_t> levels(count);
    std::iota(levels.begin(), levels.end(), std::int16_t{-32768});
    comes_back(levels, "i16");
    std::vector<std::uint32_t> things(count, 4294967295U);
    comes_back(things, "u32");
    std::vector<float> heights(count, -1.25F);
    comes_back(heights, "f32");
  }
}

TEST(Packed, NothingIsNothing) {
  EXPECT_TRUE(unpacked<float>(packed(std::span<const float>{})).empty());
}

TEST(Packed, NotANumberStaysOne) {
  const std::vector<float> heights{1.0F, std::nanf("")};
  const auto back = unpacked<float>(packed(std::span<const float>(heights)));
  EXPECT_EQ(back[0], 1.0F);
  EXPECT_TRUE(std::isnan(back[1]));
}

}  // namespace
}  // namespace sim
