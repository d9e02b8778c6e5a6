#include <fstream>
#include <sstream>

#include "sim/report/svg_text.h"
#include "sim/view/answers.h"
#include "sim/view/page_files.h"

namespace sim {
namespace {

/// Puts text between two marks of the page; throws where the page has none, which is a page of
/// another version.
void put_between(std::string& page, const std::string& start, const std::string& end,
                 const std::string& text, const std::string& file) {
  const auto from = page.find(start);
  const auto to = from == std::string::npos ? from : page.find(end, from + start.size());
  if (to == std::string::npos) {
    throw InputError({file, "", -1}, "has no place for the answers (" + start + "); build it anew");
  }
  page.replace(from + start.size(), to - from - start.size(), text);
}

/// No '<' in a data block: nothing in it can end the block or begin a comment (HTML, 4.12.1.3,
/// from memory). JSON reads \u003c as the same letter.
std::string without_tags(const std::string& document) {
  std::string safe;
  safe.reserve(document.size() + document.size() / 64);
  for (const char c : document) {
    if (c == '<') {
      safe += "\\u003c";
    } else {
      safe += c;
    }
  }
  return safe;
}

}  // namespace

std::string report_page(const std::string& document, const std::string& title) {
  const std::string file = page_folder_with("report.html") + "/report.html";
  std::ostringstream in;
  in << std::ifstream(file, std::ios::binary).rdbuf();
  std::string page = in.str();
  put_between(page, "<title>", "</title>", markup_text(title), file);
  put_between(page, R"(<script type="application/json" id="answers">)", "</script>",
              without_tags(document), file);
  return page;
}

}  // namespace sim
