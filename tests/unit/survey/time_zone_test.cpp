// Zones by name against the rules in law: Directive 2000/84/EC (summer time begins and ends at
// 01:00 UTC on the last Sundays of March and October), 15 U.S.C. 260a as of 2007 (02:00 local,
// second Sunday of March and first of November).
#include "sim/survey/time_zone.h"

#include <gtest/gtest.h>

#include "sim/survey/survey_time.h"

namespace sim {
namespace {

double clock(const char* text) { return written_time(text)->seconds; }

TEST(TimeZone, SummerTimeOfTheUnionAndOfTheStates) {
  const auto lisbon = TimeZone::find("Europe/Lisbon"), chicago = TimeZone::find("America/Chicago");
  ASSERT_TRUE(lisbon && chicago);
  // The last Sunday of March 2026 is the 29th, the second is the 8th.
  EXPECT_EQ(lisbon->at(clock("2026-03-29T00:59:59")).seconds, 0.0);
  EXPECT_EQ(lisbon->at(clock("2026-03-29T02:00:01")).seconds, 3600.0);
  EXPECT_EQ(chicago->at(clock("2026-03-08T01:59:59")).seconds, -6.0 * 3600.0);
  EXPECT_EQ(chicago->at(clock("2026-03-08T03:00:01")).seconds, -5.0 * 3600.0);
}

TEST(TimeZone, HoursShownTwiceAndNeverAreMarked) {
  const auto lisbon = TimeZone::find("Europe/Lisbon");
  // 25 October 2026: at 02:00 summer time the clocks go back to 01:00.
  const TimeZone::Offset twice = lisbon->at(clock("2026-10-25T01:30:00"));
  EXPECT_TRUE(twice.shown_twice);
  EXPECT_EQ(twice.seconds, 3600.0) << "the earlier one is summer time";
  EXPECT_FALSE(lisbon->at(clock("2026-10-25T02:30:00")).shown_twice);
  EXPECT_TRUE(lisbon->at(clock("2026-03-29T01:30:00")).skipped);
}

TEST(TimeZone, OffsetsAreFixed) {
  EXPECT_EQ(TimeZone::find("+05:30")->at(0.0).seconds, 19800.0);
  EXPECT_EQ(TimeZone::find("Z")->at(1e9).seconds, 0.0);
}

TEST(TimeZone, OtherWordsAreNoZone) {
  for (const char* name : {"CST", "Europe/Quillmere", "Lisbon", "/"}) {
    EXPECT_FALSE(TimeZone::find(name)) << name;
  }
  EXPECT_EQ(TimeZone::nearest("Europe/Lisbonn"), "Europe/Lisbon");
}

}  // namespace
}  // namespace sim
