// `kerbray report` on the demo town: the page and what stands beside it.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "sim/gis/csv_file.h"
#include "tests/scenes/demo_prediction.h"

namespace sim {
namespace {

using Json = nlohmann::json;
using testing::HasSubstr;

struct Report {
  fs::path out = fresh("report");
  test::Run run;
  std::string page;
  Json answers;
  explicit Report(const std::string& options) {
    run = test::run_program(scenes / "demo_hill_town",
                            "report . -o '" + out.string() + "' " + options);
    page = test::text_of(out / "report.html");
    const std::string start = R"(<script type="application/json" id="answers">)";
    const auto from = page.find(start) + start.size();
    answers = Json::parse(page.substr(from, page.find("</script>", from) - from), nullptr, false);
  }
};

const fs::path& three_points() {
  static const fs::path file = [] {
    const fs::path csv = own_folder() / "three.csv";
    std::ofstream(csv) << "id,lon,lat\none,-32.2951253,40.3786534\n"
                          "two,-32.2940,40.3787\nthree,-32.2930,40.3788\n";
    return csv;
  }();
  return file;
}

const Report& demo() {
  static const Report once("--at '" + three_points().string() + "'");
  return once;
}

TEST(ReportCommand, WritesThePageAndPicturesForArticles) {
  ASSERT_EQ(demo().run.exit_code, 0) << demo().run.err;
  ASSERT_FALSE(demo().answers.is_discarded());
  for (const char* file : {"report.html", "map.png", "map.pgw", "explained.csv", "receivers.csv",
                           "downlink_by_distance.svg", "level_by_distance.svg"}) {
    EXPECT_TRUE(fs::exists(demo().out / file)) << file;
  }
  EXPECT_THAT(demo().run.out, HasSubstr("Holds to"));
}

// The same text in the page and in the file: nobody has to wonder which is right.
TEST(ReportCommand, LedgersCarryTheRowsOfReceiversCsv) {
  const CsvTable rows = read_csv((demo().out / "receivers.csv").string());
  std::size_t row = 0;
  for (const Json& point : demo().answers["points"]) {
    if (point["kind"] != "asked") continue;
    ASSERT_LT(row, rows.rows.size());
    const Json& cells = point["ledger"]["row"];
    ASSERT_EQ(cells.size(), rows.header.size());
    for (std::size_t c = 0; c < rows.header.size(); ++c) {
      EXPECT_EQ(cells[rows.header[c]], rows.rows[row][c]) << rows.header[c];
    }
    ++row;
  }
  EXPECT_EQ(row, rows.rows.size());
  EXPECT_GE(row, 3U);
}

TEST(ReportCommand, MeasuredPointsAreThoseOfExplainedCsv) {
  const CsvTable rows = read_csv((demo().out / "explained.csv").string());
  std::size_t row = 0;
  for (const Json& point : demo().answers["points"]) {
    if (point["kind"] != "measured") continue;
    ASSERT_LT(row, rows.rows.size());
    EXPECT_EQ(point["cause"], rows.rows[row][*rows.column("cause")]);
    EXPECT_EQ(point["sentence"]["metric"], rows.rows[row][*rows.column("sentence")]);
    ++row;
  }
  EXPECT_EQ(row, rows.rows.size());
}

TEST(ReportCommand, AsksNothingOfANetworkAndTellsNoFolder) {
  const std::string& page = demo().page;
  // Nothing that a browser would fetch; addresses in sentences and XML names are not links.
  for (const char* fetch : {"src=\"http", "href=\"http", "@import", "url(http"}) {
    EXPECT_EQ(page.find(fetch), std::string::npos) << fetch;
  }
  EXPECT_NE(page.find("Content-Security-Policy"), std::string::npos);
  EXPECT_EQ(page.find(scenes.string()), std::string::npos);
}

TEST(ReportCommand, SameBytesAgain) {
  const Report one("--threads 1"), two("--threads 2");
  ASSERT_EQ(one.run.exit_code, 0) << one.run.err;
  EXPECT_TRUE(one.page == two.page) << "two megabytes differ";
}

}  // namespace
}  // namespace sim
