// Which column of a survey is what.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "sim/import/site.h"

namespace sim {

/// Our name → index of the file's column. First as the site file maps them, then by our own names,
/// then by names that logs often use. Throws InputError for a mapping to a column that is not
/// there, or for an unknown name of ours.
std::map<std::string, std::size_t> survey_columns(const std::vector<std::string>& fields,
                                                  const SurveySettings& settings);

}  // namespace sim
