#include "sim/compare/contrasts.h"

#include <functional>
#include <set>

namespace sim {
namespace {

using Stretches = std::vector<const Stretch*>;
/// What must be alike, of a stretch.
using LikenessOf = std::function<Likeness(const Stretch&)>;

/// Only where something was measured on both sides.
void add(std::vector<Contrast>& contrasts, Contrast contrast, const Stretches& a,
         const Stretches& b, const LikenessOf& likeness, const BootstrapSettings& settings) {
  const auto sorted = [&](const Stretches& stretches, const auto& value) {
    ByLikeness values;
    for (const Stretch* s : stretches) {
      if (value(*s)) values[likeness(*s)].push_back(*value(*s));
    }
    return values;
  };
  bool any = false;
  for (const Measure m : all_measures) {
    const auto value = [m](const Stretch& s) { return s.measured[m]; };
    const ByLikeness of_a = sorted(a, value), of_b = sorted(b, value);
    any = any || (!of_a.empty() && !of_b.empty());
    contrast.differences[m] = like_with_like(of_a, of_b, settings);
  }
  const auto linked = [](const Stretch& s) { return s.linked; };
  const ByLikeness of_a = sorted(a, linked), of_b = sorted(b, linked);
  any = any || (!of_a.empty() && !of_b.empty());
  contrast.linked = shares_like_with_like(of_a, of_b, settings);
  if (any) contrasts.push_back(std::move(contrast));
}

Stretches those(const Stretches& all, const std::function<bool(const Stretch&)>& wanted) {
  Stretches some;
  for (const Stretch* s : all) {
    if (wanted(*s)) some.push_back(s);
  }
  return some;
}

void within(std::vector<Contrast>& contrasts, const std::string& group, const Stretches& all,
            const BootstrapSettings& settings) {
  std::set<std::string> situations;
  for (const Stretch* s : all) situations.insert(s->like.situation);
  const auto held = [&](const std::string& way) {
    return those(all, [&](const Stretch& s) { return s.like.situation == way; });
  };
  for (const std::string& way : situations) {
    if (way == "outdoor") continue;
    add(
        contrasts, {Contrast::Kind::car, "outdoor", way, group, {}, {}}, held("outdoor"), held(way),
        [](const Stretch& s) {
          return Likeness{s.like.bin, s.like.sight, ""};
        },
        settings);
  }
  const auto seen = [&](InSight sight) {
    return those(all, [&](const Stretch& s) { return s.like.sight == sight; });
  };
  add(
      contrasts, {Contrast::Kind::sight, "in_sight", "out_of_sight", group, {}, {}},
      seen(InSight::in), seen(InSight::out),
      [](const Stretch& s) {
        return Likeness{s.like.bin, InSight::unknown, s.like.situation};
      },
      settings);
}

}  // namespace

std::string_view to_string(Contrast::Kind kind) {
  switch (kind) {
    case Contrast::Kind::groups:
      return "groups";
    case Contrast::Kind::car:
      return "held";
    case Contrast::Kind::sight:
      break;
  }
  return "sight";
}

std::vector<Contrast> contrasts_of(const GroupedStretches& groups, bool every_pair,
                                   const BootstrapSettings& settings) {
  std::vector<Contrast> contrasts;
  for (std::size_t i = 0;
       i < (every_pair ? groups.size() : std::min<std::size_t>(1, groups.size())); ++i) {
    for (std::size_t j = i + 1; j < groups.size(); ++j) {
      add(
          contrasts, {Contrast::Kind::groups, groups[i].first, groups[j].first, "", {}, {}},
          groups[i].second, groups[j].second, [](const Stretch& s) { return s.like; }, settings);
    }
  }
  for (const auto& [label, stretches] : groups) within(contrasts, label, stretches, settings);
  return contrasts;
}

}  // namespace sim
