// What was measured, and where.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/import/records.h"
#include "sim/scene/scene.h"

namespace sim {

enum class PlacedBy { gps, along_street, track, address };
std::string_view to_string(PlacedBy placed_by);

/// One survey row. Absent numbers are nullopt; nothing is moved or smoothed.
struct Measurement {
  std::string survey;    ///< file name without folder
  std::int64_t row = 0;  ///< 1 = first row after the header
  SourceRef source;
  std::optional<Xy> place;  ///< site CRS; nullopt = could not be placed
  PlacedBy placed_by = PlacedBy::gps;
  std::string time;  ///< ISO 8601 UTC, empty when not given
  std::optional<double> lon_deg, lat_deg, accuracy_m;
  std::string node, note, street, side;
  ReceiverContext context = ReceiverContext::outdoor;
  std::optional<double> downlink_mbps, uplink_mbps, latency_ms, rsrp_dbm, sinr_db;
  std::optional<bool> connected;
};

/// Repeats at one place.
struct RepeatSummary {
  Xy place;
  std::size_t count = 0;
  double median_rsrp_dbm = 0.0, spread_rsrp_db = 0.0;  ///< NaN without levels; spread = IQR
  double median_downlink_mbps = 0.0, spread_downlink_mbps = 0.0;
};

struct Survey {
  std::vector<Measurement> measurements;  ///< of all files, in input order
  std::vector<RepeatSummary> repeats;
  std::vector<Issue> issues;
};

/// Reads every [[survey]] of the site. Throws InputError for files or columns that cannot be used;
/// single bad rows are kept without place or value and reported.
Survey read_surveys(const ImportedSite& imported);

}  // namespace sim
