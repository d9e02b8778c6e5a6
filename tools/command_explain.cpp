#include <fmt/format.h>

#include <map>
#include <memory>

#include "sim/report/explained_files.h"
#include "sim/report/output_folder.h"
#include "sim/report/survey_files.h"
#include "tools/commands.h"
#include "tools/site_run.h"

namespace kerbray {
namespace {

struct ExplainArguments {
  std::string site, folder;
};

int run_explain(const Session& session, const ExplainArguments& arguments) {
  sim::OutputFolder output(arguments.folder, session.overwrite);
  const auto run = open_site(session, arguments.site);
  if (run->imported.site.surveys.empty()) {
    throw sim::InputError({run->imported.site.file, "", -1},
                          "names no survey, so there is nothing to explain; add a [[survey]]");
  }
  const sim::Survey survey = sim::read_surveys(run->imported);
  const sim::LinkSettings settings = sim::link_settings(run->scene);
  run->options.progress = progress_line(session, "explaining");
  const auto drops = sim::find_measured_drops(survey.measurements, settings.drop_rsrp.value);
  const sim::Explanation explanation =
      sim::explain(*run->caster, survey, settings, run->options, session.units);
  sim::write_explained_csv(output.file("explained.csv"), run->scene, explanation);
  sim::write_repeats_csv(output.file("repeats.csv"), run->imported, survey);
  sim::write_pairs_csv(output.file("pairs.csv"), run->imported, survey, explanation);
  sim::write_explained_gpkg(output.file("explained.gpkg"), run->scene, explanation);
  const std::string summary = sim::explanation_summary_json(
      run->imported, run->scene, survey, drops, explanation, run->options, run->stamp);
  sim::write_text(output.file("summary.json"), summary);
  output.commit();
  if (session.json) {
    fmt::print("{}", summary);
    return exit_done;
  }
  std::map<std::string, std::size_t> causes;
  for (const auto& point : explanation.points) ++causes[std::string(to_string(point.cause))];
  std::string counted;
  for (const auto& [cause, count] : causes) counted += fmt::format(" {} {}", count, cause);
  say(session, fmt::format("{} rows explained:{}; {} suspects; see {}/explained.csv",
                           explanation.points.size(), counted, explanation.suspects.size(),
                           arguments.folder));
  for (const std::string& line : sim::pair_sentences(survey, explanation)) say(session, line);
  if (!survey.issues.empty()) {
    say(session,
        fmt::format("{} remarks on the survey in {}/summary.json, the first: {}: {}",
                    survey.issues.size(), arguments.folder,
                    sim::to_string(survey.issues.front().where), survey.issues.front().message));
  }
  return exit_done;
}

}  // namespace

void add_explain(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<ExplainArguments>();
  CLI::App* command = add_command(app, session, "explain",
                                  "Say why each measured point is as it is, and how to mend it",
                                  "kerbray explain my_street -o explained");
  add_site_and_output(*command, session, arguments->site, arguments->folder);
  add_units(*command, session);
  command->callback([&session, arguments] {
    session.run = [&session, arguments] { return run_explain(session, *arguments); };
  });
}

}  // namespace kerbray
