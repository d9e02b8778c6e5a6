// The commands of the program, one source file each.
#pragma once

#include "tools/command.h"

namespace kerbray {

void add_build(CLI::App& app, Session& session);
void add_predict(CLI::App& app, Session& session);
void add_explain(CLI::App& app, Session& session);
void add_fit(CLI::App& app, Session& session);
void add_compare(CLI::App& app, Session& session);
void add_plan(CLI::App& app, Session& session);
void add_report(CLI::App& app, Session& session);
void add_serve(CLI::App& app, Session& session);
void add_loss(CLI::App& app, Session& session);
void add_sample(CLI::App& app, Session& session);

inline void add_all_commands(CLI::App& app, Session& session) {
  add_build(app, session);
  add_predict(app, session);
  add_explain(app, session);
  add_fit(app, session);
  add_compare(app, session);
  add_plan(app, session);
  add_report(app, session);
  add_serve(app, session);
  add_loss(app, session);
  add_sample(app, session);
}

}  // namespace kerbray
