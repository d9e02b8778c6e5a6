// "120 m along Mill Street, left": a place without GPS.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "sim/import/records.h"
#include "sim/survey/survey.h"

namespace sim {

using TellIssue =
    std::function<void(const std::string& code, const std::string& message, Severity severity)>;

/// From the row's node along the street's centre line, bends followed, ways of one name joined, and
/// to the footway of its side (`m.street`, `m.node`, `m.side`). Positive the way the street is
/// drawn. nullopt, and told, where the street or node is not known or the distance goes beyond the
/// street.
std::optional<Xy> place_along_street(const ImportedSite& site, const Measurement& m,
                                     std::optional<double> along_m, const TellIssue& tell);

/// "positive distances run to the north-east, left is north-west": which way that is, for people.
std::string street_direction(const ImportedSite& site, const Measurement& m);

}  // namespace sim
