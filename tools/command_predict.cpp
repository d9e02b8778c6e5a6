#include "tools/commands.h"

namespace kerbray {

void add_predict(CLI::App&, Session&) {}

}  // namespace kerbray
