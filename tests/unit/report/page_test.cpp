// Pages and drawings, read by foreign tools.
#include "sim/report/page.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdio>
#include <fstream>

#include "sim/report/chart.h"
#include "sim/report/svg_text.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

// openssl prints the digest that a browser computes (W3C Content Security Policy 3, section 2.3.1,
// from memory); a style that was changed without its digest would be refused by the browser.
TEST(Page, AllowsItsOwnStyleAndNoOther) {
  const std::string file = (own_folder() / "style.css").string();
  std::ofstream(file, std::ios::binary) << page_style();
  const std::string command =
      "sha256sum '" + file +
      "' | cut -c1-64 | sed 's/../\\\\x&/g' | xargs -0 printf '%b' | head -c 32 | base64";
  std::FILE* pipe = popen(command.c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  char text[128] = {};
  ASSERT_NE(std::fgets(text, sizeof text, pipe), nullptr);
  pclose(pipe);
  std::string digest = text;
  digest.erase(digest.find_last_not_of('\n') + 1);
  EXPECT_EQ(digest, page_style_sha256());
  const std::string page = page_around("a < b", "<p>body</p>\n");
  EXPECT_THAT(page, testing::HasSubstr("default-src 'none'; style-src 'sha256-" + digest + "'"));
  EXPECT_THAT(page, testing::HasSubstr("<title>a &lt; b</title>"));
  EXPECT_THAT(page, testing::Not(testing::HasSubstr("<script")));
}

TEST(Page, WordsOfPeopleAreNoMarkup) {
  const std::string table = table_markup({"<b>", {"a&b"}, {{"<script>alert(1)</script>"}}, 1});
  EXPECT_THAT(table, testing::HasSubstr("&lt;script&gt;"));
  EXPECT_THAT(table, testing::Not(testing::HasSubstr("<script>")));
  EXPECT_EQ(markup_text(std::string("a\x01") + "\"b"), "a &quot;b");
}

TEST(Drawing, InAPageSharesNoIdAndForbidsNoStyle) {
  RowsChart chart{.x_title = "metres", .values_are = "a", .bands_are = "b", .rows = {}};
  chart.rows.push_back({.words = "first", .value = ChartValue{1.0, 0.0, 0.5, 1.5}, .band = {}});
  const std::string drawing = rows_chart_svg(chart);
  const std::string svg = inline_svg(drawing, "f1-", "title", "what & how");
  EXPECT_THAT(svg, testing::StartsWith("<svg"));
  EXPECT_THAT(svg, testing::Not(testing::HasSubstr("style=\"")));
  EXPECT_THAT(svg, testing::Not(testing::HasSubstr("\"#glyph")));
  EXPECT_THAT(svg, testing::HasSubstr("\"#f1-glyph"));
  EXPECT_THAT(svg, testing::HasSubstr("currentColor"));
  EXPECT_THAT(svg, testing::HasSubstr("<desc>what &amp; how</desc>"));
  EXPECT_EQ(rows_chart_svg(chart).size(), drawing.size());
}

TEST(Chart, TicksAreRound) {
  EXPECT_THAT(round_ticks(0.0, 300.0, 8), testing::ElementsAre(0, 50, 100, 150, 200, 250, 300));
  EXPECT_THAT(round_ticks(-103.0, -61.0, 5), testing::ElementsAre(-100, -90, -80, -70));
  EXPECT_EQ(round_ticks(5.0, 5.0, 5).size(), 1U);
}

// Okabe and Ito's colours are told apart by the colour-blind (jfly.uni-koeln.de, from memory);
// shape tells them apart for everybody, and beyond six groups a mark is hollow.
TEST(Chart, MarksDifferInShapeToo) {
  for (std::size_t a = 0; a < 12; ++a) {
    for (std::size_t b = a + 1; b < 12; ++b) {
      const MarkStyle x = mark_style(a), y = mark_style(b);
      EXPECT_TRUE(x.shape != y.shape || x.hollow != y.hollow) << a << " " << b;
    }
  }
}

}  // namespace
}  // namespace sim
