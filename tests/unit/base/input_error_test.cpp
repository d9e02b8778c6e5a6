#include "sim/base/input_error.h"

#include <gtest/gtest.h>

namespace sim {
namespace {

TEST(SourceRef, NamesFileLayerAndRecord) {
  EXPECT_EQ(to_string(SourceRef{"poles.gpkg", "poles", 42}), "poles.gpkg:poles:42");
  EXPECT_EQ(to_string(SourceRef{"walk.csv", "", 3}), "walk.csv:3");
  EXPECT_EQ(to_string(SourceRef{"site.toml", "", -1}), "site.toml");
}

TEST(InputError, SaysWhereThenWhat) {
  const InputError error(SourceRef{"walk.csv", "", 3}, "rsrp_dbm is 'n/a'");
  EXPECT_STREQ(error.what(), "walk.csv:3: rsrp_dbm is 'n/a'");
  EXPECT_STREQ(InputError({}, "no site file").what(), "no site file");
}

}  // namespace
}  // namespace sim
