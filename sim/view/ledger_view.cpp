// The account of one link, for the page.
#include <cmath>

#include "sim/explain/sentence.h"
#include "sim/explain/wording.h"
#include "sim/view/parts.h"

namespace sim {
namespace {

std::string_view group_name(TermGroup group) {
  switch (group) {
    case TermGroup::free_space:
      return "free_space";
    case TermGroup::diffraction:
      return "diffraction";
    case TermGroup::foliage:
      return "foliage";
    case TermGroup::penetration:
      return "penetration";
    case TermGroup::gas_rain:
      return "gas_rain";
  }
  return "";
}

Json term_json(const LossTerm& term) {
  Json json{{"model", term.model},
            {"source", term.source},
            {"group", group_name(term.group)},
            {"loss_db", rounded(term.loss.value, 3)},
            {"cause", to_string(term.cause)},
            {"thing", thing_index(term.obstacle)},
            {"in_range", term.validity == Validity::inside},
            {"spread_db", rounded(term.spread.value, 2)}};
  if (term.band) {
    json["low_db"] = rounded(term.band->low.value, 3);
    json["high_db"] = rounded(term.band->high.value, 3);
  }
  return json;
}

/// From the antenna over the mirrors to the phone, and how strong beside the direct path.
Json reflected_json(const Scene& scene, const LinkResult& link) {
  Db direct = link.pattern;
  for (const LossTerm& term : link.terms) direct = direct - term.loss;
  Json list = Json::array();
  for (std::size_t i = 0; i < link.reflected.size(); ++i) {
    const ReflectedPath& path = link.reflected[i];
    std::vector<ScenePoint> points{scene.nodes[link.node].position};
    std::string surface;
    for (const Bounce& bounce : path.bounces) {
      points.push_back(bounce.at);
      surface += (surface.empty() ? "" : ", ") + name_of(scene, bounce.obstacle);
    }
    points.push_back(link.receiver.position);
    list.push_back({{"points", line_json(points)},
                    {"level_db", rounded((path.pattern - path.loss - direct).value, 2)},
                    {"surface", surface},
                    {"strongest", static_cast<int>(i) == link.strongest_reflection}});
  }
  return list;
}

}  // namespace

Json thing_index(ObstacleId obstacle) {
  return obstacle == no_obstacle ? Json(-1) : Json(obstacle);
}

Json ledger_view(const Scene& scene, const ReceiverRow& row, const ReceiverCells& cells) {
  const LinkResult& link = row.link;
  const Node& node = scene.nodes[link.node];
  const Sector& sector = node.sectors[link.sector];
  const auto text = cells(row);
  Json columns = Json::object();
  for (std::size_t i = 0; i < text.size(); ++i) columns[receiver_columns()[i]] = text[i];
  Json terms = Json::array();
  for (const LossTerm& term : link.terms) terms.push_back(term_json(term));
  Json crossings = Json::array();
  for (const Crossing& c : link.path.crossings) {
    crossings.push_back({{"thing", thing_index(c.obstacle)},
                         {"enter_m", rounded(c.enter_m, 2)},
                         {"exit_m", rounded(c.exit_m, 2)}});
  }
  const Clearance& clearance = link.path.clearance;
  const bool near = std::isfinite(clearance.clearance_m);
  return {{"node", node.id},
          {"sector", sector.id},
          {"from", place_json(node.position)},
          {"to", place_json(link.receiver.position)},
          {"frequency_ghz", sector.frequency.ghz()},
          {"row", std::move(columns)},
          {"terms", std::move(terms)},
          {"eirp_dbm", rounded(link.eirp.value, 3)},
          {"pattern_db", rounded(link.pattern.value, 3)},
          {"receiver_gain_db", rounded(link.receiver_gain.value, 3)},
          {"turned_away_db", rounded(link.turned_away.value, 3)},
          {"reflection_gain_db", rounded(link.reflection_gain.value, 3)},
          {"broadcast_db", rounded(link.broadcast.value, 3)},
          {"per_element_db", rounded(link.per_element.value - link.received.value, 3)},
          {"rsrp_dbm", rounded(link.rsrp.value, 3)},
          {"sigma_db", rounded(link.sigma.value, 2)},
          {"crossings", std::move(crossings)},
          {"clearance_m", near ? rounded(clearance.clearance_m, 3) : Json(nullptr)},
          {"clearance_fresnel", near ? rounded(clearance.fresnel_radii, 3) : Json(nullptr)},
          {"clearance_at_m", near ? rounded(clearance.at_m, 2) : Json(nullptr)},
          {"reflected", reflected_json(scene, link)}};
}

std::string ledger_json(const Scene& scene, const ReceiverRow& row) {
  return text_of(ledger_view(scene, row, ReceiverCells(scene)));
}

std::string link_sentence(const Scene& scene, const LinkResult& link, LengthUnits units) {
  ExplainedPoint point;
  point.measurement.place = Xy{};  // it has one; where it is does not come into the words
  point.stand = ReceiverPoint{.id = "", .receiver = link.receiver};
  point.link = link;
  return sentence_of(scene, point, {}, units);
}

std::string link_sentence_json(const Scene& scene, const LinkResult& link) {
  return text_of(text_json([&](LengthUnits units) { return link_sentence(scene, link, units); }));
}

}  // namespace sim
