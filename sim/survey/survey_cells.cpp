#include "sim/survey/survey_cells.h"

#include <filesystem>

#include "sim/base/words.h"
#include "sim/gis/csv_file.h"
#include "sim/gis/vector_file.h"

namespace sim {

SurveyCells read_survey_cells(const SurveySettings& settings, const Crs& crs,
                              std::vector<Issue>& issues) {
  SurveyCells cells;
  const std::string extension = lower(std::filesystem::path(settings.file).extension());
  if (extension == ".csv" || extension == ".txt") {
    CsvTable csv = read_csv(settings.file);
    cells.fields = csv.header;
    for (std::size_t r = 0; r < csv.rows.size(); ++r) cells.sources.push_back(csv.row_ref(r));
    cells.rows = std::move(csv.rows);
    cells.places.resize(cells.rows.size());
    return cells;
  }
  const VectorTable table = read_vectors({.path = settings.file}, crs);
  cells.fields = table.fields;
  for (const Feature& feature : table.features) {
    const auto* points = std::get_if<PointSet>(&feature.geometry);
    if (points == nullptr && extension == ".gpx") continue;  // its tracks, beside their points
    if (points == nullptr && !std::holds_alternative<std::monostate>(feature.geometry)) {
      issues.push_back({Severity::dropped, feature.source, "not_a_point",
                        "is no point; it is kept without a place"});
    }
    auto& row = cells.rows.emplace_back();
    for (const auto& value : feature.values) row.push_back(value.value_or(""));
    cells.sources.push_back(feature.source);
    cells.places.push_back(points == nullptr || points->points.empty()
                               ? std::nullopt
                               : std::optional(Xy{points->points[0].x, points->points[0].y}));
  }
  return cells;
}

}  // namespace sim
