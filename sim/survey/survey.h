// What was measured, and where.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/import/records.h"
#include "sim/scene/scene.h"
#include "sim/survey/bootstrap.h"
#include "sim/survey/measured_pair.h"

namespace sim {

enum class PlacedBy { gps, along_street, track, address };
std::string_view to_string(PlacedBy placed_by);

/// One survey row. Absent numbers are nullopt; nothing is moved or smoothed.
struct Measurement {
  std::string survey;    ///< file name without folder
  std::string run;       ///< of the column `run`; empty = the file is one run
  std::int64_t row = 0;  ///< 1 = first row after the header
  SourceRef source;
  std::optional<Xy> place;  ///< site CRS; nullopt = could not be placed
  PlacedBy placed_by = PlacedBy::gps;
  std::string set_aside;  ///< why its position was not used; empty = it was, or there is none
  std::string time;       ///< ISO 8601 UTC, empty when not given
  std::optional<double> time_s;  ///< the same, seconds since 1970
  std::optional<double> lon_deg, lat_deg;
  std::optional<double> accuracy_m;  ///< of every placed row; radius that holds it mostly
  bool accuracy_assumed = false;     ///< from assets/defaults.csv, not from the file
  std::string node, note, street, side, address;
  std::string along;  ///< as written, with its unit
  std::string spot;   ///< the file's own name of the place, column `place`
  ReceiverContext context = ReceiverContext::outdoor;
  bool in_hand = false;          ///< of body_blocked: a hand over the phone, not a body before it
  std::optional<Facing> facing;  ///< missing = the site's
  std::optional<double> downlink_mbps, uplink_mbps, latency_ms, rsrp_dbm, sinr_db;
  std::optional<bool> connected;
};

/// One quantity of the repeats at a place. NaN where there is none.
struct RepeatSpread {
  std::size_t count = 0;
  double median = 0.0, lower_quartile = 0.0, upper_quartile = 0.0;
  ConfidenceInterval
      of_median;  ///< percentile bootstrap; NaN for fewer than least_bootstrap_values
};

/// Repeats at one place.
struct RepeatSummary {
  std::optional<Xy> place;  ///< none for rows that only name their place
  std::string name;         ///< "spot 3, in_vehicle"; place and way of holding as far as told
  std::size_t count = 0;
  std::size_t visits =
      0;  ///< rows that follow each other are one visit: they are less than repeats
  RepeatSpread rsrp_dbm, downlink_mbps, uplink_mbps;
};

/// Values or positions that were read and not used, for one reason.
struct SetAside {
  std::string survey;
  std::string code;  ///< "no_value", "not_possible", "no_fix", "speed_jump", …
  std::string what;  ///< the column, or "position"
  std::string why;
  std::vector<std::int64_t> rows;
};

struct Survey {
  std::vector<Measurement> measurements;  ///< of all files, in input order
  std::vector<RepeatSummary> repeats;
  std::vector<MeasuredPair> pairs;
  std::vector<SetAside> set_aside;  ///< also in `issues`, one line each
  std::vector<Issue> issues;
};

/// "1, 3, 5-9".
std::string row_list(const std::vector<std::int64_t>& rows);

/// Reads every [[survey]] of the site. Throws InputError for files or columns that cannot be used;
/// single bad rows are kept without place or value and reported.
Survey read_surveys(const ImportedSite& imported);

}  // namespace sim
