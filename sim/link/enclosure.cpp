#include "sim/link/enclosure.h"

#include "sim/loss/entry.h"
#include "sim/loss/material.h"
#include "sim/loss/slab.h"

namespace sim {
namespace {

constexpr int release = 19;  // of TR 38.901, for coated glass

Validity within(Frequency f, double low_ghz, double high_ghz) {
  return f.ghz() >= low_ghz && f.ghz() <= high_ghz ? Validity::inside : Validity::outside;
}

LossTerm enclosure_term(std::string_view model, std::string_view source) {
  return {
      .model = model, .source = source, .group = TermGroup::penetration, .cause = Cause::enclosure};
}

LossTerm vehicle(Frequency f, const Housing& housing, Db offset) {
  LossTerm term = enclosure_term("vehicle_entry", "TR 38.901 section 7.4.3.2");
  const EntryLoss entry = vehicle_entry_loss(housing.metallised_windows);
  term.loss = entry.loss + offset;
  term.spread = entry.sigma;
  term.validity = within(f, 0.6, 60.0);
  return term;
}

/// A pane alone. Its spread is that of the facade made mostly of it: low-loss for plain glass,
/// high-loss for coated.
LossTerm pane(Frequency f, const Housing& housing) {
  const Db spread = facade_entry_loss(f, housing.coated_glass, release).sigma;
  if (housing.glass_thickness_mm > 0.0) {
    LossTerm term = enclosure_term("slab", "ITU-R P.2040-3 section 2.2.2, glass, straight through");
    const MaterialCurve* glass = find_material("glass", f);
    term.loss = slab_loss(material_properties(*glass, f).eta, housing.glass_thickness_mm / 1000.0,
                          f, Angle(), WavePolarization::te)
                    .transmission;
    term.spread = spread;
    term.validity = glass->holds(f) ? Validity::inside : Validity::outside;
    return term;
  }
  LossTerm term =
      enclosure_term(housing.coated_glass ? "coated_glass" : "glass", "TR 38.901 Table 7.4.3-1");
  term.loss = housing.coated_glass ? coated_glass_loss(f, release) : glass_loss(f);
  term.spread = spread;
  term.validity = within(f, 0.5, 100.0);
  return term;
}

LossTerm facade(Frequency f, Angle elevation, const Housing& housing) {
  if (housing.facade == Facade::low_loss || housing.facade == Facade::high_loss) {
    LossTerm term = enclosure_term("facade_entry", "TR 38.901 Table 7.4.3-2");
    const EntryLoss entry = facade_entry_loss(f, housing.facade == Facade::high_loss, release);
    term.loss = entry.loss;
    term.spread = entry.sigma;
    term.validity = within(f, 0.5, 100.0);
    return term;
  }
  LossTerm term = enclosure_term("building_entry", "ITU-R P.2109-1");
  const bool efficient = housing.facade == Facade::efficient;
  constexpr double below = 0.158655, above = 0.841345;  // one sigma of the normal distribution
  term.loss = building_entry_loss(f, efficient, elevation, 0.5);
  term.spread = 0.5 * (building_entry_loss(f, efficient, elevation, above) -
                       building_entry_loss(f, efficient, elevation, below));
  term.validity = within(f, 0.08, 100.0);
  return term;
}

LossTerm flesh(std::string_view model, double loss_db, const LinkSettings& settings) {
  return {.model = model,
          .source = "assets/defaults.csv",
          .group = TermGroup::penetration,
          .loss = Db(loss_db),
          .cause = Cause::body,
          .spread = Db(settings.defaults("body_spread_db"))};
}

}  // namespace

void add_enclosure(const Receiver& receiver, Frequency f, Angle elevation,
                   const LinkSettings& settings, std::vector<LossTerm>& terms) {
  const Housing& housing = settings.housing;
  switch (receiver.context) {
    case ReceiverContext::outdoor:
      break;
    case ReceiverContext::in_vehicle:
      terms.push_back(vehicle(f, housing, Db(settings.defaults("vehicle_offset_db"))));
      break;
    case ReceiverContext::behind_glass:
      terms.push_back(housing.facade == Facade::none ? pane(f, housing)
                                                     : facade(f, elevation, housing));
      // P.2109 already holds the depth indoors.
      if (housing.indoor_depth_m > 0.0 &&
          (housing.facade == Facade::low_loss || housing.facade == Facade::high_loss)) {
        LossTerm depth = enclosure_term("indoor_depth", "TR 38.901 Table 7.4.3-2");
        depth.loss = Db(settings.defaults("indoor_db_per_m") * housing.indoor_depth_m);
        terms.push_back(depth);
      }
      break;
    case ReceiverContext::body_blocked:
      terms.push_back(flesh("body", settings.defaults("body_loss_db"), settings));
      break;
  }
  if (housing.hand_over_panel) {
    terms.push_back(flesh("hand", settings.defaults("hand_loss_db"), settings));
  }
}

}  // namespace sim
