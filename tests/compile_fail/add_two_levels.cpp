// Two levels in dBm cannot be added; only a level and a ratio can.
// message: no match for .operator\+.|invalid operands
#include "sim/base/units.h"

#ifdef BAD
const sim::Dbm sum = sim::Dbm(30.0) + sim::Dbm(3.0);
#else
const sim::Dbm sum = sim::Dbm(30.0) + sim::Db(3.0);
#endif
