#include "sim/link/cause.h"

#include <algorithm>

namespace sim {

void decide_cause(LinkResult& link, const LinkSettings& settings) {
  constexpr Db least_cost{0.5};  // less is no reason for anything
  const LossTerm* dearest = nullptr;
  Db obstruction;
  for (const LossTerm& term : link.terms) {
    const bool stands_in_the_way = term.group == TermGroup::diffraction ||
                                   term.group == TermGroup::foliage ||
                                   term.group == TermGroup::penetration;
    if (!stands_in_the_way || term.loss < least_cost) continue;
    obstruction += term.loss;
    if (dearest == nullptr || term.loss > dearest->loss) dearest = &term;
  }
  const Db pattern_loss = -link.pattern;
  const Facing& facing = link.receiver.facing ? *link.receiver.facing : settings.facing;
  // A phone as it is held is turned no particular way: nothing to blame.
  const Db turned_away = facing.way == Facing::Way::held ? Db(0.0) : link.turned_away;
  const bool at_edge = pattern_loss.value > settings.sector_edge_db;
  if (link.state != LinkState::hold) {
    const Dbm better = link.state == LinkState::drop ? settings.drop_rsrp : settings.hold_rsrp;
    const Db avoidable = obstruction + turned_away + (at_edge ? pattern_loss : Db(0.0));
    // Reflected paths stay as they are when the direct one is freed.
    const Dbm freed = link.rsrp - link.reflection_gain + avoidable;
    if (std::max(freed, link.rsrp) < better) {
      link.cause = Cause::distance;
      return;
    }
  }
  const Db dearest_loss = dearest == nullptr ? least_cost : dearest->loss;
  if (at_edge && pattern_loss > std::max(dearest_loss, turned_away)) {
    link.cause = Cause::sector;
  } else if (turned_away > dearest_loss) {
    link.cause = Cause::body;
  } else if (dearest != nullptr) {
    link.cause = dearest->cause;
    link.cause_obstacle = dearest->obstacle;
  } else if (link.state != LinkState::hold) {
    link.cause = Cause::distance;
  }
}

}  // namespace sim
