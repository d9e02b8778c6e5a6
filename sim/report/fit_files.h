// A fit in files.
#pragma once

#include <string>

#include "sim/fit/fit.h"
#include "sim/report/answers.h"
#include "sim/report/fit_sentences.h"

namespace sim {

/// fit.csv: one row per survey row, in input order, with its residuals before and after, or why it
/// was left out.
void write_fit_csv(const std::string& path, const Scene& scene, const Survey& survey,
                   const SurveyFit& fit);

/// measure.csv: the places to measure next; `predict --at` reads it.
void write_measure_csv(const std::string& path, const Scene& scene, const SurveyFit& fit);

/// fit.json: values with intervals, errors, what cannot be told apart, where to measure.
std::string fit_json(const Scene& scene, const SurveyFit& fit, const Stamp& stamp,
                     LengthUnits units);

/// summary.json: fit.json with rows, layers, defaults and cautions.
std::string fit_summary_json(const ImportedSite& imported, const Scene& scene, const Survey& survey,
                             const SurveyFit& fit, const Stamp& stamp, LengthUnits units);

/// The text of fitted.toml: the site file with the fitted values and where they came from.
std::string fitted_site(const ImportedSite& imported, const Scene& scene, const SurveyFit& fit,
                        const Stamp& stamp);

}  // namespace sim
