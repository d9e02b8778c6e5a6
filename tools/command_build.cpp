#include "tools/commands.h"

namespace kerbray {

void add_build(CLI::App&, Session&) {}

}  // namespace kerbray
