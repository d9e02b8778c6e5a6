#include "sim/report/explained_row.h"

#include "sim/report/answers.h"
#include "sim/report/number_text.h"
#include "sim/report/summary_parts.h"

namespace sim {
namespace {

std::string number(const std::optional<double>& value, int decimals) {
  return value ? fixed(*value, decimals) : "";
}

/// The sector's beam: which, where it looks, and how the broadcast beam compares.
Json pattern_json(const LinkResult& link) {
  Json pattern{{"model", "pattern"}, {"gain_db", rounded(link.pattern.value, 2)}};
  if (link.beam >= 0) {
    pattern["beam"] = link.beam;
    pattern["beam_azimuth_deg"] = rounded(link.beam_points.azimuth.degrees(), 2);
    pattern["beam_elevation_deg"] = rounded(link.beam_points.elevation.degrees(), 2);
  }
  if (link.broadcast != Db(0.0)) {
    pattern["broadcast_over_data_db"] = rounded(link.broadcast.value, 2);
  }
  return pattern;
}

/// The ledger as JSON, one object per term.
std::string terms_json(const Scene& scene, const ExplainedPoint& point) {
  if (!point.link) return "";
  const LinkResult& link = *point.link;
  Json terms = Json::array();
  terms.push_back({{"model", "eirp"}, {"dbm", rounded(link.eirp.value, 2)}});
  terms.push_back(pattern_json(link));
  Json receiver{{"model", "receiver"}, {"gain_db", rounded(link.receiver_gain.value, 2)}};
  if (link.turned_away > Db(0.0)) receiver["turned_away_db"] = rounded(link.turned_away.value, 2);
  terms.push_back(receiver);
  if (link.reflection_gain.value > 0.0) {
    Json one{{"model", "reflections"}, {"gain_db", rounded(link.reflection_gain.value, 2)}};
    if (link.strongest_reflection >= 0) {
      const auto& path = link.reflected[static_cast<std::size_t>(link.strongest_reflection)];
      one["strongest_off"] = cause_id(scene, path.bounces.back().obstacle);
    }
    terms.push_back(std::move(one));
  }
  for (const LossTerm& term : link.terms) {
    Json one{{"model", term.model},
             {"source", term.source},
             {"loss_db", rounded(term.loss.value, 2)},
             {"cause", to_string(term.cause)}};
    if (term.band) {
      one["low_db"] = rounded(term.band->low.value, 2);
      one["high_db"] = rounded(term.band->high.value, 2);
    }
    if (term.obstacle != no_obstacle) {
      one["cause_id"] = cause_id(scene, term.obstacle);
      one["record"] = to_string(scene.obstacles[term.obstacle].source);
    }
    if (term.spread > Db(0.0)) one["spread_db"] = rounded(term.spread.value, 2);
    one["in_range"] = term.validity == Validity::inside;
    terms.push_back(std::move(one));
  }
  return terms.dump();
}

/// What the level would gain without each thing, dearest first.
std::string without_json(const Scene& scene, const ExplainedPoint& point) {
  if (!point.link) return "";
  Json list = Json::array();
  for (const Cost& cost : point.costs) {
    Json one{{"cause", to_string(cost.cause)},
             {"gain_db", rounded(cost.cost.value, 2)},
             {"spread_db", rounded(cost.spread.value, 2)}};
    if (cost.obstacle != no_obstacle) {
      one["cause_id"] = cause_id(scene, cost.obstacle);
      one["record"] = to_string(scene.obstacles[cost.obstacle].source);
    }
    list.push_back(std::move(one));
  }
  return list.dump();
}

template <class Read>
ExplainedColumn measured(std::string name, int decimals, Read read) {
  return {std::move(name), true, [=](const Scene&, const ExplainedPoint& p) {
            return number(read(p.measurement), decimals);
          }};
}

template <class Read>
ExplainedColumn measured_text(std::string name, Read read) {
  return {std::move(name), false,
          [=](const Scene&, const ExplainedPoint& p) { return std::string(read(p.measurement)); }};
}

template <class Read>
ExplainedColumn predicted(std::string name, int decimals, Read read) {
  return {std::move(name), true, [=](const Scene&, const ExplainedPoint& p) {
            return p.link ? fixed(read(*p.link), decimals) : std::string();
          }};
}

template <class Read>
ExplainedColumn predicted_text(std::string name, Read read) {
  return {std::move(name), false, [=](const Scene& scene, const ExplainedPoint& p) {
            return p.link ? std::string(read(scene, *p.link)) : std::string();
          }};
}

std::vector<ExplainedColumn> make_columns() {
  using M = Measurement;
  using L = LinkResult;
  using P = ExplainedPoint;
  return {
      measured_text("survey", [](const M& m) { return m.survey; }),
      measured("row", 0, [](const M& m) { return std::optional(static_cast<double>(m.row)); }),
      measured("lon", 7, [](const M& m) { return m.lon_deg; }),
      measured("lat", 7, [](const M& m) { return m.lat_deg; }),
      measured_text("time", [](const M& m) { return m.time; }),
      measured_text("placed_by",
                    [](const M& m) { return m.place ? to_string(m.placed_by) : "nothing"; }),
      measured("accuracy_m", 1, [](const M& m) { return m.accuracy_m; }),
      measured_text("context", [](const M& m) { return to_string(m.context); }),
      measured("measured_rsrp_dbm", 2, [](const M& m) { return m.rsrp_dbm; }),
      measured("measured_sinr_db", 2, [](const M& m) { return m.sinr_db; }),
      measured("measured_downlink_mbps", 1, [](const M& m) { return m.downlink_mbps; }),
      measured("measured_uplink_mbps", 1, [](const M& m) { return m.uplink_mbps; }),
      measured("measured_latency_ms", 1, [](const M& m) { return m.latency_ms; }),
      measured_text("connected",
                    [](const M& m) { return !m.connected   ? ""
                                            : *m.connected ? "yes"
                                                           : "no"; }),
      measured_text("note", [](const M& m) { return m.note; }),
      measured_text("run", [](const M& m) { return m.run; }),
      measured_text("facing", [](const M& m) { return m.facing ? to_string(*m.facing) : ""; }),
      measured_text("set_aside", [](const M& m) { return m.set_aside; }),
      predicted_text("node", [](const Scene& s, const L& l) { return s.nodes[l.node].id; }),
      predicted_text("sector", [](const Scene& s,
                                  const L& l) { return s.nodes[l.node].sectors[l.sector].id; }),
      predicted("distance_3d_m", 2, [](const L& l) { return l.distance_3d_m; }),
      predicted_text("predicted_sight",
                     [](const Scene&, const L& l) { return to_string(l.sight); }),
      predicted("predicted_clearance_m", 3,
                [](const L& l) { return l.path.clearance.clearance_m; }),
      predicted("predicted_path_loss_db", 2, [](const L& l) { return l.path_loss().value; }),
      predicted("predicted_rsrp_dbm", 2, [](const L& l) { return l.rsrp.value; }),
      predicted("predicted_snr_db", 2, [](const L& l) { return l.snr.value; }),
      predicted("predicted_downlink_mbps", 1, [](const L& l) { return l.downlink_mbps; }),
      predicted("predicted_uplink_mbps", 1, [](const L& l) { return l.uplink_mbps; }),
      predicted("predicted_p_hold", 4, [](const L& l) { return l.p_hold; }),
      predicted_text("predicted_state",
                     [](const Scene&, const L& l) { return to_string(l.state); }),
      {"residual_db", true, [](const Scene&, const P& p) { return number(p.residual_db, 2); }},
      {"cause", false, [](const Scene&, const P& p) { return std::string(to_string(p.cause)); }},
      {"cause_id", false, [](const Scene& s, const P& p) { return cause_id(s, p.cause_obstacle); }},
      {"confidence", true, [](const Scene&, const P& p) { return fixed(p.confidence, 3); }},
      {"terms", false, terms_json},
      {"step_east_m", true,
       [](const Scene&, const P& p) { return p.step ? fixed(p.step->east_m, 2) : ""; }},
      {"step_north_m", true,
       [](const Scene&, const P& p) { return p.step ? fixed(p.step->north_m, 2) : ""; }},
      {"step_distance_m", true,
       [](const Scene&, const P& p) { return p.step ? fixed(p.step->distance_m(), 2) : ""; }},
      {"sentence", false, [](const Scene&, const P& p) { return p.sentence; }},
      {"without", false, without_json},
  };
}

}  // namespace

const std::vector<ExplainedColumn>& explained_columns() {
  static const std::vector<ExplainedColumn> columns = make_columns();
  return columns;
}

}  // namespace sim
