// The program: picks the command, and turns what goes wrong into one line and an exit code.
#include <algorithm>
#include <cstdio>
#include <exception>

#include "sim/base/input_error.h"
#include "sim/base/parallel.h"
#include "sim/import/nearest_word.h"
#include "tools/command.h"
#include "tools/commands.h"
#include "tools/versions.h"

int main(int argc, char** argv) {
  using namespace kerbray;
  CLI::App app{
      "Line of sight and obstruction of street-level radio nodes: where a node should be "
      "usable, where to stand to test it, and why a point is better or worse."};
  app.set_version_flag("--version", version_text());
  app.require_subcommand(1);
  Session session;
  add_all_commands(app, session);
  try {
    app.parse(argc, argv);
    sim::set_thread_count(session.threads);
    return session.run();
  } catch (const CLI::RequiredError& problem) {
    if (argc < 2 || argv[1][0] == '-') {
      const int code = app.exit(problem);
      return code == 0 ? exit_done : exit_bad_input;
    }
    std::vector<std::string> known;
    for (const CLI::App* command : app.get_subcommands({})) known.push_back(command->get_name());
    if (std::find(known.begin(), known.end(), argv[1]) != known.end()) {
      std::fprintf(stderr, "kerbray %s: %s; kerbray %s --help shows an example\n", argv[1],
                   problem.what(), argv[1]);
      return exit_bad_input;
    }
    const std::string near = sim::nearest_word(argv[1], known);
    std::fprintf(stderr, "kerbray: there is no command '%s'%s; kerbray --help lists them\n",
                 argv[1], near.empty() ? "" : ("; did you mean '" + near + "'?").c_str());
    return exit_bad_input;
  } catch (const CLI::ParseError& problem) {
    const int code = app.exit(problem);
    return code == 0 ? exit_done : exit_bad_input;
  } catch (const sim::InputError& problem) {
    std::fprintf(stderr, "kerbray: %s\n", problem.what());
    return exit_bad_input;
  } catch (const std::exception& problem) {
    std::fprintf(stderr, "kerbray: inside failure: %s\n", problem.what());
    return exit_inside;
  }
}
