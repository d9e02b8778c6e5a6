#include "sim/plan/landmarks.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/explain/wording.h"

namespace sim {
namespace {

constexpr double house_near_m = 25.0, pole_near_m = 15.0, corner_near_m = 150.0;

double apart(Xy a, ScenePoint b) { return std::hypot(a.x - b.x_m, a.y - b.y_m); }

}  // namespace

Landmarks::Landmarks(const ImportedSite& imported, const Scene& scene,
                     const std::vector<WalkerStreet>& ways, const StreetGraph& graph,
                     const WalkingMap& map)
    : scene_(scene), ways_(ways) {
  const auto in_scene = [&](Xy p) {
    const ScenePoint at = scene.frame.scene_from_map({p.x, p.y, 0.0});
    return Xy{at.x_m, at.y_m};
  };
  houses_.reserve(map.addresses.size());
  for (const AddressPlace& house : map.addresses) {
    houses_.push_back({in_scene(house.place), house.text});
  }
  poles_.reserve(imported.poles.size());
  for (const PoleRecord& pole : imported.poles) {
    const bool spoken = pole.id.find(' ') != std::string::npos;
    poles_.push_back({in_scene(pole.place), spoken ? pole.id : "pole " + pole.id});
  }
  for (std::size_t c = 0; c < graph.corners().size(); ++c) {
    std::set<std::string> streets;
    std::size_t arms = 0;
    for (const std::size_t piece : graph.pieces_at(c)) {
      const WalkerStreet& way = ways[graph.pieces()[piece].way];
      ++arms;
      if (!way.for_feet_alone && !way.name.empty()) streets.insert(way.name);
    }
    if (arms >= 3 && streets.size() >= 2) {
      corners_.push_back({graph.corners()[c], {streets.begin(), streets.end()}});
    }
  }
}

std::string Landmarks::at(ScenePoint place, std::size_t way, LengthUnits units) const {
  std::string text;
  const auto add = [&](const std::string& words) { text += (text.empty() ? "" : "; ") + words; };
  const auto nearest = [&](const auto& marks, double within_m) {
    auto best = marks.end();
    for (auto mark = marks.begin(); mark != marks.end(); ++mark) {
      const double d = apart(mark->place, place);
      if (d <= within_m && (best == marks.end() || d < apart(best->place, place))) best = mark;
    }
    return best;
  };
  if (const auto house = nearest(houses_, house_near_m); house != houses_.end()) {
    add("by " + house->words);
  }
  if (const auto pole = nearest(poles_, pole_near_m); pole != poles_.end()) {
    add(length_text(apart(pole->place, place), units) + " from " + pole->words);
  }
  const std::string own = name_of(ways_[way]);
  const Corner* best = nullptr;
  for (const Corner& corner : corners_) {
    const bool on_own =
        std::find(corner.streets.begin(), corner.streets.end(), own) != corner.streets.end();
    const double d = apart(corner.place, place);
    if (!on_own || d > corner_near_m) continue;
    if (best == nullptr || d < apart(best->place, place)) best = &corner;
  }
  if (best != nullptr) {
    const ScenePoint corner{best->place.x, best->place.y, place.z_m};
    std::string others;
    for (const std::string& street : best->streets) {
      if (street != own) others += (others.empty() ? "" : " and ") + street;
    }
    add(length_text(apart(best->place, place), units) + " " +
        compass_word(scene_.frame.true_azimuth(corner, place)) + " of the corner with " + others);
  }
  return text;
}

}  // namespace sim
