#include "sim/link/enclosure.h"

#include "sim/loss/entry.h"

namespace sim {

void add_enclosure(const Receiver& receiver, Frequency f, const LinkSettings& settings,
                   std::vector<LossTerm>& terms) {
  LossTerm term{.group = TermGroup::penetration, .cause = Cause::enclosure};
  switch (receiver.context) {
    case ReceiverContext::outdoor:
      return;
    case ReceiverContext::in_vehicle:
      term.model = "vehicle_entry";
      term.source = "TR 38.901 section 7.4.3.2";
      term.loss = vehicle_entry_loss(false).loss;
      term.validity = f.ghz() >= 0.6 && f.ghz() <= 60.0 ? Validity::inside : Validity::outside;
      break;
    case ReceiverContext::behind_glass:
      term.model = "glass";
      term.source = "TR 38.901 Table 7.4.3-1";
      term.loss = glass_loss(f);
      break;
    case ReceiverContext::body_blocked:
      term.model = "body";
      term.source = "assets/defaults.csv";
      term.loss = Db(settings.defaults("body_loss_db"));
      term.cause = Cause::body;
      break;
  }
  terms.push_back(term);
}

}  // namespace sim
