#include "sim/import/site_words.h"

#include "sim/import/asset_tables.h"

namespace sim {

std::vector<std::string> material_words() {
  std::vector<std::string> words;
  for (const MaterialRecord& material : read_materials()) words.push_back(material.name);
  return words;
}

std::vector<std::string> threshold_words() {
  const Defaults defaults = read_defaults();
  std::vector<std::string> words;
  for (const auto& [name, value] : defaults.all()) words.push_back(name);
  return words;
}

std::vector<std::string> species_words() { return {"broadleaf", "conifer"}; }
std::vector<std::string> object_words() {
  return {"car", "van", "truck", "bus", "sign", "fence", "wall", "hoarding", "kiosk", "person"};
}
std::vector<std::string> pattern_words() { return {"3gpp-element", "3gpp-array", "isotropic"}; }
std::vector<std::string> polarization_words() { return {"vertical", "horizontal", "slant"}; }
std::vector<std::string> control_words() { return {"pairs", "off_side", "in_car", "informative"}; }
std::vector<std::string> context_words() {
  return {"outdoor", "in_vehicle", "behind_glass", "body_blocked"};
}

bool is_model_choice(const std::string& role, const std::string& model) {
  return (role == "diffraction" && model == "knife_edge") ||
         (role == "screen" && model == "finite_screen") ||
         (role == "foliage" && model == "weissberger");
}
std::string model_choices() {
  return "diffraction = \"knife_edge\", screen = \"finite_screen\", foliage = \"weissberger\"";
}

}  // namespace sim
