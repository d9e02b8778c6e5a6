// Which column of a survey is what.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "sim/import/site.h"

namespace sim {

/// Our columns that hold a measurement.
inline constexpr std::array measured_columns{"rsrp_dbm",    "sinr_db",    "downlink_mbps",
                                             "uplink_mbps", "latency_ms", "connected"};

struct SurveyColumn {
  std::size_t index = 0;      ///< in the file
  double factor = 1.0;        ///< of a bare number, to be in metres, Mbit/s, ms
  bool unit_assumed = false;  ///< neither our name nor the header tells the unit
};

/// By our names. First as the site file maps them, then by our own names, then by names that logs
/// often use, with the unit in the header ("Downlink (Gbps)", "ping_ms"). Throws InputError for a
/// mapping to a column that is not there, for an unknown name of ours, for two columns that may be
/// meant alike, and for a unit in brackets that is none of the quantity.
std::map<std::string, SurveyColumn> survey_columns(const std::vector<std::string>& fields,
                                                   const SurveySettings& settings);

}  // namespace sim
