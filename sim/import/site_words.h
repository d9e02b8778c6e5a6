// The words that the site file and data columns may use.
#pragma once

#include <string>
#include <vector>

namespace sim {

std::vector<std::string> material_words();  ///< names in assets/materials.csv
std::vector<std::string> species_words();
std::vector<std::string> object_words();
std::vector<std::string> pattern_words();
std::vector<std::string> polarization_words();
std::vector<std::string> context_words();
std::vector<std::string> control_words();    ///< [plan] controls
std::vector<std::string> threshold_words();  ///< names in assets/defaults.csv

/// [predict] models = { diffraction = "knife_edge", foliage = "weissberger", … }
bool is_model_choice(const std::string& role, const std::string& model);
std::string model_choices();

}  // namespace sim
