#include "sim/survey/measured_drops.h"

#include <cmath>

namespace sim {

std::optional<bool> dropped(const Measurement& m, double drop_rsrp_dbm) {
  if (m.connected) return !*m.connected;
  if (m.rsrp_dbm) return *m.rsrp_dbm < drop_rsrp_dbm;
  return std::nullopt;
}

std::vector<MeasuredDrop> find_measured_drops(const std::vector<Measurement>& measurements,
                                              double drop_rsrp_dbm) {
  std::vector<MeasuredDrop> drops;
  bool open = false;
  for (const Measurement& m : measurements) {
    if (!dropped(m, drop_rsrp_dbm).value_or(false)) {
      open = false;
      continue;
    }
    if (!open || drops.back().survey != m.survey || drops.back().run != m.run) {
      drops.push_back({.survey = m.survey, .run = m.run, .first_row = m.row, .last_row = m.row});
    }
    open = true;
    MeasuredDrop& drop = drops.back();
    drop.last_row = m.row;
    if (!m.place) continue;
    if (drop.to) drop.walked_m += std::hypot(m.place->x - drop.to->x, m.place->y - drop.to->y);
    if (!drop.from) drop.from = m.place;
    drop.to = m.place;
  }
  return drops;
}

}  // namespace sim
