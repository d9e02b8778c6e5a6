// The program: picks the command, and turns what goes wrong into one line and an exit code.
#include <cstdio>
#include <exception>

#include "sim/base/input_error.h"
#include "sim/base/parallel.h"
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
