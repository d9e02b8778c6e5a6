// How far along each street, in words and as tables.
#pragma once

#include <string>
#include <vector>

#include "sim/explain/sentence.h"
#include "sim/predict/drops.h"

namespace sim {

/// "behind building way/12", "out of reach", "beside the beam".
std::string cause_phrase(const Scene& scene, Cause cause, ObstacleId obstacle);

/// "drops between 240 and 262 m behind building way/12", "has none from 300 m on, for distance".
std::string drop_text(const Scene& scene, const DropStretch& drop, LengthUnits units);

/// Sides of streets that hold somewhere, and with `on_street_too` those that do not but have a node
/// on the street: a node's own streets first, then by how far they hold.
std::vector<const StreetReach*> reaches_in_order(const StreetVerdicts& verdicts,
                                                 bool on_street_too);

/// One side of a street: "holds to 235 m along Tarn Street, east from n1 (228 to 241 m); drops
/// between 240 and 262 m behind building way/12". Drops are those of a walk outward.
std::string verdict_text(const Scene& scene, const StreetReach& reach,
                         const std::vector<DropStretch>& drops, LengthUnits units);

/// For the terminal: the sides that hold somewhere, those of streets with a node first, each with
/// the downlink by distance and its drops; at most `most` of them, the rest counted.
std::string street_table(const Scene& scene, const std::vector<StreetWalk>& walks,
                         const StreetVerdicts& verdicts, LengthUnits units, std::size_t most);

/// along_streets.csv: one row per place of every street that a node reaches.
void write_along_streets(const std::string& path, const Scene& scene,
                         const std::vector<StreetWalk>& walks);

}  // namespace sim
