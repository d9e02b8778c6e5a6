#include "sim/survey/survey_units.h"

#include <gtest/gtest.h>

namespace sim {
namespace {

using Kind = CellNumber::Kind;

// IEC 80000-13 (bit, byte, decimal prefixes), the international foot of 1959.
TEST(SurveyUnits, CellsMayNameTheirOwnUnit) {
  const auto rate = [](const char* cell) {
    return number_from_cell(cell, Quantity::rate, 1.0).value;
  };
  EXPECT_DOUBLE_EQ(rate("512"), 512.0);
  EXPECT_DOUBLE_EQ(rate("1.2 Gbps"), 1200.0);
  EXPECT_DOUBLE_EQ(rate("1.2Gbit/s"), 1200.0);
  EXPECT_DOUBLE_EQ(rate("800 kbps"), 0.8);
  EXPECT_DOUBLE_EQ(rate("30 Mbit/s"), 30.0);
  EXPECT_DOUBLE_EQ(rate("30 MB/s"), 240.0);
  EXPECT_DOUBLE_EQ(number_from_cell("120 ft", Quantity::length, 1.0).value, 36.576);
  EXPECT_DOUBLE_EQ(number_from_cell("39'6\"", Quantity::length, 1.0).value, 39.5 * 0.3048);
  EXPECT_DOUBLE_EQ(number_from_cell("0.1 mi", Quantity::length, 1.0).value, 160.9344);
  EXPECT_DOUBLE_EQ(number_from_cell("0.02 s", Quantity::delay, 1.0).value, 20.0);
  EXPECT_DOUBLE_EQ(number_from_cell("-95 dBm", Quantity::level, 1.0).value, -95.0);
}

TEST(SurveyUnits, UnitOfTheCellGoesBeforeThatOfTheHeader) {
  EXPECT_DOUBLE_EQ(number_from_cell("2", Quantity::rate, 1000.0).value, 2000.0);
  EXPECT_DOUBLE_EQ(number_from_cell("2 Mbps", Quantity::rate, 1000.0).value, 2.0);
}

TEST(SurveyUnits, UnitsOfOtherThingsAreNoNumber) {
  EXPECT_EQ(number_from_cell("12 ft", Quantity::rate, 1.0).kind, Kind::not_a_number);
  EXPECT_EQ(number_from_cell("12 Mbps", Quantity::level, 1.0).kind, Kind::not_a_number);
  EXPECT_EQ(number_from_cell("loud", Quantity::level, 1.0).kind, Kind::not_a_number);
  EXPECT_EQ(number_from_cell("1e999", Quantity::level, 1.0).kind, Kind::not_a_number);
}

// Android's CellInfo.UNAVAILABLE is Integer.MAX_VALUE = 2147483647 (its documentation, from
// memory).
TEST(SurveyUnits, WhatLogsWriteForNothingIsNoValue) {
  for (const char* cell : {"2147483647", "2147483647.0", "-2147483648", "9223372036854775807",
                           "null", "N/A", "NaN", "-", "--", "None", "inf"}) {
    EXPECT_EQ(number_from_cell(cell, Quantity::level, 1.0).kind, Kind::no_value) << cell;
  }
  EXPECT_EQ(number_from_cell("", Quantity::level, 1.0).kind, Kind::empty);
  EXPECT_EQ(number_from_cell("-1", Quantity::level, 1.0).kind, Kind::value);
}

TEST(SurveyUnits, HeadersFallIntoNameAndUnit) {
  const auto expect = [](const char* header, const char* name, const char* unit) {
    const HeaderWords words = header_words(header);
    EXPECT_EQ(words.name, name) << header;
    EXPECT_EQ(words.unit, unit) << header;
  };
  expect("Downlink (Gbps)", "downlink", "Gbps");
  expect("DL Throughput [Mbit/s]", "dl throughput", "Mbit/s");
  expect("rtt_in_ms", "rtt", "ms");
  expect("ss_rsrp_dBm", "ss rsrp", "dBm");
  expect("nr_ssRsrp", "nr ssrsrp", "");
  expect("time since start", "time since start", "");
  expect("m", "m", "");
}

}  // namespace
}  // namespace sim
