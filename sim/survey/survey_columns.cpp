#include "sim/survey/survey_columns.h"

#include <algorithm>
#include <cctype>

#include "sim/import/nearest_word.h"

namespace sim {
namespace {

/// Our names (contract section 7), each followed by what logs call it.
const std::vector<std::vector<std::string>>& known_names() {
  static const std::vector<std::vector<std::string>> names{
      {"time", "timestamp", "datetime", "date_time"},
      {"lon", "longitude", "lng", "long"},
      {"lat", "latitude"},
      {"accuracy_m", "accuracy", "hdop_m", "gps_accuracy"},
      {"node", "cell", "node_id"},
      {"context"},
      {"downlink_mbps", "dl_mbps", "download_mbps", "throughput_mbps"},
      {"uplink_mbps", "ul_mbps", "upload_mbps"},
      {"latency_ms", "ping_ms", "rtt_ms"},
      {"rsrp_dbm", "nr_ssrsrp", "ss_rsrp", "nr_rsrp", "rsrp"},
      {"sinr_db", "nr_sssinr", "ss_sinr", "nr_sinr", "sinr"},
      {"connected", "nrstatus", "nr_status"},
      {"note", "comment", "notes"},
      {"street"},
      {"address"},
      {"along_m"},
      {"along_ft"},
      {"side"},
      {"x_m"},
      {"y_m"}};
  return names;
}

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

}  // namespace

std::map<std::string, std::size_t> survey_columns(const std::vector<std::string>& fields,
                                                  const SurveySettings& settings) {
  std::map<std::string, std::size_t> columns;
  const auto index = [&](const std::string& name) -> std::optional<std::size_t> {
    for (std::size_t i = 0; i < fields.size(); ++i) {
      if (lower(fields[i]) == lower(name)) return i;
    }
    return std::nullopt;
  };
  std::vector<std::string> ours;
  for (const auto& names : known_names()) ours.push_back(names.front());
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
    columns[our] = *found;
  }
  for (const auto& names : known_names()) {
    for (const std::string& name : names) {
      const auto found = index(name);
      if (found && !columns.contains(names.front())) columns[names.front()] = *found;
    }
  }
  return columns;
}

}  // namespace sim
