#include <fmt/format.h>

#include <cmath>
#include <memory>

#include "sim/import/nearest_word.h"
#include "sim/report/fit_files.h"
#include "sim/report/output_folder.h"
#include "tools/commands.h"
#include "tools/site_run.h"

namespace kerbray {
namespace {

struct FitArguments {
  std::string site, folder, search_position;
  double search_reach_m = 100.0;
  bool eirp_per_sector = false;
};

sim::NodeIndex node_called(const sim::Scene& scene, const std::string& id) {
  std::vector<std::string> known;
  for (sim::NodeIndex n = 0; n < scene.nodes.size(); ++n) {
    if (scene.nodes[n].id == id) return n;
    known.push_back(scene.nodes[n].id);
  }
  throw sim::InputError({}, fmt::format("--search-position: no node is called '{}'{}", id,
                                        sim::suggestion(id, known)));
}

/// Reads the new site file back: a slip in it would be silent.
void check_fitted(const std::string& file, const sim::Scene& scene) {
  constexpr double last_digit = 0.0051;
  const sim::Site again = sim::read_site(file);
  for (const sim::NodeSettings& node : again.nodes.inline_nodes) {
    const sim::Node& fitted = scene.nodes[node_called(scene, node.id)];
    for (std::size_t s = 0; s < node.sectors.size(); ++s) {
      const sim::Sector& sector = fitted.sectors.at(s);
      const sim::Angle turn = sim::Angle::degrees(node.sectors[s].azimuth_deg) - sector.azimuth;
      if (std::abs(turn.wrapped().degrees()) > last_digit ||
          std::abs(node.sectors[s].downtilt_deg - sector.downtilt.degrees()) > last_digit ||
          std::abs(node.sectors[s].eirp_dbm.value_or(sector.eirp.value) - sector.eirp.value) >
              last_digit) {
        throw std::runtime_error("fitted.toml does not say what was fitted for " + node.id);
      }
    }
  }
}

int run_fit(const Session& session, const FitArguments& arguments) {
  sim::OutputFolder output(arguments.folder, session.overwrite);
  const auto run = open_site(session, arguments.site);
  const sim::SourceRef site{run->imported.site.file, "", -1};
  if (run->imported.site.surveys.empty()) {
    throw sim::InputError(site, "names no survey, so there is nothing to fit to; add a [[survey]]");
  }
  if (run->scene.nodes.empty()) {
    throw sim::InputError(site,
                          "names no node, so there is nothing to fit; add a [[node]] with its "
                          "sectors, where you think it hangs");
  }
  sim::FitOptions options{.radius_m = run->options.radius_m,
                          .receiver_height_agl_m = run->options.receiver_height_agl_m,
                          .eirp_per_sector = arguments.eirp_per_sector,
                          .search_reach_m = arguments.search_reach_m};
  if (!arguments.search_position.empty()) {
    options.search_position = node_called(run->scene, arguments.search_position);
  }
  const sim::Survey survey = sim::read_surveys(run->imported);
  const sim::SurveyFit fit = sim::fit_survey(run->scene, *run->caster, survey, site, options);
  sim::write_fit_csv(output.file("fit.csv"), run->scene, survey, fit);
  sim::write_measure_csv(output.file("measure.csv"), run->scene, fit);
  sim::write_text(output.file("fitted.toml"),
                  sim::fitted_site(run->imported, run->scene, fit, run->stamp));
  check_fitted(output.file("fitted.toml"), run->scene);
  const std::string json = sim::fit_json(run->scene, fit, run->stamp, session.units);
  sim::write_text(output.file("fit.json"), json);
  sim::write_text(
      output.file("summary.json"),
      sim::fit_summary_json(run->imported, run->scene, survey, fit, run->stamp, session.units));
  output.commit();
  if (session.json) {
    fmt::print("{}", json);
  } else if (!session.quiet) {
    for (const std::string& line : sim::fit_sentences(run->scene, fit, session.units)) {
      fmt::print("{}\n", line);
    }
  }
  say(session,
      fmt::format("{} of {} rows used; see {}/fitted.toml and {}/fit.csv", fit.levels + fit.bounds,
                  survey.measurements.size(), arguments.folder, arguments.folder));
  return exit_done;
}

}  // namespace

void add_fit(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<FitArguments>();
  CLI::App* command = add_command(
      app, session, "fit", "Find the node and loss values that the measurements support",
      "kerbray fit my_street -o fitted\n  kerbray predict fitted/fitted.toml -o prediction");
  add_site_and_output(*command, session, arguments->site, arguments->folder);
  add_units(*command, session);
  command->add_flag("--eirp-per-sector", arguments->eirp_per_sector,
                    "One EIRP for each sector, not one correction for each node");
  command
      ->add_option("--search-position", arguments->search_position,
                   "Look for this node on every mapped pole near the survey (or along the streets)")
      ->type_name("NODE");
  command
      ->add_option("--search-reach", arguments->search_reach_m,
                   "How far from a measured row the node may hang [m]")
      ->check(CLI::Range(1.0, 2000.0))
      ->capture_default_str();
  command->callback([&session, arguments] {
    session.run = [&session, arguments] { return run_fit(session, *arguments); };
  });
}

}  // namespace kerbray
