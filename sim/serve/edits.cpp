#include "sim/serve/edits.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/import/asset_tables.h"
#include "sim/import/leave_out.h"

namespace sim {
namespace {

/// Limits of the site file for the same numbers.
constexpr double lowest_node_m = 0.5, highest_node_m = 500.0;
constexpr double lowest_thing_m = 0.05, highest_thing_m = 200.0;
constexpr double most_rain_mm_per_h = 300.0;
constexpr double farthest_m = 16'000.0;  // as far as a scene may reach

[[noreturn]] void refuse(std::size_t edit, const std::string& what) {
  throw InputError({fmt::format("edits[{}]", edit), "", -1}, what);
}

void check(std::size_t edit, const char* name, double value, double low, double high) {
  if (value >= low && value <= high) return;
  refuse(edit,
         fmt::format("{} is {:g}, but must lie between {:g} and {:g}", name, value, low, high));
}

Xy place_on_map(const ImportedSite& site, std::size_t edit, double x_m, double y_m) {
  check(edit, "x_m", x_m, -farthest_m, farthest_m);
  check(edit, "y_m", y_m, -farthest_m, farthest_m);
  const Xy place{site.middle.x_m + x_m, site.middle.y_m + y_m};
  if (!site.ground.empty() && std::isnan(site.ground.sample(place.x, place.y))) {
    refuse(edit, fmt::format("{:.1f} m east, {:.1f} m north lies off the ground raster", x_m, y_m));
  }
  return place;
}

NodeRecord& node_of(std::vector<NodeRecord>& nodes, std::size_t edit, std::size_t node) {
  if (node >= nodes.size()) {
    refuse(edit, fmt::format("node {} of {}: they count from 0", node, nodes.size()));
  }
  return nodes[node];
}

/// Puts a thing of the usual size into the site; `number` counts the adds of the list.
void add(ImportedSite& site, std::size_t edit, const AddThing& thing, std::size_t number) {
  const std::string word(to_string(thing.what));
  const std::string id = fmt::format("added {} {}", word, number + 1);
  const SourceRef source{added_path, word, static_cast<std::int64_t>(number)};
  const Xy place = place_on_map(site, edit, thing.x_m, thing.y_m);
  if (thing.height_m) check(edit, "height_m", *thing.height_m, lowest_thing_m, highest_thing_m);
  if (thing.what == AddedKind::pole) {
    const PoleLayer usual;
    site.poles.push_back({.id = id,
                          .place = place,
                          .height_m = thing.height_m.value_or(usual.default_height_m),
                          .diameter_m = usual.default_diameter_m,
                          .height_defaulted = !thing.height_m,
                          .source = source});
  } else if (thing.what == AddedKind::tree) {
    const TreeLayer usual;
    site.trees.push_back({.id = id,
                          .place = place,
                          .height_m = thing.height_m.value_or(usual.default_height_m),
                          .crown_diameter_m = usual.default_crown_diameter_m,
                          .height_defaulted = !thing.height_m,
                          .species_class = "broadleaf",
                          .source = source});
  } else {
    check(edit, "heading_deg", thing.heading_deg, -360.0, 360.0);
    constexpr std::array kinds{ObjectKind::car, ObjectKind::van, ObjectKind::truck,
                               ObjectKind::bus};
    const ObjectKind kind = kinds.at(static_cast<std::size_t>(thing.what));
    const ObjectSize usual = read_object_sizes().at(std::string(to_string(kind)));
    site.objects.push_back({.id = id,
                            .kind = kind,
                            .place = place,
                            .lines = {},
                            .polygons = {},
                            .length_m = usual.length_m,
                            .width_m = usual.width_m,
                            .height_m = thing.height_m.value_or(usual.height_m),
                            .base_m = usual.base_m,
                            .heading = Angle::degrees(thing.heading_deg),
                            .material = usual.material,
                            .source = source});
  }
}

void take_back(ImportedSite& site, std::size_t edit, std::size_t number, std::size_t added) {
  if (number >= added) {
    refuse(edit, fmt::format("unadd names add {}, and {} stand before it", number, added));
  }
  const auto is_it = [&](const auto& record) {
    return record.source.path == added_path &&
           record.source.record == static_cast<std::int64_t>(number);
  };
  const std::size_t gone = std::erase_if(site.poles, is_it) + std::erase_if(site.trees, is_it) +
                           std::erase_if(site.objects, is_it);
  if (gone == 0) refuse(edit, fmt::format("add {} is taken back already", number));
}

}  // namespace

std::string_view to_string(AddedKind kind) {
  constexpr std::array<std::string_view, 6> words{"car", "van", "lorry", "bus", "tree", "pole"};
  return words[static_cast<std::size_t>(kind)];
}

bool changes_what_stands(const Edit& edit) {
  return std::holds_alternative<AddThing>(edit) || std::holds_alternative<RemoveThing>(edit) ||
         std::holds_alternative<UnaddThing>(edit);
}

void apply_to_things(ImportedSite& site, std::span<const Edit> edits) {
  std::size_t added = 0;
  for (std::size_t i = 0; i < edits.size(); ++i) {
    if (const auto* thing = std::get_if<AddThing>(&edits[i])) add(site, i, *thing, added++);
    if (const auto* back = std::get_if<UnaddThing>(&edits[i])) take_back(site, i, back->add, added);
    if (const auto* gone = std::get_if<RemoveThing>(&edits[i])) {
      if (take_out(site, gone->source) == 0) {
        refuse(i, "nothing in the site comes from '" + gone->source + "'" +
                      nearest_source(site, gone->source));
      }
    }
  }
}

NodesAndWeather nodes_and_weather(const ImportedSite& site, std::span<const Edit> edits) {
  NodesAndWeather now{
      .nodes = site.nodes, .leaf_on = site.site.leaf_on, .rain_mm_per_h = site.site.rain_mm_per_h};
  for (std::size_t i = 0; i < edits.size(); ++i) {
    if (const auto* move = std::get_if<MoveNode>(&edits[i])) {
      node_of(now.nodes, i, move->node).place = place_on_map(site, i, move->x_m, move->y_m);
    } else if (const auto* raise = std::get_if<RaiseNode>(&edits[i])) {
      check(i, "height_agl_m", raise->height_agl_m, lowest_node_m, highest_node_m);
      node_of(now.nodes, i, raise->node).height_agl_m = raise->height_agl_m;
    } else if (const auto* turn = std::get_if<TurnSector>(&edits[i])) {
      NodeRecord& node = node_of(now.nodes, i, turn->node);
      if (turn->sector >= node.sectors.size()) {
        refuse(i, fmt::format("sector {} of the {} of node '{}': they count from 0", turn->sector,
                              node.sectors.size(), node.id));
      }
      check(i, "azimuth_deg", turn->azimuth_deg, -360.0, 360.0);
      check(i, "downtilt_deg", turn->downtilt_deg, -90.0, 90.0);
      node.sectors[turn->sector].azimuth = Angle::degrees(turn->azimuth_deg);
      node.sectors[turn->sector].downtilt = Angle::degrees(turn->downtilt_deg);
    } else if (const auto* leaf = std::get_if<LeafOn>(&edits[i])) {
      now.leaf_on = leaf->on;
    } else if (const auto* rain = std::get_if<RainRate>(&edits[i])) {
      check(i, "mm_per_h", rain->mm_per_h, 0.0, most_rain_mm_per_h);
      now.rain_mm_per_h = rain->mm_per_h;
    }
  }
  return now;
}

ImportedSite edited_site(const ImportedSite& site, std::span<const Edit> edits) {
  ImportedSite edited = site;
  apply_to_things(edited, edits);
  NodesAndWeather now = nodes_and_weather(site, edits);
  edited.nodes = std::move(now.nodes);
  edited.site.leaf_on = now.leaf_on;
  edited.site.rain_mm_per_h = now.rain_mm_per_h;
  return edited;
}

}  // namespace sim
