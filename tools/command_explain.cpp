#include "tools/commands.h"

namespace kerbray {

void add_explain(CLI::App&, Session&) {}

}  // namespace kerbray
