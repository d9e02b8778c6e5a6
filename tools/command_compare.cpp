#include <fmt/format.h>

#include <map>
#include <memory>
#include <set>

#include "sim/compare/gather.h"
#include "sim/report/compare_charts.h"
#include "sim/report/compare_files.h"
#include "sim/report/compare_sentences.h"
#include "sim/report/output_folder.h"
#include "sim/report/svg_text.h"
#include "tools/commands.h"
#include "tools/site_run.h"

namespace kerbray {
namespace {

struct CompareArguments {
  std::vector<std::string> sites;
  std::string folder, by = "site", distance_column;
  double bin_m = 0.0;  ///< 0 = assets/defaults.csv
};

/// Two sites of one name are told apart by what was written on the command line.
std::string name_among(const std::string& name, const std::string& written,
                       std::set<std::string>& taken) {
  std::string unique = name.empty() ? written : name;
  if (taken.contains(unique)) unique += " (" + written + ")";
  for (int again = 2; taken.contains(unique); ++again) {
    unique = fmt::format("{} ({}, {})", name, written, again);
  }
  taken.insert(unique);
  return unique;
}

sim::ComparedSite gather(const Session& session, const CompareArguments& arguments,
                         const std::string& site, std::set<std::string>& names,
                         std::unique_ptr<SiteRun>& run) {
  run = open_site(session, site);
  const sim::Survey survey = sim::read_surveys(run->imported);
  const sim::LinkSettings settings = sim::link_settings(run->scene);
  const auto grouping = sim::Grouping::from(arguments.by);
  run->options.progress = progress_line(session, "predicting");
  return sim::gather_site(*run->caster, run->imported, survey, settings,
                          {.grouping = grouping,
                           .site_name = name_among(run->stamp.site_name, site, names),
                           .many_sites = arguments.sites.size() > 1,
                           .distance_column = arguments.distance_column,
                           .predict = run->options});
}

int run_compare(const Session& session, const CompareArguments& arguments) {
  sim::OutputFolder output(arguments.folder, session.overwrite);
  std::vector<sim::ComparedSite> sites;
  std::set<std::string> names;
  sim::Defaults defaults;
  sim::Stamp stamp;
  for (const std::string& site : arguments.sites) {
    std::unique_ptr<SiteRun> run;  // one scene at a time: cities are large
    sites.push_back(gather(session, arguments, site, names, run));
    if (sites.size() == 1) defaults = run->scene.conditions.defaults;
    stamp = {.version = run->stamp.version, .site_name = ""};
  }
  sim::CompareSettings settings = sim::compare_settings(defaults);
  if (arguments.bin_m > 0.0) settings.bin_m = arguments.bin_m;
  const sim::Comparison comparison = sim::compare(std::move(sites), arguments.by, settings);
  if (comparison.groups.empty()) {
    throw sim::InputError({arguments.sites.front(), "", -1},
                          "--by " + arguments.by +
                              ": no row says to which it belongs, so there is nothing to compare; "
                              "name a column of the surveys that has values, or site or node");
  }
  sim::write_compare_csv(output.file("compare.csv"), comparison);
  sim::write_groups_csv(output.file("groups.csv"), comparison);
  sim::write_edges_csv(output.file("edges.csv"), comparison);
  sim::write_differences_csv(output.file("differences.csv"), comparison);
  for (const sim::NamedChart& chart : sim::compare_charts(comparison)) {
    sim::write_text(output.file(chart.name + ".svg"),
                    sim::standing_svg(chart.drawing, chart.title, chart.description));
  }
  sim::write_text(output.file("compare.html"), sim::compare_page(comparison, stamp, session.units));
  const std::string json = sim::comparison_json(comparison, defaults, stamp, session.units);
  sim::write_text(output.file("summary.json"), json);
  output.commit();
  if (session.json) {
    fmt::print("{}", json);
  } else if (!session.quiet) {
    for (const std::string& s : sim::verdict_sentences(comparison, session.units)) {
      fmt::print("{}\n", s);
    }
  }
  for (const sim::CompareWarning& warning : comparison.warnings) say(session, warning.text);
  say(session, fmt::format("{} groups, {} rows; see {}/compare.html", comparison.groups.size(),
                           comparison.rows, arguments.folder));
  return exit_done;
}

}  // namespace

void add_compare(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<CompareArguments>();
  CLI::App* command = add_command(app, session, "compare",
                                  "Set sites, nodes, dates, runs or operators side by side",
                                  "kerbray compare my_street other_street -o compared\n"
                                  "  kerbray compare my_street --by date -o compared");
  command->add_option("sites", arguments->sites, "Site files, or folders that hold site.toml")
      ->type_name("SITE.toml...")
      ->required();
  add_output(*command, session, arguments->folder);
  add_units(*command, session);
  command
      ->add_option("--by", arguments->by,
                   "What to compare: site, node, date, run, survey, context, street, side, place, "
                   "note, or any column of the surveys")
      ->type_name("WORD")
      ->capture_default_str();
  command->add_option("--bin", arguments->bin_m, "Width of the distance bins [m]; 50 unless given")
      ->check(CLI::Range(5.0, 1000.0))
      ->type_name("METRES");
  command
      ->add_option("--distance", arguments->distance_column,
                   "Column of the surveys with the distance from the node, where rows have no "
                   "position")
      ->type_name("COLUMN");
  command->callback([&session, arguments] {
    session.run = [&session, arguments] { return run_compare(session, *arguments); };
  });
}

}  // namespace kerbray
