// Invented streets with one planted reason for a surprising point: what is truly there, what the
// map knows of it, and what a tester's phone would have shown. Nothing here reads the explaining
// code.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/link/link.h"
#include "sim/survey/survey.h"
#include "tests/explain/dice.h"
#include "tests/support/street.h"

namespace sim::test {

struct TruthSite {
  Cause planted = Cause::none;
  std::optional<Cause> second;  ///< of a compound site
  ImportedSite truth, map;      ///< what stands there, and what the map holds of it
  Survey survey;                ///< good points, then the surprising one
  ScenePoint true_place;        ///< of the phone at the surprising point
  ReceiverContext context = ReceiverContext::outdoor;
  const Measurement& surprise() const { return survey.measurements.back(); }
};

/// One site with that cause, by a seed of its own. Draws until the planted thing costs what it
/// should and nothing else costs a decibel.
TruthSite truth_site(Cause planted, std::uint64_t seed);

/// Two causes at once, each of which costs at least 6 dB.
TruthSite compound_site(std::uint64_t seed);

/// An obstacle that the map lacks among the rays of two or three nodes: at least six of them taken.
struct HiddenSite {
  ImportedSite truth, map;
  Survey survey;
  ScenePoint hidden;  ///< its middle
  int rays_taken = 0;
};
HiddenSite hidden_site(std::uint64_t seed);

/// The same site without the records of that id.
ImportedSite without(ImportedSite site, const std::string& id);

/// The strongest of the node's sectors there, in dBm, by the link model.
LinkResult link_at(const Street& street, ScenePoint place, ReceiverContext context,
                   NodeIndex node = 0);

}  // namespace sim::test
