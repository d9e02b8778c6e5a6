// Measured points and those that were asked for, what is suspected, and where walks lost the link.
#include <fmt/format.h>

#include <cmath>

#include "sim/explain/sentence.h"
#include "sim/explain/wording.h"
#include "sim/report/answers.h"
#include "sim/report/street_verdicts.h"
#include "sim/view/parts.h"

namespace sim {
namespace {

template <class Value>
Json or_null(const std::optional<Value>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json measured_json(const Measurement& m) {
  return {{"rsrp_dbm", or_null(m.rsrp_dbm)},           {"sinr_db", or_null(m.sinr_db)},
          {"downlink_mbps", or_null(m.downlink_mbps)}, {"uplink_mbps", or_null(m.uplink_mbps)},
          {"latency_ms", or_null(m.latency_ms)},       {"connected", or_null(m.connected)}};
}

Json costs_json(const Scene& scene, const std::vector<Cost>& costs) {
  Json list = Json::array();
  for (const Cost& cost : costs) {
    list.push_back({{"what", cost.obstacle != no_obstacle ? name_of(scene, cost.obstacle)
                                                          : std::string(to_string(cost.cause))},
                    {"thing", thing_index(cost.obstacle)},
                    {"cost_db", rounded(cost.cost.value, 2)}});
  }
  return list;
}

Json step_json(const std::optional<Step>& step) {
  if (!step) return nullptr;
  return {{"east_m", rounded(step->east_m, 2)},
          {"north_m", rounded(step->north_m, 2)},
          {"distance_m", rounded(step->distance_m(), 2)}};
}

/// A row that names its place is called by it, else by its file and number.
std::string called(const Measurement& m) {
  return m.spot.empty() ? fmt::format("{} {}", m.survey, m.row) : m.spot;
}

Json point_json(const Scene& scene, const ExplainedPoint& point, const PredictOptions& options,
                const ReceiverCells& cells) {
  const Measurement& m = point.measurement;
  Json json{{"id", called(m)},
            {"kind", "measured"},
            {"survey", m.run.empty() ? m.survey : m.survey + " " + m.run},
            {"row", m.row},
            {"place", point.stand ? place_json(point.stand->receiver.position) : Json(nullptr)},
            {"accuracy_m", or_null(m.accuracy_m)},
            {"context", to_string(m.context)},
            {"note", m.note},
            {"time", m.time},
            {"measured", measured_json(m)},
            {"residual_db", point.residual_db ? rounded(*point.residual_db, 2) : Json(nullptr)},
            {"cause", to_string(point.cause)},
            {"cause_id", cause_id(scene, point.cause_obstacle)},
            {"thing", thing_index(point.cause_obstacle)},
            {"confidence", rounded(point.confidence, 3)},
            {"costs", costs_json(scene, point.costs)},
            {"step", step_json(point.step)}};
  json["sentence"] =
      text_json([&](LengthUnits units) { return sentence_of(scene, point, options, units); });
  if (!point.link) {
    json["distance_m"] = nullptr;
    json["ledger"] = nullptr;
    return json;
  }
  json["distance_m"] = rounded(point.link->distance_2d_m, 2);
  ReceiverRow row{.point = *point.stand, .link = *point.link};
  row.point.id = called(m);
  json["ledger"] = ledger_view(scene, row, cells);
  return json;
}

/// "through the leaves of tree 7", "at the edge of a shadow": of what walks found, too.
std::string likely_cause(const Scene& scene, Cause cause, ObstacleId obstacle) {
  if (obstacle == no_obstacle) {
    if (cause == Cause::unmapped) return "behind something that is not on the map";
    if (cause == Cause::foliage) return "through leaves";
    if (cause == Cause::position) return "at the edge of a shadow";
    if (cause == Cause::load) return "for a busy cell";
  }
  return cause_phrase(scene, cause, obstacle);
}

/// Ends and length of a stretch, and what the map says of it.
std::string drop_sentence(const Scene& scene, const Explanation& explanation,
                          const ExplainedDrop& drop, LengthUnits units) {
  const auto row = [&](std::size_t i) { return explanation.points[i].measurement.row; };
  std::string text =
      drop.measured.rows() == 1
          ? fmt::format("{}: no link at row {}", drop.survey, row(drop.measured.first))
          : fmt::format("{}: no link over {}, rows {} to {}", drop.survey,
                        length_text(drop.walked_m, units), row(drop.measured.first),
                        row(drop.measured.last));
  if (!drop.run.empty()) text = drop.run + ", " + text;
  if (!drop.regained) text += ", not regained";
  if (!drop.comparable) return text + "; no node in range, so nothing can be said about why.";
  text += drop.predicted ? fmt::format("; the map drops it there too ({:.0f} % of the rows agree)",
                                       100.0 * drop.agreement)
                         : "; the map holds it throughout";
  if (drop.cause != Cause::none) {
    text += fmt::format("; most likely {}", likely_cause(scene, drop.cause, drop.cause_obstacle));
  }
  return text + ".";
}

std::string suspect_sentence(const Scene& scene, const Suspect& suspect, LengthUnits units) {
  const Node& node = scene.nodes[suspect.node];
  const std::string where = fmt::format(
      "{} {} of node {}", length_text(horizontal_distance_m(node.position, suspect.place), units),
      compass_word(scene.frame.true_azimuth(node.position, suspect.place)), node.id);
  const std::string rays = fmt::format("{} weak {}", suspect.points.size(),
                                       suspect.points.size() == 1 ? "point" : "points");
  if (!suspect.enough_evidence) {
    return fmt::format(
        "Something {} could be missing from the map, but there is not enough evidence: {}; "
        "measure on both sides of them.",
        where, rays);
  }
  return fmt::format(
      "Something is probably missing from the map {}: about {} wide and {} high, {:.0f} % likely "
      "within {}; it would explain {}.",
      where, length_text(suspect.width_m, units), length_text(suspect.height_m, units),
      100.0 * suspect.likelihood, length_text(Suspect::place_tolerance_m, units), rays);
}

}  // namespace

Json points_view(const Scene& scene, const Explanation& explanation,
                 const PredictOptions& options) {
  const ReceiverCells cells(scene);
  Json list = Json::array();
  for (const ExplainedPoint& point : explanation.points) {
    list.push_back(point_json(scene, point, options, cells));
  }
  return list;
}

Json asked_view(const Scene& scene, const ReceiverAnswers& asked) {
  const ReceiverCells cells(scene);
  Json list = Json::array();
  for (const ReceiverRow& row : asked.rows) {
    const LinkResult& link = row.link;
    Json json{{"id", row.point.id},
              {"kind", "asked"},
              {"survey", ""},
              {"row", 0},
              {"place", place_json(row.point.receiver.position)},
              {"accuracy_m", nullptr},
              {"context", to_string(row.point.receiver.context)},
              {"note", ""},
              {"time", ""},
              {"measured", measured_json({})},
              {"residual_db", nullptr},
              {"cause", to_string(link.cause)},
              {"cause_id", cause_id(scene, link.cause_obstacle)},
              {"thing", thing_index(link.cause_obstacle)},
              {"confidence", 0},
              {"costs", Json::array()},
              {"step", nullptr},
              {"distance_m", rounded(link.distance_2d_m, 2)},
              {"ledger", ledger_view(scene, row, cells)}};
    json["sentence"] =
        text_json([&](LengthUnits units) { return link_sentence(scene, link, units); });
    list.push_back(std::move(json));
  }
  return list;
}

Json suspects_view(const Scene& scene, const Explanation& explanation) {
  Json list = Json::array();
  for (const Suspect& s : explanation.suspects) {
    list.push_back({{"place", place_json(s.place)},
                    {"width_m", rounded(s.width_m, 1)},
                    {"height_m", rounded(s.height_m, 1)},
                    {"likelihood", rounded(s.likelihood, 3)},
                    {"enough_evidence", s.enough_evidence},
                    {"points", s.points},
                    {"sentence", text_json([&](LengthUnits units) {
                       return suspect_sentence(scene, s, units);
                     })}});
  }
  return list;
}

Json measured_drops_view(const Scene& scene, const Explanation& explanation) {
  Json list = Json::array();
  for (const ExplainedDrop& drop : explanation.drops) {
    std::vector<ScenePoint> line;
    for (std::size_t i = drop.measured.first; i <= drop.measured.last; ++i) {
      const auto& stand = explanation.points[i].stand;
      if (stand) line.push_back(stand->receiver.position);
    }
    list.push_back({{"sentence", text_json([&](LengthUnits units) {
                       return drop_sentence(scene, explanation, drop, units);
                     })},
                    {"line", line_json(line)}});
  }
  return list;
}

std::string points_json(const Scene& scene, const Explanation& explanation,
                        const PredictOptions& options) {
  return text_of(points_view(scene, explanation, options));
}

std::string suspects_json(const Scene& scene, const Explanation& explanation) {
  return text_of(suspects_view(scene, explanation));
}

}  // namespace sim
