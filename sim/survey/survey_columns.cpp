#include "sim/survey/survey_columns.h"

#include <algorithm>

#include "sim/base/words.h"
#include "sim/import/nearest_word.h"
#include "sim/survey/survey_units.h"

namespace sim {
namespace {

constexpr double foot_m = 0.3048;

/// What logs call a thing, without its unit; of several tiers the first that is there is meant.
struct KnownColumn {
  std::string ours;  ///< contract section 7
  std::vector<std::vector<std::string>> tiers;
};

const std::vector<KnownColumn>& known_columns() {
  static const std::vector<KnownColumn> columns{
      {"time",
       {{"time", "timestamp", "datetime", "date time", "date/time", "time utc", "utc time", "utc",
         "local time", "time local", "gps time", "time stamp", "date and time"}}},
      {"date", {{"date", "local date", "date utc", "day"}}},
      {"lon", {{"lon", "longitude", "lng", "long"}}},
      {"lat", {{"lat", "latitude"}}},
      {"accuracy_m", {{"accuracy", "gps accuracy", "horizontal accuracy", "location accuracy"}}},
      {"node", {{"node id"}, {"cell"}}},
      {"context", {{"obstruction type", "obstruction"}}},
      {"facing", {}},
      {"downlink_mbps",
       {{"downlink", "dl", "download", "downlink speed", "download speed", "dl speed",
         "downlink rate", "downlink throughput", "dl throughput", "download throughput",
         "download rate", "5g download", "5g downlink", "5g dl"},
        {"throughput"}}},
      {"uplink_mbps",
       {{"uplink", "ul", "upload", "uplink speed", "upload speed", "ul speed", "uplink rate",
         "uplink throughput", "ul throughput", "upload throughput", "upload rate", "5g upload",
         "5g uplink", "5g ul"}}},
      {"latency_ms", {{"latency", "ping", "rtt"}}},
      {"rsrp_dbm", {{"nr ssrsrp", "ss rsrp", "nr rsrp", "5g rsrp", "nr ss rsrp"}, {"rsrp"}}},
      {"sinr_db", {{"nr sssinr", "ss sinr", "nr sinr", "5g sinr", "nr ss sinr"}, {"sinr"}}},
      {"connected", {{"nrstatus", "nr status"}}},
      {"note", {{"comment", "notes", "comments"}}},
      {"street", {}},
      {"address", {}},
      {"place", {}},
      {"run", {{"run number", "run id", "run num"}}},
      {"along_m", {{"along", "along street", "distance along street", "distance along"}}},
      {"along_ft", {}},
      {"side", {}},
      {"x_m", {}},
      {"y_m", {}}};
  return columns;
}

/// The unit of a column that was not found by our own name, which would tell it.
SurveyColumn with_unit(const std::string& our, std::size_t index, const std::string& header,
                       bool mapped, const SurveySettings& settings) {
  SurveyColumn column{.index = index};
  const Quantity quantity = quantity_of(our);
  const HeaderWords words = header_words(header);
  if (const auto factor = unit_factor(quantity, words.unit); factor && !words.unit.empty()) {
    column.factor = *factor;
    return column;
  }
  if (our == "along_ft") column.factor = foot_m;
  if (words.in_brackets && !mapped && quantity != Quantity::number) {
    throw InputError({settings.file, "", 0},
                     "is column '" + header + "' " + words_of(quantity) + "? '" + words.unit +
                         "' is no unit of it; write its unit in the header, or say so in the site "
                         "file with columns = { " +
                         our + " = \"" + header + "\" }");
  }
  column.unit_assumed = quantity == Quantity::rate || quantity == Quantity::delay;
  return column;
}

}  // namespace

std::map<std::string, SurveyColumn> survey_columns(const std::vector<std::string>& fields,
                                                   const SurveySettings& settings) {
  std::map<std::string, SurveyColumn> columns;
  const auto index = [&](const std::string& name) -> std::optional<std::size_t> {
    for (std::size_t i = 0; i < fields.size(); ++i) {
      if (lower(fields[i]) == lower(name)) return i;
    }
    return std::nullopt;
  };
  const auto own = [](const std::string& our, std::size_t i) {
    return SurveyColumn{.index = i, .factor = our == "along_ft" ? foot_m : 1.0};
  };
  std::vector<std::string> ours;
  for (const KnownColumn& known : known_columns()) ours.push_back(known.ours);
  for (const auto& [our, theirs] : settings.columns) {
    if (std::find(ours.begin(), ours.end(), our) == ours.end()) {
      throw InputError(settings.where, "columns names '" + our + "'" + suggestion(our, ours));
    }
    const auto found = index(theirs);
    if (!found) {
      throw InputError(settings.where, "columns maps " + our + " to '" + theirs +
                                           "', which is not in " + settings.file +
                                           suggestion(theirs, fields));
    }
    columns[our] = lower(theirs) == our ? own(our, *found)
                                        : with_unit(our, *found, fields[*found], true, settings);
  }
  std::vector<HeaderWords> words;
  words.reserve(fields.size());
  for (const std::string& field : fields) {
    words.push_back(header_words(field));
    // A dilution of precision is no length, but some logs scale it to one.
    if (words.back().name == "hdop" && words.back().unit == "m") words.back().name = "accuracy";
  }
  for (const KnownColumn& known : known_columns()) {
    if (columns.contains(known.ours)) continue;
    if (const auto found = index(known.ours)) {
      columns[known.ours] = own(known.ours, *found);
      continue;
    }
    for (const auto& tier : known.tiers) {
      std::vector<std::size_t> fits;
      for (std::size_t i = 0; i < fields.size(); ++i) {
        const bool other = std::find(ours.begin(), ours.end(), lower(fields[i])) != ours.end();
        if (!other && std::find(tier.begin(), tier.end(), words[i].name) != tier.end()) {
          fits.push_back(i);
        }
      }
      if (fits.size() > 1) {
        throw InputError({settings.file, "", 0},
                         "which column is " + known.ours + ", '" + fields[fits[0]] + "' or '" +
                             fields[fits[1]] + "'? say so in the site file with columns = { " +
                             known.ours + " = \"" + fields[fits[0]] + "\" }");
      }
      if (fits.empty()) continue;
      columns[known.ours] = with_unit(known.ours, fits[0], fields[fits[0]], false, settings);
      break;
    }
  }
  return columns;
}

}  // namespace sim
