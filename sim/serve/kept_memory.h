// Memory that is freed is kept for the next answer.
#pragma once

namespace sim {

/// A map takes tens of megabytes for a tenth of a second. Given back to the system in between,
/// every page of them has to be cleared and mapped again, which costs as much as the rays. For the
/// whole process; to be called before its threads begin.
void keep_freed_memory() noexcept;

}  // namespace sim
