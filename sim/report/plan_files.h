// A plan in the files of the contract.
#pragma once

#include <string>

#include "sim/plan/plan.h"
#include "sim/report/answers.h"

namespace sim {

/// positions.csv: one row per position in walking order, with empty columns for what is measured; a
/// [[survey]] reads it back as it stands.
void write_positions_csv(const std::string& path, const Scene& scene, const Plan& plan);

/// to_fill.csv: one row per reading, nothing but what is filled in and what names the place.
void write_to_fill_csv(const std::string& path, const Scene& scene, const Plan& plan);

/// route.gpx: waypoints and track, with elevations.
void write_route_gpx(const std::string& path, const Scene& scene, const Plan& plan,
                     const Stamp& stamp, LengthUnits units);

/// route.geojson: the positions as points and the walk as a line, RFC 7946.
void write_route_geojson(const std::string& path, const Scene& scene, const Plan& plan);

/// sheet.html: a field sheet to print, without scripts and without anything from outside.
std::string plan_sheet(const Scene& scene, const Plan& plan, const Stamp& stamp, LengthUnits units);

/// summary.json.
std::string plan_summary_json(const ImportedSite& imported, const Scene& scene, const Plan& plan,
                              const Stamp& stamp);

}  // namespace sim
