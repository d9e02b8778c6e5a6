#include <fmt/format.h>

#include <cmath>

#include "sim/explain/wording.h"
#include "sim/report/cautions.h"
#include "sim/report/compare_charts.h"
#include "sim/report/compare_files.h"
#include "sim/report/compare_sentences.h"
#include "sim/report/compare_tables.h"
#include "sim/report/page.h"
#include "sim/report/svg_text.h"

namespace sim {
namespace {

std::string paragraph(const std::string& words) { return "<p>" + markup_text(words) + "</p>\n"; }

std::string heading(const std::string& words) { return "<h2>" + markup_text(words) + "</h2>\n"; }

std::string verdicts(const Comparison& c, LengthUnits units) {
  std::string text;
  const std::vector<std::string> differences = contrast_sentences(c);
  if (!differences.empty()) {
    text += heading("What differs") + list_markup(differences, "verdicts");
  }
  text += heading("Each by itself") + list_markup(group_sentences(c, units), "verdicts");
  const std::vector<std::string> agreement = agreement_sentences(c);
  if (!agreement.empty()) {
    text += heading("Predicted against measured") + list_markup(agreement, "verdicts");
  }
  return text;
}

std::string warnings(const Comparison& c) {
  std::vector<std::string> texts;
  texts.reserve(c.warnings.size());
  for (const CompareWarning& w : c.warnings) texts.push_back(w.text);
  return list_markup(texts, "warnings");
}

std::string figures(const Comparison& c) {
  std::string text;
  std::size_t number = 0;
  for (const NamedChart& chart : compare_charts(c)) {
    text += fmt::format(
        "<figure>\n{}<figcaption>{} ({}.svg). {}</figcaption>\n</figure>\n",
        inline_svg(chart.drawing, fmt::format("f{}-", ++number), chart.title, chart.description),
        markup_text(chart.title), chart.name, markup_text(chart.description));
  }
  return text.empty() ? "" : heading("Pictures") + text;
}

std::string method(const Comparison& c) {
  const CompareSettings& s = c.settings;
  return heading("How this was worked out") +
         list_markup(
             {fmt::format(
                  "Distance: level, from the node that serves the place on the map, in bins "
                  "of {:g} m that all groups share; where the surveys name it themselves, "
                  "theirs.",
                  s.bin_m),
              ("In line of sight: the direct ray is clear on the map, and so is 60 % of the first "
               "Fresnel zone. The map may miss things."),
              fmt::format(
                  "Sample: rows of one walk that follow each other within {:g} m, at one "
                  "distance, sight and way of holding, are one stretch and count once, with "
                  "their median: shadowing forgets itself over some 10 m (TR 38.901 section "
                  "7.5). Rows at one place on one visit are one stretch too.",
                  s.stretch_m),
              ("Rates and latency are those of rows that had the link; how often there was one is "
               "told apart."),
              fmt::format("Interval of a median: percentile bootstrap of the stretches (Efron "
                          "1979). Fewer than {} cannot give {:.0f} %: between the least and the "
                          "largest of n values lies the median with probability 1 - 2 / 2^n.",
                          least_bootstrap_values, 100.0 * s.bootstrap.share),
              "Interval of a share: Wilson's score interval (1927), of the stretches.",
              ("Difference: within each distance bin, sight and way of holding, then together, "
               "weighted by n1 n2 / (n1 + n2). Of medians by the bootstrap where both sides have "
               "enough in a bin, else of means by Student's t as Welch has it, with the variances "
               "pooled over the bins; of shares from the score intervals (Newcombe 1998). It is "
               "said to be there only when the interval excludes zero."),
              fmt::format("Edge: logistic regression of holding on distance with Firth's penalty "
                          "(1993), its interval by the bootstrap of the stretches. A measured edge "
                          "takes {} stretches that held and {} that did not (Vittinghoff and "
                          "McCulloch 2007, from memory). An edge is not told beyond the farthest "
                          "place asked.",
                          s.least_edge_outcomes, s.least_edge_outcomes),
              ("Predictions are of all places of the streets (or of the map, without streets) "
               "within "
               "the radius: they have a spread, and no interval of sampling. Their edge is the "
               "farthest place at which the share that holds, pooled so that it falls (Ayer 1955), "
               "is still as large; places that a sector's edge takes are left out of it."),
              "Correlation: Pearson's, with Fisher's interval (1921)."},
             "method");
}

}  // namespace

std::string compare_page(const Comparison& c, const Stamp& stamp, LengthUnits units) {
  std::string title, list;
  for (std::size_t g = 0; g < c.groups.size() && g < 4; ++g) {
    list += (g == 0 ? "" : ", ") + c.groups[g].label;
  }
  if (c.groups.size() > 4) list += fmt::format(" and {} more", c.groups.size() - 4);
  title = "Side by side: " + list;
  std::string body = "<h1>" + markup_text(title) + "</h1>\n";
  body += fmt::format("<p class=\"under\">Compared by {}; {} rows of {} site{}. kerbray {}.</p>\n",
                      markup_text(c.by), c.rows, c.sites.size(), c.sites.size() == 1 ? "" : "s",
                      markup_text(stamp.version));
  body += warnings(c);
  body += verdicts(c, units);
  body += heading("In numbers") + table_markup(groups_table(c, units));
  const PageTable edges = edges_table(c, units);
  if (!edges.rows.empty()) body += table_markup(edges);
  body += figures(c);
  const PageTable differences = differences_table(c);
  body += heading("Tables");
  if (!differences.rows.empty()) body += table_markup(differences);
  const PageTable bins = bins_table(c, units);
  if (!bins.rows.empty()) body += table_markup(bins);
  const PageTable held = situations_table(c);
  if (!held.rows.empty()) body += table_markup(held);
  body += paragraph(
      "Every number is in compare.csv, groups.csv, edges.csv, differences.csv and "
      "summary.json beside this page.");
  body += method(c);
  std::vector<std::string> careful(cautions.begin(), cautions.end());
  body += heading("Cautions") + list_markup(careful, "cautions");
  return page_around(title, body);
}

}  // namespace sim
