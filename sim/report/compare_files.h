// A comparison in files.
#pragma once

#include <string>
#include <vector>

#include "sim/compare/comparison.h"
#include "sim/explain/explanation.h"
#include "sim/report/answers.h"

namespace sim {

/// compare.csv: one row per group, source, quantity, way of holding, sight and distance bin.
void write_compare_csv(const std::string& path, const Comparison& comparison);
/// groups.csv: one row per group, the short form.
void write_groups_csv(const std::string& path, const Comparison& comparison);
/// edges.csv: one row per group, source, sight and probability.
void write_edges_csv(const std::string& path, const Comparison& comparison);
/// differences.csv: one row per contrast and quantity.
void write_differences_csv(const std::string& path, const Comparison& comparison);

/// summary.json of a comparison.
std::string comparison_json(const Comparison& comparison, const Defaults& defaults,
                            const Stamp& stamp, LengthUnits units);

/// compare.html: sentences, charts, tables and cautions in one file without script.
std::string compare_page(const Comparison& comparison, const Stamp& stamp, LengthUnits units);

}  // namespace sim
