#include "tools/command.h"

#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <memory>
#include <mutex>

#include "tools/versions.h"

namespace kerbray {

CLI::App* add_command(CLI::App& app, Session& session, const std::string& name,
                      const std::string& description, const std::string& example) {
  CLI::App* command = app.add_subcommand(name, description);
  command->set_version_flag("--version", version_text());
  command->add_flag("--json", session.json, "Machine-readable result on stdout");
  command->add_flag("-q,--quiet", session.quiet, "Only errors on stderr");
  command->add_option("--threads", session.threads, "Threads to use (0 = all cores)")
      ->check(CLI::Range(0, 1024))
      ->capture_default_str();
  command->footer("Example:\n  " + example);
  return command;
}

void add_site_and_output(CLI::App& command, Session& session, std::string& site,
                         std::string& folder) {
  command.add_option("site", site, "Site file, or a folder that holds site.toml")
      ->type_name("SITE.toml")
      ->required();
  add_output(command, session, folder);
}

void add_output(CLI::App& command, Session& session, std::string& folder) {
  command.add_option("-o,--output", folder, "Folder to write; appears whole or not at all")
      ->type_name("DIR")
      ->required();
  command.add_flag("--overwrite", session.overwrite,
                   "Replace an existing folder that kerbray made");
}

void add_units(CLI::App& command, Session& session) {
  command
      .add_option_function<std::string>(
          "--units",
          [&session](const std::string& word) {
            if (word != "metric" && word != "imperial") {
              throw CLI::ValidationError("--units", "is '" + word + "'; it is metric or imperial");
            }
            session.units =
                word == "metric" ? sim::LengthUnits::metric : sim::LengthUnits::imperial;
          },
          "Lengths in sentences: metres, or with feet beside")
      ->type_name("metric|imperial");
}

std::function<void(std::size_t, std::size_t)> progress_line(const Session& session,
                                                            const std::string& what) {
  if (session.quiet || isatty(STDERR_FILENO) == 0) return {};
  using Clock = std::chrono::steady_clock;
  struct State {
    std::mutex one_at_a_time;
    Clock::time_point shown = Clock::now();
    bool visible = false;
  };
  return [what, state = std::make_shared<State>()](std::size_t done, std::size_t of) {
    const std::lock_guard lock(state->one_at_a_time);
    const auto now = Clock::now();
    if (done >= of) {
      if (state->visible) std::fputs("\r\033[K", stderr);
      state->visible = false;
    } else if (now - state->shown >= std::chrono::seconds(1)) {
      std::fprintf(stderr, "\r%s: %zu %%", what.c_str(), 100 * done / of);
      state->visible = true;
      state->shown = now;
    }
  };
}

void say(const Session& session, const std::string& line) {
  if (!session.quiet) std::fprintf(stderr, "%s\n", line.c_str());
}

}  // namespace kerbray
