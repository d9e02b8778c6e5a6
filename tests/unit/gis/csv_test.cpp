#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/gis/csv_file.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::ElementsAre;
using testing::EndsWith;
using testing::HasSubstr;

class Csv : public testing::Test {
 protected:
  CsvTable table(const std::string& text) { return read_csv(folder_.write("t.csv", text)); }
  std::string refused(const std::string& text) {
    return refusal([&] { table(text); });
  }
  TempFolder folder_;
};

// Expected cells: RFC 4180 section 2, rules 1, 2, 5, 6 and 7, with its own examples.
TEST_F(Csv, ReadsTheExamplesOfRfc4180) {
  const CsvTable t = table(
      "one,two,three\r\n"
      "aaa,bbb,ccc\r\n"
      "\"aaa\",\"bbb\",\"ccc\"\r\n"
      "\"aaa\",\"b\r\nbb\",\"ccc\"\r\n"
      "\"aaa\",\"b\"\"bb\",\"ccc\"");
  EXPECT_THAT(t.header, ElementsAre("one", "two", "three"));
  EXPECT_THAT(t.rows, ElementsAre(ElementsAre("aaa", "bbb", "ccc"),      //
                                  ElementsAre("aaa", "bbb", "ccc"),      //
                                  ElementsAre("aaa", "b\r\nbb", "ccc"),  //
                                  ElementsAre("aaa", "b\"bb", "ccc")));
}

TEST_F(Csv, SeparatorsInsideQuotesDoNotSeparate) {
  EXPECT_THAT(table("id,note\n1,\"left, by the kerb; \twet\"\n").rows,
              ElementsAre(ElementsAre("1", "left, by the kerb; \twet")));
}

TEST_F(Csv, QuotedHeaderDoesNotDecideTheSeparator) {
  EXPECT_THAT(table("\"a;b;c\",d\n1,2\n").header, ElementsAre("a;b;c", "d"));
}

// Expected bytes: Unicode standard, the UTF-8 signature is EF BB BF and no part of the text.
TEST_F(Csv, ByteOrderMarkIsNoPartOfTheFirstName) {
  EXPECT_TRUE(table("\xEF\xBB\xBFlon,lat\n1,2\n").column("lon").has_value());
}

TEST_F(Csv, SemicolonsAllowDecimalCommas) {
  const CsvTable t = table("lon;lat;note\n24,9352;-60,1642;a, b\n");
  EXPECT_DOUBLE_EQ(number_at(t, 0, 0).value(), 24.9352);
  EXPECT_DOUBLE_EQ(number_at(t, 0, 1).value(), -60.1642);
  EXPECT_EQ(t.rows[0][2], "a, b") << "only numbers are touched";
}

TEST_F(Csv, TabsSeparateAndAllowDecimalCommas) {
  const CsvTable t = table("lon\tlat\n24,5\t60.25\n");
  EXPECT_DOUBLE_EQ(number_at(t, 0, 0).value(), 24.5);
  EXPECT_DOUBLE_EQ(number_at(t, 0, 1).value(), 60.25);
}

TEST_F(Csv, ThousandsWithDecimalCommaAreNoNumber) {
  const CsvTable t = table("x_m;y_m\n1.234,5;2\n");
  EXPECT_THAT(refusal([&] { number_at(t, 0, 0); }),
              HasSubstr("t.csv:1: x_m is '1.234,5', which is not a number"));
}

TEST_F(Csv, HeaderThatMixesSeparatorsEvenlyIsRefused) {
  EXPECT_THAT(refused("a;b,c\n1;2,3\n"), HasSubstr("mixes separators"));
  EXPECT_THAT(refused("a\tb;c\n"), HasSubstr("mixes separators"));
}

TEST_F(Csv, RarerSeparatorInTheHeaderBelongsToAName) {
  EXPECT_THAT(table("lon;lat;what, where\n1;2;3\n").header,
              ElementsAre("lon", "lat", "what, where"));
}

