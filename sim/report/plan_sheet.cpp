#include <fmt/format.h>

#include <algorithm>

#include "sim/explain/wording.h"
#include "sim/report/cautions.h"
#include "sim/report/plan_files.h"
#include "sim/report/plan_map.h"
#include "sim/report/plan_words.h"
#include "sim/report/svg_text.h"

namespace sim {
namespace {

constexpr const char* style = R"(
@page { size: A4; margin: 10mm 12mm }
* { box-sizing: border-box }
body { font: 10.5pt/1.35 sans-serif; color: #1b1c20; max-width: 186mm; margin: 6mm auto; padding: 0 2mm }
h1 { font-size: 17pt; margin: 0 0 1mm } h2 { font-size: 12pt; margin: 3mm 0 1mm; break-after: avoid }
.lead-in { margin: 0 0 2mm }
.fields { display: flex; flex-wrap: wrap; gap: 2mm 6mm; margin: 3mm 0 }
.fields span { flex: 1 1 40mm; border-bottom: 1px solid #444; padding-top: 4mm; font-size: 9pt; color: #444 }
.cautions { border: 1.5pt solid #a33b00; padding: 2mm 4mm; margin: 3mm 0; break-inside: avoid }
.cautions ul { margin: 1mm 0; padding-left: 5mm }
svg { width: 100%; height: auto; border: 1px solid #999; display: block }
.paper { fill: #fbfaf6 } .house { fill: #d3d3d6; stroke: #777; stroke-width: .6 }
.street { fill: none; stroke: #b9b4a6; stroke-width: 1.4 }
.walk { fill: none; stroke: #00457a; stroke-width: 2; stroke-dasharray: 6 3; stroke-linejoin: round }
.sector { fill: #d55e00; fill-opacity: .18; stroke: #d55e00; stroke-width: .7 }
.node { fill: #d55e00; stroke: #fff; stroke-width: .8 }
.spot { fill: #0072b2; stroke: #fff; stroke-width: .8 } .past { fill: #fff; stroke: #0072b2; stroke-width: 1.6 }
.dark { fill: #1b1c20 } .lead { stroke: #444; stroke-width: .6; fill: none } .bar { fill: none; stroke: #1b1c20; stroke-width: 1.3 }
.number, .label { font: bold 10px sans-serif; fill: #1b1c20; paint-order: stroke; stroke: #fbfaf6; stroke-width: 2.6px }
.key { font-size: 9pt; margin: 1mm 0 0 }
.stop { border: 1px solid #777; margin: 2mm 0; break-inside: avoid; page-break-inside: avoid }
.stop header { background: #eceae2; padding: .8mm 3mm; display: flex; gap: 4mm; align-items: baseline }
.stop header b { font-size: 13pt } .stop header em { margin-left: auto; font-size: 9pt }
.stop dl { margin: 1mm 3mm; display: grid; grid-template-columns: 22mm 1fr; gap: .2mm 2mm; font-size: 9pt; line-height: 1.25 }
.stop dt { color: #555 } .stop dd { margin: 0 }
table { border-collapse: collapse; width: 100%; font-size: 8.5pt } th, td { border: 1px solid #999; height: 5.1mm; padding: 0 1mm; text-align: left; font-weight: normal }
th { background: #f6f5ef; height: auto } th:first-child, td:first-child { width: 8mm }
.warn { color: #8a3000; font-weight: bold }
.small { font-size: 9pt } .small li { margin: .5mm 0 }
@media print { body { margin: 0; max-width: none } }
)";

std::string row(const std::string& name, const std::string& value, const char* mark = "") {
  if (value.empty()) return "";
  return "<dt>" + name + "</dt><dd" + mark + ">" + markup_text(value) + "</dd>";
}

std::string blanks(std::size_t repeats) {
  constexpr std::size_t most_rows = 12;  // what a card holds; to_fill.csv has a row for each
  std::string text =
      "<table><thead><tr><th>#</th><th>time</th><th>RSRP dBm</th><th>SINR dB</th><th>down "
      "Mbit/s</th><th>up Mbit/s</th><th>latency ms</th><th>link y/n</th><th>note</th></tr></thead>"
      "<tbody>";
  for (std::size_t i = 1; i <= std::min(repeats, most_rows); ++i) {
    text += fmt::format("<tr><td>{}</td>", i) +
            "<td></td><td></td><td></td><td></td><td></td>"
            "<td></td><td></td><td></td></tr>";
  }
  return text + "</tbody></table>";
}

std::string stop(const Scene& scene, const PlannedPosition& p, LengthUnits units) {
  std::string text = "<section class=\"stop\"><header><b>" + p.id + "</b><span>" +
                     markup_text(kind_text(p.kind)) +
                     (p.partner.empty() ? "" : ", pair with " + p.partner) + "</span><em>" +
                     markup_text(scene.nodes[p.at.node].id) + "</em></header><dl>";
  text += row("where", place_text(scene, p, units));
  text += row("landmark", p.landmark);
  text +=
      row("turn", facing_text(p) +
                      (p.at.context == ReceiverContext::in_vehicle ? ", seated in the car" : ""));
  text += row("expect", expected_text(p));
  text += row("stay put", margin_text(scene, p, units));
  text += row("readings", fmt::format("{}; {}", p.repeats, p.repeats_why));
  text += row("why here", p.why);
  if (p.at.stand.placed_by == "default") {
    text +=
        row("mind", "the kerb is where a street of this class usually has it: look where it is");
  }
  text += row("mind", p.note, " class=\"warn\"");
  return text + "</dl>" + blanks(p.repeats) + "</section>\n";
}

}  // namespace

std::string plan_sheet(const Scene& scene, const Plan& plan, const Stamp& stamp,
                       LengthUnits units) {
  const std::string title = markup_text(stamp.site_name) + ": field sheet";
  std::string text =
      "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
      "content=\"width=device-width, initial-scale=1\"><title>" +
      title + "</title><style>" + style + "</style></head><body>\n<h1>" + title + "</h1>\n";
  text += "<p class=\"lead-in\">" + markup_text(plan_sentence(plan, units));
  if (plan.chosen_from > 0) {
    text += fmt::format(" These are the {} that tell most, of {} possible ones.",
                        plan.positions.size(), plan.chosen_from);
  }
  text +=
      "</p>\n<div class=\"fields\"><span>tester</span><span>date</span><span>phone and "
      "software</span><span>weather, leaves</span></div>\n";
  text += "<div class=\"cautions\"><ul>";
  for (const std::string_view caution : cautions) {
    text += "<li>" + markup_text(std::string(caution)) + "</li>";
  }
  text +=
      "<li>The walk on the map follows the middle of the streets: you walk on the footway, cross "
      "where it is safe, and pass by a position that is not safe or not public.</li></ul></div>\n";
  text += plan_map_svg(scene, plan, 700.0, units);
  text +=
      "<p class=\"key\">Blue: in sight of the node. Ring: past the edge. Black: out of sight, a "
      "control. Triangle: node, with its sectors. Dashes: the walk.</p>\n";
  text +=
      "<p class=\"small\">Expect: the middle of the prediction, and in brackets what two readings "
      "in three should lie between, for a phone that faces the node. Write what you read into "
      "to_fill.csv and name it in a [[survey]]; kerbray explain then says why each is as it "
      "is.</p>\n";
  text += "<h2>Positions in walking order</h2>\n";
  for (const PlannedPosition& p : plan.positions) text += stop(scene, p, units);
  const std::vector<std::string> gaps = gap_sentences(scene, plan, 12);
  if (!gaps.empty()) {
    text += "<h2>What is not planned, and why</h2><ul class=\"small\">";
    for (const std::string& sentence : gaps) text += "<li>" + markup_text(sentence) + "</li>";
    text += "</ul>\n";
  }
  std::string credits;
  for (const std::string& one : stamp.credits) credits += ". " + one;
  return text + "<p class=\"small\">kerbray " + markup_text(stamp.version + credits) +
         "</p>\n</body></html>\n";
}

}  // namespace sim
