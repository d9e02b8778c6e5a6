#include <fmt/format.h>

#include <algorithm>
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

std::string plural(std::size_t count, const std::string& thing) {
  return fmt::format("{} {}{}", count, thing, count == 1 ? "" : "s");
}

/// "12 rows explained: 9 none, 3 building; 1 suspect". Rows that nothing can be said of are no
/// cause.
std::string counted_causes(const sim::Explanation& explanation) {
  if (explanation.points.empty()) return "no row to explain";
  std::map<std::string, std::size_t> causes;
  std::size_t unplaced = 0, alone = 0;
  for (const auto& point : explanation.points) {
    if (point.link || (point.stand && point.cause == sim::Cause::distance)) {
      ++causes[std::string(to_string(point.cause))];
    } else {
      ++(point.stand ? alone : unplaced);
    }
  }
  std::string counted;
  for (const auto& [cause, count] : causes) {
    counted += fmt::format("{}{} {}", counted.empty() ? ": " : ", ", count, cause);
  }
  std::string text =
      plural(explanation.points.size() - unplaced - alone, "row") + " explained" + counted;
  if (alone > 0) text += fmt::format("; {} with no node in the site to compare with", alone);
  if (unplaced > 0) text += fmt::format("; {} without a usable place", unplaced);
  return text + "; " + plural(explanation.suspects.size(), "suspect");
}

/// The remarks on the survey that cost most, for all of them are too many for a terminal.
void tell_remarks(const Session& session, const sim::Survey& survey, const std::string& all) {
  if (survey.issues.empty()) return;
  std::vector<const sim::Issue*> remarks;
  remarks.reserve(survey.issues.size());
  for (const sim::Issue& issue : survey.issues) remarks.push_back(&issue);
  std::stable_sort(remarks.begin(), remarks.end(), [](const auto* a, const auto* b) {
    return a->severity > b->severity;  // what was dropped first
  });
  constexpr std::size_t most = 3;
  const std::size_t shown = std::min(most, remarks.size());
  say(session,
      plural(remarks.size(), "remark") + " on the survey" +
          (shown < remarks.size() ? fmt::format(", the first {} of {}:", shown, all) : ":"));
  for (std::size_t i = 0; i < shown; ++i) {
    say(session, "  " + sim::to_string(remarks[i]->where) + ": " + remarks[i]->message);
  }
}

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
  say(session,
      fmt::format("{}; see {}/explained.csv", counted_causes(explanation), arguments.folder));
  for (const std::string& line : sim::walk_sentences(explanation)) say(session, line);
  for (const std::string& line : sim::pair_sentences(survey, explanation)) say(session, line);
  tell_remarks(session, survey, arguments.folder + "/summary.json");
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