TEST_F(Csv, RaggedRowsAreRefusedByNumber) {
  EXPECT_THAT(refused("a,b,c\n1,2,3\n1,2\n"),
              EndsWith("t.csv:2: has 2 cells where the header has 3"));
  EXPECT_THAT(refused("a,b\n1,5,2\n"),
              HasSubstr("t.csv:1: has 3 cells where the header has 2; if its numbers have decimal "
                        "commas"));
}

TEST_F(Csv, EmptyCellsBeyondTheHeaderAreNoRaggedRow) {
  EXPECT_THAT(table("a,b\n1,2,,\n").rows, ElementsAre(ElementsAre("1", "2")));
}

TEST_F(Csv, BlankLinesAreNoRows) {
  EXPECT_THAT(table("a,b\n\n1,2\n\r\n3,4\n\n").rows,
              ElementsAre(ElementsAre("1", "2"), ElementsAre("3", "4")));
}

TEST_F(Csv, QuoteThatIsNeverClosedIsRefused) {
  // Otherwise the rest of the file would vanish into one cell.
  EXPECT_THAT(refused("id,note\n1,\"wet\n2,dry\n3,dry\n"),
              HasSubstr("t.csv:1: a quote opens in this row and is never closed"));
}

// Expected: ISO 8859-1 writes u-umlaut as the single byte FC, which UTF-8 never holds.
TEST_F(Csv, TextThatIsNotUtf8IsRefused) {
  EXPECT_THAT(refused("name\nM\xFChle\n"), HasSubstr("is not UTF-8 text"));
  EXPECT_THAT(refused(std::string("a,b\n1,\0\n", 8)), HasSubstr("is not UTF-8 text"));
}

TEST_F(Csv, RepeatedNameInTheHeaderIsRefused) {
  EXPECT_THAT(refused("lon,lat,Lon\n1,2,3\n"),
              EndsWith("t.csv:0: column 'Lon' appears twice in the header"));
}

TEST_F(Csv, EmptyOrMissingFileIsRefused) {
  EXPECT_THAT(refused(""), HasSubstr("is empty; it needs a header line"));
  EXPECT_THAT(refusal([&] { read_csv(folder_.file("none.csv")); }), HasSubstr("no such file"));
}

TEST_F(Csv, NumbersAreWholeCellsAndFinite) {
  const CsvTable t = table("a\n+3.5\n-1e3\n12 m\nnan\ninf\n0x10\n \n");
  EXPECT_DOUBLE_EQ(number_at(t, 0, 0).value(), 3.5);
  EXPECT_DOUBLE_EQ(number_at(t, 1, 0).value(), -1000.0);
  for (const std::size_t row : {2U, 3U, 4U, 5U}) {
    EXPECT_THAT(refusal([&] { number_at(t, row, 0); }), HasSubstr("which is not a number"));
  }
}

TEST_F(Csv, EmptyCellIsNoNumberAndNoError) {
  EXPECT_EQ(number_at(table("a,b\n,1\n"), 0, 0), std::nullopt);
}

TEST_F(Csv, ColumnsAreFoundWithoutCase) {
  const CsvTable t = table("Lon,LAT\n1,2\n");
  EXPECT_EQ(t.column("lat"), 1U);
  EXPECT_EQ(t.column("height"), std::nullopt);
}

// RFC 4180 section 2, rules 6 and 7, in the other direction.
TEST_F(Csv, WhatWeWriteIsReadBackAsItWas) {
  for (const std::string text : {"plain", "a,b", "say \"no\"", "two\nlines", ""}) {
    const CsvTable t = table("first,second\nx," + csv_field(text) + "\n");
    EXPECT_EQ(t.rows.at(0).at(1), text);
  }
  EXPECT_EQ(csv_field("plain"), "plain");
  EXPECT_EQ(csv_field("say \"no\""), "\"say \"\"no\"\"\"");
}

}  // namespace
}  // namespace sim
