// What the answers rest on: the site, what is assumed, what was read, and by which models.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "sim/loss/exposure.h"
#include "sim/report/credits.h"
#include "sim/view/parts.h"

namespace sim {
namespace {

Json named(std::string_view name, const std::string& value) {
  return {{"name", name}, {"value", value}};
}

std::string words(std::string_view value) {
  std::string text(value);
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

std::string heights_in_words(const Scene& scene) {
  std::map<std::string, std::size_t> counts;
  std::size_t buildings = 0;
  for (const Obstacle& o : scene.obstacles) {
    if (o.kind != ObstacleKind::building) continue;
    ++buildings;
    ++counts[o.height_source];
  }
  std::string text = std::to_string(buildings);
  std::string sources;
  for (const auto& [source, count] : counts) {
    sources += fmt::format("{}{} {}", sources.empty() ? "" : ", ", count, source);
  }
  return sources.empty() ? text : text + " (heights: " + sources + ")";
}

std::size_t count_of(const Scene& scene, ObstacleKind kind) {
  return static_cast<std::size_t>(std::count_if(scene.obstacles.begin(), scene.obstacles.end(),
                                                [&](const Obstacle& o) { return o.kind == kind; }));
}

std::string number(double value) { return fmt::format("{:.10g}", value); }

}  // namespace

Json about_view(const PageAnswers& answers) {
  const Scene& scene = answers.scene;
  const Conditions& c = scene.conditions;
  Json rows{named("Site", answers.stamp.site_name),
            named("Coordinates", answers.imported.crs.name()),
            named("Heights", answers.imported.vertical_datum)};
  for (const Node& node : scene.nodes) {
    std::string sectors;
    double screening_m = 0.0;
    for (const Sector& s : node.sectors) {
      sectors +=
          fmt::format("{}{} at {:.0f}\u00b0, {} GHz, {} dBm EIRP", sectors.empty() ? "" : "; ",
                      s.id, s.azimuth.degrees(), number(s.frequency.ghz()), number(s.eirp.value));
      screening_m = std::max(screening_m,
                             exposure_distance_m(s.eirp, s.frequency, ExposureLimit::fcc_public));
    }
    rows.push_back(named(
        fmt::format("Node {}", node.id),
        fmt::format("{} m up; {}; free-space exposure screening distance {:.1f} m in the beam",
                    number(node.height_agl_m), sectors, screening_m)));
  }
  rows.push_back(
      named("Phone", fmt::format("{} m above ground, {}", number(c.receiver_height_agl_m),
                                 words(to_string(c.receiver_context)))));
  rows.push_back(named(
      "Day", fmt::format("trees {}, {}", c.leaf_on ? "in leaf" : "bare",
                         c.rain_mm_per_h > 0.0 ? fmt::format("rain of {} mm/h", c.rain_mm_per_h)
                                               : "no rain")));
  rows.push_back(
      named("Radius", fmt::format("{} m, a place every {} m", number(answers.options.radius_m),
                                  number(answers.options.spacing_m))));
  const double bounces = c.defaults("reflections");
  rows.push_back(named("Reflections", bounces > 0.0
                                          ? fmt::format("up to {} off walls, ground and large "
                                                        "things, and what facades scatter",
                                                        number(bounces))
                                          : "not traced"));
  rows.push_back(named("Buildings", heights_in_words(scene)));
  rows.push_back(named(
      "Street",
      fmt::format("{} poles, {} trees, {} vehicles", count_of(scene, ObstacleKind::pole),
                  count_of(scene, ObstacleKind::crown), count_of(scene, ObstacleKind::vehicle))));
  rows.push_back(named("Made with", "kerbray " + answers.stamp.version));
  return rows;
}

Json assumptions_view(const Scene& scene) {
  Json list = Json::array();
  for (const auto& [name, value] : scene.conditions.defaults.all()) {
    list.push_back({{"name", name},
                    {"value", number(value.value)},
                    {"source", value.source},
                    {"from_site", value.source.starts_with("site file")}});
  }
  return list;
}

Json quality_view(const PageAnswers& answers) {
  Json layers = Json::array();
  for (const LayerCount& layer : answers.imported.report.layers) {
    layers.push_back({{"file", source_words(answers.imported, {layer.path, layer.layer, -1})},
                      {"what", layer.what},
                      {"read", layer.read},
                      {"used", layer.used},
                      {"set_aside", layer.dropped},
                      {"repaired", layer.repaired},
                      {"defaulted", layer.defaulted},
                      {"outside", layer.outside}});
  }
  // One remark of each kind speaks for all.
  struct Remark {
    const Issue* first;
    std::size_t count;
  };
  std::map<std::pair<std::string, std::string>, Remark> kinds;
  const auto add = [&](const std::vector<Issue>& issues) {
    for (const Issue& issue : issues) {
      auto [at, fresh] = kinds.try_emplace({std::string(to_string(issue.severity)), issue.code},
                                           Remark{&issue, 0});
      ++at->second.count;
    }
  };
  add(answers.imported.report.issues);
  if (answers.survey != nullptr) add(answers.survey->issues);
  Json remarks = Json::array();
  for (const auto& [kind, remark] : kinds) {
    remarks.push_back({{"severity", kind.first},
                       {"where", source_words(answers.imported, remark.first->where)},
                       {"message", remark.first->message},
                       {"count", remark.count}});
  }
  return {{"layers", std::move(layers)}, {"remarks", std::move(remarks)}};
}

Json sources_view(const PageAnswers& answers) {
  std::map<std::string, std::set<std::string>> models;
  const auto add = [&](const LinkResult& link) {
    for (const LossTerm& term : link.terms) {
      models[std::string(term.source)].insert(std::string(term.model));
    }
  };
  if (answers.explanation != nullptr) {
    for (const ExplainedPoint& point : answers.explanation->points) {
      if (point.link) add(*point.link);
    }
  }
  if (answers.asked != nullptr) {
    for (const ReceiverRow& row : answers.asked->rows) add(row.link);
  }
  for (const LinkResult& link : answers.sampled) add(link);
  Json list = Json::array();
  for (const auto& [source, names] : models) {
    list.push_back({{"title", source}, {"models", names}});
  }
  return list;
}

Json attribution_view(const ImportedSite& imported, const Scene& scene) {
  return data_credits(imported, scene);
}

}  // namespace sim
