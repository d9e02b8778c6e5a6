#include "sim/explain/place_words.h"

#include <map>

#include "sim/explain/wording.h"

namespace sim {
namespace {

/// Why a position was set aside: the codes of the survey.
std::string why_aside(const std::string& code) {
  static const std::map<std::string, std::string, std::less<>> words{
      {"no_fix", "longitude 0, latitude 0 is what a phone without a fix writes"},
      {"not_on_earth", "its longitude and latitude are not on Earth"},
      {"far_away", "it lies outside the area of the site's map"},
      {"far_from_site", "it lies too far from every node to belong to the site"},
      {"speed_jump", "nobody gets there from the rows before and after in that time"}};
  const auto found = words.find(code);
  return found == words.end() ? "" : ": " + found->second;
}

}  // namespace

std::string sentence_without_link(const Scene& scene, const ExplainedPoint& point,
                                  const PredictOptions& options, LengthUnits units) {
  const Measurement& m = point.measurement;
  if (!m.place) {
    return "This row has no usable position" + why_aside(m.set_aside) +
           ". Nothing can be said about what stood in the way.";
  }
  if (!point.stand) {
    return "This point lies outside the ground of the site, so no ray can be cast to it.";
  }
  if (scene.nodes.empty()) {
    return "No node is known in this site, so nothing can be said about what stood in the way.";
  }
  return "No node lies within " + length_text(options.radius_m, units) + ": plain range.";
}

std::string house_around(const Scene& scene, const LinkResult& link) {
  constexpr double touching_m = 1e-3;  // the ray ends in the house that it entered
  if (link.receiver.context == ReceiverContext::behind_glass) return "";
  for (const Crossing& c : link.path.crossings) {
    if (scene.obstacles[c.obstacle].kind == ObstacleKind::building &&
        c.exit_m >= link.path.length_m - touching_m) {
      return " The place lies inside " + name_of(scene, c.obstacle) +
             ": the position is off, or the phone was indoors.";
    }
  }
  return "";
}

}  // namespace sim
