#include "tools/commands.h"

namespace kerbray {

void add_sample(CLI::App&, Session&) {}

}  // namespace kerbray
