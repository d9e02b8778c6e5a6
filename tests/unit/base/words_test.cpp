#include "sim/base/words.h"

#include <gtest/gtest.h>

namespace sim {
namespace {

TEST(Words, InLowerCase) {
  EXPECT_EQ(lower("RSRP_dBm 5G"), "rsrp_dbm 5g");
  EXPECT_EQ(lower("Größe"), "größe");  // bytes beyond ASCII stay
}

TEST(Words, WithoutBlanksAround) {
  EXPECT_EQ(trimmed(" \t a b\r\n"), "a b");
  EXPECT_EQ(trimmed("  \r\n"), "");
  EXPECT_EQ(trimmed(""), "");
}

}  // namespace
}  // namespace sim
