// What finite things cost: posts, trunks, vehicles, signs, people.
#pragma once

#include <vector>

#include "sim/link/obstruction.h"

namespace sim {

/// Adds a term for each opaque thing but ground and buildings that crosses the path or reaches into
/// its zone, by the field behind its outline (upright_screen_loss).
///
/// Several in a row: the dearest counts whole, each further one by the share that it is not already
/// in the shadow of a dearer: 1 - overlap (1 - max(2 alpha / pi, b / (b + 0.4 w^2 / lambda))).
/// Overlap is the share of the smaller outline that both cover; tan alpha = sqrt(b d / (a c)) tells
/// how far apart they stand against the path (a, b, c: end to thing, thing to thing, thing to end;
/// d their sum; the angle of P.526 section 4.3); the last term is how far the field behind a thing
/// of width w has closed again. Two in one place cost as much as the dearer; far apart they add in
/// full. The 0.4 is fitted to Kirchhoff's double integral behind two strips (tests/unit/link).
void add_screens(const PathSight& sight, std::vector<LossTerm>& terms);

}  // namespace sim
