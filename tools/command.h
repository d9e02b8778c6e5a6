// What every command of the program shares. One file per command defines its add_<command>().
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>

#include "sim/explain/explanation.h"

namespace kerbray {

struct Session {
  bool json = false;  ///< machine-readable result on stdout
  bool quiet = false;
  int threads = 0;  ///< 0 = all cores
  bool overwrite = false;
  sim::LengthUnits units = sim::LengthUnits::metric;
  std::function<int()> run;  ///< set by the command that was chosen; its exit code
};

/// Exit codes of the contract.
inline constexpr int exit_done = 0, exit_answer_is_no = 1, exit_bad_input = 2, exit_inside = 3;

/// A subcommand with the options every command has and an example at the end of its help.
CLI::App* add_command(CLI::App& app, Session& session, const std::string& name,
                      const std::string& description, const std::string& example);
/// Adds SITE.toml, -o DIR and --overwrite.
void add_site_and_output(CLI::App& command, Session& session, std::string& site,
                         std::string& folder);
/// Adds -o DIR and --overwrite.
void add_output(CLI::App& command, Session& session, std::string& folder);

/// Adds --units.
void add_units(CLI::App& command, Session& session);

/// Shows how far work of more than a second has come, on a terminal only and not with --quiet; the
/// line is wiped at the end. Safe from any thread.
std::function<void(std::size_t done, std::size_t of)> progress_line(const Session& session,
                                                                    const std::string& what);

/// One line on stderr, unless --quiet.
void say(const Session& session, const std::string& line);

}  // namespace kerbray
