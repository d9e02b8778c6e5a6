#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>

#include "sim/view/answers.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using testing::HasSubstr;
using testing::Not;

struct BuiltPage : testing::Test {
  TempFolder folder;
  BuiltPage() { setenv("KERBRAY_PAGE", folder.path().c_str(), 1); }
  ~BuiltPage() override { unsetenv("KERBRAY_PAGE"); }
  void built(const std::string& body) const {
    folder.write("report.html", "<html><title>kerbray</title>" + body + "</html>");
  }
};

TEST_F(BuiltPage, TakesTheDocumentAndTheTitle) {
  built(R"(<script type="application/json" id="answers">{}</script><p>after</p>)");
  const std::string page = report_page(R"({"site":"Tarn & Co"})", "Tarn & Co");
  EXPECT_THAT(page, HasSubstr(R"(id="answers">{"site":"Tarn & Co"}</script><p>after</p>)"));
  EXPECT_THAT(page, HasSubstr("<title>Tarn &amp; Co</title>"));
}

// A street may be called anything; none of it ends the block or starts a script.
TEST_F(BuiltPage, ANameCannotLeaveItsBlock) {
  built(R"(<script type="application/json" id="answers">{}</script>)");
  const std::string page =
      report_page(R"({"site":"</script><script>alert(1)</script><!--"})", "<b>");
  EXPECT_THAT(page, Not(HasSubstr("<script>alert")));
  EXPECT_THAT(page, Not(HasSubstr("<!--")));
  EXPECT_THAT(page, Not(HasSubstr("<b>")));
  EXPECT_THAT(page, HasSubstr("\\u003c/script>"));
}

TEST_F(BuiltPage, APageOfAnotherVersionIsRefused) {
  built("<p>no block</p>");
  EXPECT_THAT(refusal([] { report_page("{}", "t"); }), HasSubstr("build it anew"));
}

TEST_F(BuiltPage, AMissingPageSaysHowToMakeIt) {
  EXPECT_THAT(refusal([] { report_page("{}", "t"); }), HasSubstr("KERBRAY_VIEWER"));
}

}  // namespace
}  // namespace sim
