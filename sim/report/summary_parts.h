// Parts that every summary shares.
#pragma once

#include <nlohmann/json.hpp>

#include "sim/report/answers.h"
#include "sim/survey/survey.h"

namespace sim {

using Json = nlohmann::ordered_json;

/// Rounded for people; null for NaN and infinity; never -0.
Json rounded(double value, int decimals);

/// Program, site, CRS, vertical datum.
Json head_of(const Stamp& stamp, const Scene& scene);
Json layer_counts(const ImportReport& report);
Json nodes_of(const Scene& scene);
Json receiver_of(const Scene& scene);  ///< which way the phone looks and what it is behind
Json weather_of(const Scene& scene);   ///< what air and rain cost at street range, and a sentence
Json defaults_of(const Scene& scene);
Json issues_of(const std::vector<Issue>& issues);

/// What closes every summary of a survey: nodes, layers, issues of the survey, defaults, cautions.
void close_survey_summary(Json& json, const ImportedSite& imported, const Scene& scene,
                          const Survey& survey);

/// How many rows reflected paths reach and serve, and the paths of the first rows that have any.
Json reflections_of(const Scene& scene, const ReceiverAnswers& answers);

}  // namespace sim
