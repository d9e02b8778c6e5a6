#include <fmt/format.h>

#include <memory>

#include "sim/import/walking_map.h"
#include "sim/plan/plan.h"
#include "sim/report/output_folder.h"
#include "sim/report/plan_files.h"
#include "sim/report/plan_words.h"
#include "tools/commands.h"
#include "tools/site_run.h"

namespace kerbray {
namespace {

struct PlanArguments {
  std::string site, folder, node;
  int count = 0;
  double step_m = 0.0;
  bool controls = false;
};

int run_plan(const Session& session, const PlanArguments& arguments) {
  sim::OutputFolder output(arguments.folder, session.overwrite);
  const auto run = open_site(session, arguments.site);
  sim::PlanOptions options = sim::plan_options(run->imported.site);
  options.node = arguments.node;
  options.units = session.units;
  options.progress = progress_line(session, "planning");
  if (arguments.count > 0) options.count = static_cast<std::size_t>(arguments.count);
  if (arguments.step_m > 0.0) options.step_m = arguments.step_m;
  if (arguments.controls) options.controls = {"pairs", "off_side", "in_car", "informative"};
  const sim::WalkingMap map = sim::read_walking_map(run->imported);
  sim::Survey survey;
  if (!run->imported.site.surveys.empty()) survey = sim::read_surveys(run->imported);
  const sim::Plan plan = sim::make_plan(run->imported, map, *run->caster, options,
                                        survey.measurements.empty() ? nullptr : &survey);
  sim::write_positions_csv(output.file("positions.csv"), run->scene, plan);
  sim::write_to_fill_csv(output.file("to_fill.csv"), run->scene, plan);
  sim::write_route_gpx(output.file("route.gpx"), run->scene, plan, run->stamp, session.units);
  sim::write_route_geojson(output.file("route.geojson"), run->scene, plan);
  sim::write_text(output.file("sheet.html"),
                  sim::plan_sheet(run->scene, plan, run->stamp, session.units));
  const std::string summary = sim::plan_summary_json(run->imported, run->scene, plan, run->stamp);
  sim::write_text(output.file("summary.json"), summary);
  output.commit();
  if (session.json) {
    fmt::print("{}", summary);
  } else if (!session.quiet) {
    fmt::print("{}\n", sim::plan_sentence(plan, session.units));
    constexpr std::size_t most_lines = 8;  // what a terminal shows at once
    for (const auto& line : sim::gap_sentences(run->scene, plan, most_lines)) {
      fmt::print("  {}\n", line);
    }
  }
  say(session, fmt::format("see {}/sheet.html to print, {}/route.gpx for a GPS device, and "
                           "{}/to_fill.csv to fill in",
                           arguments.folder, arguments.folder, arguments.folder));
  return plan.positions.empty() ? exit_answer_is_no : exit_done;
}

}  // namespace

void add_plan(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<PlanArguments>();
  CLI::App* command = add_command(
      app, session, "plan", "Where to stand to test a node, and in which order to walk there",
      "kerbray plan my_street -o walk --controls\n  kerbray plan my_street -o walk --count 8");
  add_site_and_output(*command, session, arguments->site, arguments->folder);
  add_units(*command, session);
  command
      ->add_option("--count", arguments->count,
                   "The most telling positions alone, this many; default: [plan] count, else all")
      ->check(CLI::Range(1, 1000));
  command
      ->add_option("--step", arguments->step_m,
                   "Metres between positions along a street; default: [plan] step_m")
      ->check(CLI::Range(2.0, 1000.0));
  command->add_option("--node", arguments->node, "Plan for this node alone; default: all")
      ->type_name("NODE");
  command->add_flag("--controls", arguments->controls,
                    "All controls: matched pairs, off the sectors' side, in a parked car, and the "
                    "places that tell most");
  command->callback([&session, arguments] {
    session.run = [&session, arguments] { return run_plan(session, *arguments); };
  });
}

}  // namespace kerbray
