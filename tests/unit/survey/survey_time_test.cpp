#include "sim/survey/survey_time.h"

#include <gtest/gtest.h>

namespace sim {
namespace {

// POSIX, seconds since the epoch: 2026-05-01T10:00:00Z is 20574 days and 10 hours. 56 years from
// 1970 hold 14 leap days: 56 * 365 + 14 = 20454; January to April 2026: 120 days.
constexpr double ten_oclock_s = 20574.0 * 86400.0 + 36000.0;

TEST(SurveyTime, IsoFormsAreTheSameTime) {
  for (const char* text :
       {"2026-05-01T10:00:00Z", "2026-05-01 10:00:00", "2026-05-01T10:00", "2026/05/01 10:00:00+00",
        "2026-05-01T12:00:00+02:00", "2026-05-01T12:00:00+0200", "2026-05-01T04:30:00-05:30",
        "2026-05-01T15:30:00+0530", "2026-05-01T10:00:00.000Z"}) {
    EXPECT_EQ(time_from_text(text, 0.0), ten_oclock_s) << text;
  }
  EXPECT_EQ(time_from_text("2026-05-01T10:00:00.5Z", 0.0), ten_oclock_s + 0.5);
}

TEST(SurveyTime, ZoneOfTheSiteFileHoldsWhereTheTextHasNone) {
  EXPECT_EQ(time_from_text("2026-05-01 12:00:00", 7200.0), ten_oclock_s);
  EXPECT_EQ(time_from_text("2026-05-01T10:00:00Z", 7200.0), ten_oclock_s);
}

TEST(SurveyTime, BareNumbersAreSecondsOrMillisecondsOfTheEpoch) {
  EXPECT_EQ(time_from_text("1777629600", 0.0), ten_oclock_s);
  EXPECT_EQ(time_from_text("1777629600.25", 0.0), ten_oclock_s + 0.25);
  EXPECT_EQ(time_from_text("1777629600000", 0.0), ten_oclock_s);
  EXPECT_EQ(time_from_text("1777629600", 7200.0), ten_oclock_s) << "the epoch has no zone";
}

TEST(SurveyTime, DatesThatDoNotExistAreRefused) {
  EXPECT_FALSE(time_from_text("2026-02-30T10:00:00Z", 0.0));
  EXPECT_FALSE(time_from_text("2026-02-29T10:00:00Z", 0.0)) << "2026 is no leap year";
  EXPECT_TRUE(time_from_text("2028-02-29T10:00:00Z", 0.0));
  EXPECT_FALSE(time_from_text("2026-13-01T10:00:00Z", 0.0));
  EXPECT_FALSE(time_from_text("2026-00-01T10:00:00Z", 0.0));
}

TEST(SurveyTime, ClocksThatDoNotExistAreRefused) {
  EXPECT_FALSE(time_from_text("2026-05-01T25:00:00Z", 0.0));
  EXPECT_FALSE(time_from_text("2026-05-01T10:61:00Z", 0.0));
  EXPECT_FALSE(time_from_text("2026-05-01T24:30:00Z", 0.0));
  // ISO 8601: 24:00 is the end of the day.
  EXPECT_EQ(time_from_text("2026-04-30T24:00:00Z", 0.0), ten_oclock_s - 36000.0);
}

TEST(SurveyTime, OtherTextIsRefused) {
  for (const char* text :
       {"", "yesterday", "10:00:00", "2026-05-01", "5/1/2026 10:00", "2026-05/01 10:00:00",
        "2026-05-01T10:00:00 noon", "13:00 PM", "2026-05-01 13:00 PM", "2026-05-01 0:30 AM",
        "2026-05-01T10:00:00+2", "42", "20260501", "20260501100000", "nan"}) {
    EXPECT_FALSE(time_from_text(text, 0.0)) << text;
  }
}

TEST(SurveyTime, OtherOrdersOfTheDateAreReadWhenTheyAreKnown) {
  const auto of = [](const char* text, DateOrder order) {
    const auto written = written_time(text, order);
    return written ? std::optional(written->seconds) : std::nullopt;
  };
  EXPECT_EQ(of("01.05.2026 10:00:00", DateOrder::unknown), ten_oclock_s) << "points: day first";
  EXPECT_EQ(of("5/1/2026 10:00", DateOrder::month_first), ten_oclock_s);
  EXPECT_EQ(of("1/5/26, 10:00 AM", DateOrder::day_first), ten_oclock_s);
  EXPECT_EQ(of("5/1/2026 10:00 PM", DateOrder::month_first), ten_oclock_s + 43200.0);
  EXPECT_EQ(of("5/1/2026 12:00 am", DateOrder::month_first), ten_oclock_s - 36000.0);
  EXPECT_FALSE(of("31/2/2026 10:00", DateOrder::day_first));
  EXPECT_TRUE(written_time("2026-05-01 10:00:00 UTC")->utc);
  EXPECT_EQ(date_order({"1/5/2026 1:00", "13/5/2026 1:00"}), DateOrder::day_first);
  EXPECT_EQ(date_order({"13/5/2026 1:00", "5/13/2026 1:00"}), DateOrder::unknown);
}

TEST(SurveyTime, ZonesAreSignedHoursAndMinutes) {
  EXPECT_EQ(zone_offset_s("UTC"), 0.0);
  EXPECT_EQ(zone_offset_s("Z"), 0.0);
  EXPECT_EQ(zone_offset_s("+02:00"), 7200.0);
  EXPECT_EQ(zone_offset_s("-05:30"), -19800.0);
  EXPECT_EQ(zone_offset_s("+0545"), 20700.0);
  EXPECT_EQ(zone_offset_s("-03"), -10800.0);
  for (const char* zone : {"CET", "+25:00", "+02:60", "2", "+2h", "+02:00x", "+"}) {
    EXPECT_FALSE(zone_offset_s(zone)) << zone;
  }
}

TEST(SurveyTime, IsWrittenInUtcToTheSecond) {
  EXPECT_EQ(time_text(ten_oclock_s), "2026-05-01T10:00:00Z");
  EXPECT_EQ(time_text(ten_oclock_s + 59.999), "2026-05-01T10:00:59Z");
  EXPECT_EQ(time_text(0.0), "1970-01-01T00:00:00Z");
}

}  // namespace
}  // namespace sim
