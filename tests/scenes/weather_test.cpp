// What the summary says of the air and the rain, against the Recommendations.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "sim/report/summary_parts.h"
#include "tests/places.h"

namespace sim {
namespace {

Json weather_at(double ghz, double rain_mm_per_h) {
  ImportedSite imported =
      import_site(read_site((std::filesystem::path(KERBRAY_SCENES) / "flat_ground").string()));
  imported.site.rain_mm_per_h = rain_mm_per_h;
  imported.nodes[0].sectors[0].frequency = Frequency::ghz(ghz);
  return weather_of(build_scene(imported, imported.report));
}

TEST(Weather, HardlyMattersAtStreetRangeBelow40GHz) {
  // P.676-13: 0.1017559602 dB/km at 28 GHz; P.838-3: 9.044 dB/km in 50 mm/h, horizontal.
  const Json weather = weather_at(28.0, 50.0);
  EXPECT_NEAR(weather["bands"][0]["air_db_per_200_m"], 0.0204, 0.001);
  EXPECT_NEAR(weather["bands"][0]["rain_db_per_200_m"], 1.809, 0.005);
  EXPECT_THAT(weather["sentence"].get<std::string>(),
              testing::HasSubstr("they hardly matter at street range"));
}

TEST(Weather, OxygenAt60GHzCounts) {
  // P.676-13: 14.7783 dB/km, 2.956 dB in 200 m.
  const Json weather = weather_at(60.0, 0.0);
  EXPECT_NEAR(weather["bands"][0]["air_db_per_200_m"], 2.956, 0.005);
  EXPECT_THAT(weather["sentence"].get<std::string>(), testing::HasSubstr("they count"));
}

}  // namespace
}  // namespace sim
