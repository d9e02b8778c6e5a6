#include "sim/survey/survey_cells.h"

#include <filesystem>
#include <set>
#include <utility>

#include "sim/base/words.h"
#include "sim/gis/csv_file.h"
#include "sim/gis/vector_file.h"
#include "sim/survey/survey_columns.h"

namespace sim {
namespace {

std::string listed(const std::set<std::string>& layers) {
  std::string text;
  for (const std::string& layer : layers) text += (text.empty() ? "" : ", ") + layer;
  return text;
}

/// Of a file of several layers, such as a whole project, those in which something was measured.
std::set<std::string> measured_layers(const VectorTable& table, const SurveySettings& settings) {
  const auto columns = survey_columns(table.fields, settings);
  std::set<std::string> layers;
  for (const Feature& feature : table.features) {
    for (const char* measured : measured_columns) {
      const auto column = columns.find(measured);
      if (column == columns.end() || !feature.values[column->second.index]) continue;
      layers.insert(feature.source.layer);
    }
  }
  return layers;
}

}  // namespace

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
  std::set<std::string> layers(table.layers.begin(), table.layers.end());
  if (layers.size() > 1 && extension != ".gpx") {
    const std::set<std::string> all = std::exchange(layers, measured_layers(table, settings));
    if (layers.empty()) {
      throw InputError({settings.file, "", -1},
                       "has several layers (" + listed(all) +
                           "), and none has a measured column that is known; map one with columns "
                           "= { rsrp_dbm = \"...\" }");
    }
    if (layers.size() < all.size()) {
      issues.push_back({Severity::noted,
                        {settings.file, "", 0},
                        "layers_left_out",
                        "of its layers (" + listed(all) + ") only " + listed(layers) +
                            " holds anything measured; the others were left out"});
    }
  }
  for (const Feature& feature : table.features) {
    if (extension != ".gpx" && !layers.contains(feature.source.layer)) continue;
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
