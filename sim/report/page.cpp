#include "sim/report/page.h"

#include <fmt/format.h>

#include "sim/report/svg_text.h"

namespace sim {

std::string_view page_style() {
  return R"(
:root { color-scheme: light dark; --ink: #1b1d22; --paper: #fcfbf7; --faint: #5b5f68; --line: #d5d2c8;
  --card: #ffffff; --warn: #8a4b00; --warn-paper: #fff4e0; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e9e7e1; --paper: #16181c; --faint: #a6a8ae; --line: #3a3d44; --card: #1e2126;
    --warn: #ffc46b; --warn-paper: #2f2512; } }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.2rem 1rem 3rem; max-width: 60rem; background: var(--paper);
  color: var(--ink); font: 1rem/1.5 system-ui, "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 1.5rem; line-height: 1.25; margin: 0 0 .3rem; }
h2 { font-size: 1.15rem; margin: 2rem 0 .6rem; border-bottom: 1px solid var(--line); padding-bottom: .2rem; }
p.under { color: var(--faint); margin: 0 0 1rem; }
ul.verdicts { padding-left: 1.2rem; } ul.verdicts li { margin: .35rem 0; }
ul.warnings { list-style: none; padding: .6rem .9rem; margin: 1rem 0; background: var(--warn-paper);
  border-left: 4px solid var(--warn); }
ul.warnings li { margin: .3rem 0; } ul.warnings li::before { content: "! "; font-weight: 700; color: var(--warn); }
figure { margin: 1rem 0; padding: .6rem; background: var(--card); border: 1px solid var(--line); overflow-x: auto; }
figure.table { background: none; border: 0; padding: 0; } figcaption { text-align: left; color: var(--faint); font-size: .9rem; padding: .2rem 0; }
svg.chart { display: block; width: 100%; min-width: 34rem; height: auto; color: var(--ink); }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-size: .88rem; font-variant-numeric: tabular-nums; }
th, td { padding: .25rem .6rem; text-align: left; vertical-align: top; min-width: 6.5em; border-bottom: 1px solid var(--line);
  overflow-wrap: normal; }
th { font-weight: 600; } td.number, th.number { text-align: right; white-space: nowrap; min-width: 0; }
ol, ul { padding-left: 1.4rem; }
@media print {
  :root { --ink: #000; --paper: #fff; --faint: #444; --line: #bbb; --card: #fff; --warn: #000; --warn-paper: #fff; }
  body { max-width: none; padding: 0; font-size: 10pt; }
  figure, tr, li { break-inside: avoid; } h2 { break-after: avoid; }
  figure, .wide { overflow: visible; } svg.chart { min-width: 0; } table { font-size: 8pt; }
}
)";
}

std::string_view page_style_sha256() { return "v1SVNfHOo1a9tSy3hwRIWfw4/Xhqg+wu3yCU1+nF2q4="; }

std::string page_around(const std::string& title, const std::string& body) {
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
      "'sha256-{}'; base-uri 'none'; form-action 'none'\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta name=\"referrer\" content=\"no-referrer\">\n<title>{}</title>\n<style>{}</style>\n"
      "</head>\n<body>\n{}</body>\n</html>\n",
      page_style_sha256(), markup_text(title), page_style(), body);
}

std::string table_markup(const PageTable& table) {
  const auto cell = [&](const std::string& over, std::size_t column, const std::string& words) {
    const bool number = column >= table.first_number && over.empty();
    return fmt::format("<td{}{}>{}</td>", over, number ? " class=\"number\"" : "",
                       markup_text(words));
  };
  std::string text = "<figure class=\"table\">\n<figcaption>" + markup_text(table.caption) +
                     "</figcaption>\n<div class=\"wide\"><table>\n<thead><tr>";
  for (std::size_t c = 0; c < table.header.size(); ++c) {
    const bool number = c >= table.first_number;
    text += fmt::format("<th scope=\"col\"{}>{}</th>", number ? " class=\"number\"" : "",
                        markup_text(table.header[c]));
  }
  text += "</tr></thead>\n<tbody>\n";
  for (const auto& row : table.rows) {
    text += "<tr>";
    for (std::size_t c = 0; c < row.size(); ++c) {
      const std::size_t left = table.header.size() - c;
      const bool over = c + 1 == row.size() && left > 1;
      text += cell(over ? fmt::format(" colspan=\"{}\"", left) : "", c, row[c]);
    }
    text += "</tr>\n";
  }
  return text + "</tbody></table></div>\n</figure>\n";
}

std::string list_markup(const std::vector<std::string>& items, const std::string& list_class) {
  if (items.empty()) return "";
  std::string text = "<ul class=\"" + list_class + "\">\n";
  for (const std::string& item : items) text += "<li>" + markup_text(item) + "</li>\n";
  return text + "</ul>\n";
}

}  // namespace sim
