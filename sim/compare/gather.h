// From an opened site to what a comparison needs of it.
#pragma once

#include <optional>
#include <string>

#include "sim/compare/compared_row.h"
#include "sim/compare/grouping.h"
#include "sim/predict/prediction.h"

namespace sim {

struct GatherOptions {
  Grouping grouping;
  std::string site_name;        ///< of the site among the compared
  bool many_sites = false;      ///< labels that mean a thing of one site name the site too
  std::string distance_column;  ///< of the surveys, with distances from the node; empty = none
  PredictOptions predict;
};

/// Every survey row with its group, its distance (from the column named, else from the node that
/// serves it on the map, else along the street as written) and the link that the map foretells
/// there; and, where groups are sites or nodes, the best link at places of all streets within the
/// radius, or of the whole map for a site without streets. Works without nodes and without surveys.
/// Throws InputError for a column that no survey has.
ComparedSite gather_site(const RayCaster& caster, const ImportedSite& imported,
                         const Survey& survey, const LinkSettings& settings,
                         const GatherOptions& options);

}  // namespace sim
