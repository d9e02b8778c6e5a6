// The words of caution that go with every answer.
#pragma once

#include <array>
#include <string_view>

namespace sim {

inline constexpr std::array<std::string_view, 4> cautions{
    "Predictions are estimates for planning a test, not a service guarantee.",
    "Never operate a phone while driving; mind traffic, and test from the footway.",
    "Keep the distance that signs at an antenna ask for: the exposure distance shown is a "
    "free-space "
    "screening figure, not a compliance assessment; local codes and licensed practice decide.",
    "Do not climb poles or roofs, and respect private land."};

/// Where [predict] reflections is 0.
inline constexpr std::string_view without_reflections_caution =
    "Reflections were not traced ([predict] reflections = 0): round a corner the link may hold "
    "where this says it drops.";

}  // namespace sim
