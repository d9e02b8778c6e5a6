// Writes every answer in the files of the contract. All of them throw InputError when a file cannot
// be written.
#pragma once

#include <string>
#include <vector>

#include "sim/gis/crs.h"
#include "sim/import/records.h"
#include "sim/predict/drops.h"

namespace sim {

/// What every file is stamped with.
struct Stamp {
  std::string version;  ///< of the program
  std::string site_name;
  std::vector<std::string> credits = {};  ///< whom the data asks to be named
};

/// receivers.csv: one row per point and node sector.
void write_receivers_csv(const std::string& path, const Scene& scene,
                         const ReceiverAnswers& answers);

/// coverage.tif: all bands, Cloud-Optimised.
void write_coverage_tif(const std::string& path, const Scene& scene, const PredictionGrid& grid,
                        const Stamp& stamp);

/// coverage.png with its world file coverage.pgw: a map of states with legend and scale bar.
void write_coverage_map(const std::string& path, const std::string& world_file, const Scene& scene,
                        const PredictionGrid& grid, const std::vector<DropStretch>& drops,
                        const Stamp& stamp);

/// study.gpkg: buildings, poles, trees, nodes, sectors, receivers, edge, drops.
void write_study(const std::string& path, const Scene& scene, const PredictionGrid* grid,
                 const std::vector<DropStretch>& drops, const ReceiverAnswers* answers,
                 const PredictOptions& options);

/// scene.gpkg: every obstacle as a feature with its record.
void write_scene_gpkg(const std::string& path, const Scene& scene);

/// import_report.json, and the same as text for people.
std::string import_report_json(const ImportedSite& imported, const Scene& scene,
                               const Stamp& stamp);
std::string import_report_text(const ImportedSite& imported, const Scene& scene);

/// summary.json of a prediction.
std::string summary_json(const ImportedSite& imported, const Scene& scene,
                         const PredictionGrid* grid, const StreetVerdicts& streets,
                         const ReceiverAnswers* answers, const PredictOptions& options,
                         const Stamp& stamp);

void write_text(const std::string& path, const std::string& text);

/// Where a thing came from, for people: its own id, and the record of the file.
std::string cause_id(const Scene& scene, ObstacleId obstacle);

}  // namespace sim
