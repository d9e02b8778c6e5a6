#include <fmt/format.h>

#include <cmath>
#include <memory>

#include "sim/explain/wording.h"
#include "sim/report/cautions.h"
#include "sim/report/output_folder.h"
#include "sim/report/street_verdicts.h"
#include "tools/asked_points.h"
#include "tools/commands.h"
#include "tools/site_run.h"

namespace kerbray {
namespace {

struct PredictArguments {
  std::string site, folder, points;
};

/// Points that have no row, and those whose row may surprise.
void tell_unanswered(const Session& session, const SiteRun& run,
                     const sim::ReceiverAnswers& answers) {
  const auto points = [](std::size_t count) {
    return count == 1 ? std::string("1 point") : fmt::format("{} points", count);
  };
  if (answers.off_ground > 0) {
    say(session, points(answers.off_ground) + " off the ground raster: no row");
  }
  if (answers.beyond_radius > 0) {
    say(session,
        fmt::format("{} of a point and a node farther apart than {}: no row; [predict] "
                    "radius_m sets it",
                    answers.beyond_radius == 1 ? std::string("1 pair")
                                               : fmt::format("{} pairs", answers.beyond_radius),
                    sim::length_text(run.options.radius_m, session.units)));
  }
  if (answers.inside_building > 0) {
    say(session, points(answers.inside_building) +
                     " inside a building's footprint, answered as if the phone stood in its wall's "
                     "shadow: give a context, or check the place");
  }
}

int run_predict(const Session& session, const PredictArguments& arguments) {
  sim::OutputFolder output(arguments.folder, session.overwrite);
  const auto run = open_site(session, arguments.site);
  if (run->scene.nodes.empty()) {
    throw sim::InputError({run->imported.site.file, "", -1},
                          "names no node, so there is nothing to predict; add a [[node]]");
  }
  const sim::LinkSettings settings = sim::link_settings(run->scene);
  run->options.progress = progress_line(session, "predicting");
  std::string summary;
  if (!arguments.points.empty()) {
    const sim::ReceiverAnswers answers = answer_points(*run, settings, arguments.points);
    sim::write_receivers_csv(output.file("receivers.csv"), run->scene, answers);
    sim::write_study(output.file("study.gpkg"), run->scene, nullptr, {}, &answers, run->options);
    summary = sim::summary_json(run->imported, run->scene, nullptr, {}, &answers, run->options,
                                run->stamp);
    say(session, fmt::format("{} rows in {}/receivers.csv", answers.rows.size(), arguments.folder));
    tell_unanswered(session, *run, answers);
  } else {
    const sim::PredictionGrid grid = sim::predict_grid(*run->caster, settings, run->options);
    const auto walks = sim::walk_streets(*run->caster, settings, run->options);
    const auto streets = sim::judge_walks(run->scene, walks, settings);
    sim::write_coverage_tif(output.file("coverage.tif"), run->scene, grid, run->stamp);
    sim::write_coverage_map(output.file("coverage.png"), output.file("coverage.pgw"), run->scene,
                            grid, streets.drops, run->stamp);
    sim::write_study(output.file("study.gpkg"), run->scene, &grid, streets.drops, nullptr,
                     run->options);
    sim::write_along_streets(output.file("along_streets.csv"), run->scene, walks);
    summary = sim::summary_json(run->imported, run->scene, &grid, streets, nullptr, run->options,
                                run->stamp);
    constexpr std::size_t most_rows = 16;  // what a terminal shows at once
    if (!walks.empty() && !session.json && !session.quiet) {
      fmt::print("{}", sim::street_table(run->scene, walks, streets, session.units, most_rows));
    }
    double lost_m = 0.0;
    std::size_t lost = 0;
    for (const sim::DropStretch& drop : streets.drops) {
      if (drop.direction != sim::WalkDirection::outward) continue;
      lost_m += std::abs(drop.to_m - drop.from_m);
      ++lost;
    }
    say(session,
        fmt::format("{} cells answered; walking outward, {} stretches of street, {} long together, "
                    "should not hold; see {}/coverage.png",
                    grid.cells_answered, lost, sim::length_text(lost_m, session.units),
                    arguments.folder));
  }
  if (!(run->scene.conditions.defaults("reflections") > 0.0)) {
    say(session, std::string(sim::without_reflections_caution));
  }
  sim::write_text(output.file("summary.json"), summary);
  output.commit();
  if (session.json) fmt::print("{}", summary);
  return exit_done;
}

}  // namespace

void add_predict(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<PredictArguments>();
  CLI::App* command = add_command(app, session, "predict",
                                  "Say where coverage holds and ends: a map, or the points named",
                                  "kerbray predict my_street --at points.csv -o receivers");
  add_site_and_output(*command, session, arguments->site, arguments->folder);
  add_units(*command, session);
  command
      ->add_option("--at", arguments->points,
                   "Answer for these points only: any vector file, or CSV with lon,lat or x_m,y_m "
                   "and optional id, height_agl_m, context, facing")
      ->type_name("POINTS");
  command->callback([&session, arguments] {
    session.run = [&session, arguments] { return run_predict(session, *arguments); };
  });
}

}  // namespace kerbray
