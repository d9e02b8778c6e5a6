#include <fmt/format.h>

#include <memory>
#include <set>

#include "sim/compare/gather.h"
#include "sim/report/explained_files.h"
#include "sim/report/output_folder.h"
#include "sim/report/street_charts.h"
#include "sim/report/svg_text.h"
#include "sim/view/answers.h"
#include "tools/asked_points.h"
#include "tools/commands.h"
#include "tools/site_run.h"

namespace kerbray {
namespace {

struct ReportArguments {
  std::string site, folder, points, by;
};

/// A page that a phone opens at once: beyond this many cells the grid is made coarser.
constexpr double most_cells = 300'000.0;

void coarsen(sim::PredictOptions& options, std::size_t nodes) {
  const auto cells = [&] {
    const double side = 2.0 * options.radius_m / options.spacing_m;
    return side * side * static_cast<double>(nodes);
  };
  while (cells() > most_cells) options.spacing_m *= 2.0;
}

/// Links in the middle of the drops: what their terms name is what the prediction rests on.
std::vector<sim::LinkResult> links_at(const SiteRun& run, const sim::LinkSettings& settings,
                                      const std::vector<sim::DropStretch>& drops) {
  constexpr std::size_t most = 50;
  std::vector<sim::LinkResult> links;
  for (const sim::DropStretch& drop : drops) {
    if (drop.line.empty() || links.size() >= most) continue;
    sim::Receiver receiver{.position = drop.line[drop.line.size() / 2]};
    receiver.position.z_m += run.options.receiver_height_agl_m;
    for (auto& link : sim::point_links(*run.caster, receiver, settings, run.options.radius_m)) {
      links.push_back(std::move(link));
    }
  }
  return links;
}

/// What a survey is set side by side by, where nobody asked: nodes, else its files.
std::string usual_grouping(const sim::Survey& survey) {
  std::set<std::string> nodes, files;
  for (const sim::Measurement& m : survey.measurements) {
    nodes.insert(m.node);
    files.insert(m.survey);
  }
  if (nodes.size() > 1) return "node";
  return files.size() > 1 ? "survey" : "";
}

std::optional<sim::Comparison> compared(const Session& session, const SiteRun& run,
                                        const sim::Survey& survey,
                                        const sim::LinkSettings& settings, const std::string& by) {
  if (by.empty()) return std::nullopt;
  sim::PredictOptions options = run.options;
  options.progress = progress_line(session, "comparing");
  sim::ComparedSite site = sim::gather_site(*run.caster, run.imported, survey, settings,
                                            {.grouping = sim::Grouping::from(by),
                                             .site_name = run.stamp.site_name,
                                             .many_sites = false,
                                             .distance_column = "",
                                             .predict = options});
  std::vector<sim::ComparedSite> sites;
  sites.push_back(std::move(site));
  sim::Comparison comparison =
      sim::compare(std::move(sites), by, sim::compare_settings(run.scene.conditions.defaults));
  if (comparison.groups.size() < 2) return std::nullopt;
  return comparison;
}

/// What the survey says of the nodes; too few rows for that are no failure of a report.
std::optional<sim::SurveyFit> fitted(const SiteRun& run, const sim::Survey& survey,
                                     std::string& why_not) {
  if (run.scene.nodes.empty()) return std::nullopt;
  sim::Scene scene = run.scene;  // the fit turns its nodes; the page shows the site as it is
  const sim::RayCaster caster(scene);
  try {
    return sim::fit_survey(scene, caster, survey, {},
                           {.radius_m = run.options.radius_m,
                            .receiver_height_agl_m = run.options.receiver_height_agl_m});
  } catch (const sim::InputError& error) {
    why_not = error.what();
    return std::nullopt;
  }
}

int run_report(const Session& session, const ReportArguments& arguments) {
  sim::OutputFolder output(arguments.folder, session.overwrite);
  const auto run = open_site(session, arguments.site);
  const sim::LinkSettings settings = sim::link_settings(run->scene);
  sim::PageAnswers answers{.imported = run->imported,
                           .scene = run->scene,
                           .options = run->options,
                           .stamp = run->stamp,
                           .units = session.units};

  std::optional<sim::PredictionGrid> grid;
  std::vector<sim::StreetWalk> walks;
  sim::StreetVerdicts streets;
  if (!run->scene.nodes.empty()) {
    coarsen(run->options, run->scene.nodes.size());
    run->options.progress = progress_line(session, "predicting");
    grid = sim::predict_grid(*run->caster, settings, run->options);
    walks = sim::walk_streets(*run->caster, settings, run->options);
    streets = sim::judge_walks(run->scene, walks, settings);
    answers.sampled = links_at(*run, settings, streets.drops);
    answers.grid = &*grid;
    answers.walks = &walks;
    answers.streets = &streets;
    sim::write_coverage_map(output.file("map.png"), output.file("map.pgw"), run->scene, *grid,
                            streets.drops, run->stamp);
  }

  std::optional<sim::Survey> survey;
  std::optional<sim::Explanation> explanation;
  std::optional<sim::SurveyFit> fit;
  std::optional<sim::Comparison> comparison;
  if (!run->imported.site.surveys.empty()) {
    survey = sim::read_surveys(run->imported);
    run->options.progress = progress_line(session, "explaining");
    explanation = sim::explain(*run->caster, *survey, settings, run->options);
    comparison = compared(session, *run, *survey, settings,
                          arguments.by.empty() ? usual_grouping(*survey) : arguments.by);
    fit = fitted(*run, *survey, answers.not_fitted);
    if (fit) answers.fit = &*fit;
    answers.survey = &*survey;
    answers.explanation = &*explanation;
    if (comparison) answers.comparison = &*comparison;
    sim::write_explained_csv(output.file("explained.csv"), run->scene, *explanation);
  }

  std::optional<sim::ReceiverAnswers> asked;
  if (!arguments.points.empty()) {
    asked = answer_points(*run, settings, arguments.points);
    answers.asked = &*asked;
    sim::write_receivers_csv(output.file("receivers.csv"), run->scene, *asked);
  }
  for (const sim::NamedChart& chart :
       sim::street_charts(run->scene, walks, streets, explanation ? &*explanation : nullptr)) {
    sim::write_text(output.file(chart.name + ".svg"),
                    sim::standing_svg(chart.drawing, chart.title, chart.description));
  }

  const std::string document = sim::answers_json(answers);
  const std::string page = sim::report_page(document, run->stamp.site_name);
  sim::write_text(output.file("report.html"), page);
  output.commit();
  if (session.json) fmt::print("{}\n", sim::verdicts_json(answers));
  if (!session.json && !session.quiet) {
    for (const std::string& line : sim::verdict_lines(answers)) fmt::print("{}\n", line);
  }
  say(session, fmt::format("{}/report.html: {:.1f} MB, opens from disk, asks nothing of a network",
                           arguments.folder, static_cast<double>(page.size()) / 1e6));
  return exit_done;
}

}  // namespace

void add_report(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<ReportArguments>();
  CLI::App* command = add_command(app, session, "report",
                                  "Write one page to look at and publish: map, street, reasons",
                                  "kerbray report my_street -o published");
  add_site_and_output(*command, session, arguments->site, arguments->folder);
  add_units(*command, session);
  command
      ->add_option("--at", arguments->points,
                   "Show the ledgers of these points too: any vector file, or CSV with lon,lat or "
                   "x_m,y_m")
      ->type_name("POINTS");
  command
      ->add_option("--by", arguments->by,
                   "What the comparison sets side by side: node, date, run, survey, or any column "
                   "of the surveys; nodes or files unless given")
      ->type_name("WORD");
  command->callback([&session, arguments] {
    session.run = [&session, arguments] { return run_report(session, *arguments); };
  });
}

}  // namespace kerbray
