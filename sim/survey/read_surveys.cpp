#include <algorithm>
#include <array>
#include <filesystem>

#include "sim/survey/pairs.h"
#include "sim/survey/repeats.h"
#include "sim/survey/row_place.h"
#include "sim/survey/survey.h"
#include "sim/survey/survey_rows.h"
#include "sim/survey/survey_time.h"
#include "sim/survey/survey_words.h"
#include "sim/survey/time_zone.h"

namespace sim {
namespace {

/// 1980-01-06, from which GPS counts its time (IS-GPS-200, from memory): no phone logged before.
constexpr double first_gps_s = 315964800.0;
/// No phone of range 2 comes near; a rate above is one in kbps or bps. Common practice, no source.
constexpr double fastest_rate_mbps = 20000.0;
constexpr double longest_delay_ms = 600000.0;

TimeZone zone_of(const SurveySettings& settings) {
  const auto zone = TimeZone::find(settings.time_zone);
  if (zone) return *zone;
  const std::string near = TimeZone::nearest(settings.time_zone);
  throw InputError(settings.where,
                   "time_zone = \"" + settings.time_zone +
                       "\" is not understood; write \"UTC\", \"+02:00\" or a name such as "
                       "\"Europe/Lisbon\"" +
                       (near.empty() ? "" : "; did you mean \"" + near + "\"?"));
}

class OneSurvey {
 public:
  OneSurvey(const ImportedSite& site, const SurveySettings& settings, Survey& out)
      : site_(site),
        settings_(settings),
        out_(out),
        zone_(zone_of(settings)),
        rows_(settings, site.crs, out),
        order_(rows_.date_order()),
        places_(site, settings, rows_) {}

  void read() {
    if (std::none_of(measured_columns.begin(), measured_columns.end(),
                     [&](const char* column) { return rows_.has(column); })) {
      rows_.tell_of_file(
          "nothing_measured",
          "has no measured column that is known (rsrp_dbm, sinr_db, downlink_mbps, uplink_mbps, "
          "latency_ms, connected); map one with columns = { rsrp_dbm = \"...\" }; it has: " +
              rows_.all_fields(),
          Severity::noted);
    }
    if (rows_.size() == 0) {
      rows_.tell_of_file("no_rows", "has a header and no row: nothing was measured",
                         Severity::noted);
    }
    const std::size_t first = out_.measurements.size();
    for (std::size_t row = 0; row < rows_.size(); ++row) out_.measurements.push_back(one(row));
    places_.set_impossible_aside(rows_, out_.measurements, first);
    places_.tell_assumed(rows_);
    if (!shown_twice_.empty()) {
      rows_.tell_of_file("time_shown_twice",
                         "rows " + row_list(shown_twice_) +
                             " lie in the hour that clocks showed twice; the earlier was taken",
                         Severity::defaulted);
    }
    rows_.tell_gathered();
  }

 private:
  Measurement one(std::size_t row) {
    Measurement m;
    m.survey = std::filesystem::path(settings_.file).filename();
    m.row = static_cast<std::int64_t>(row) + 1;
    m.source = rows_.source(row);
    m.run = rows_.text(row, "run");
    if (m.run.ends_with(".0")) m.run.resize(m.run.size() - 2);
    m.node = rows_.text(row, "node").empty() ? settings_.node : rows_.text(row, "node");
    m.note = rows_.text(row, "note").empty() ? settings_.note : rows_.text(row, "note");
    m.spot = rows_.text(row, "place").empty() ? settings_.place : rows_.text(row, "place");
    m.street = rows_.text(row, "street");
    m.side = side_word(rows_.text(row, "side"));
    m.address = rows_.text(row, "address");
    if (const std::string along = rows_.text(row, "along_m"); !along.empty()) {
      m.along = along + (along.find_first_not_of("+-.0123456789") == along.npos ? " m" : "");
    } else if (const std::string feet = rows_.text(row, "along_ft"); !feet.empty()) {
      m.along = feet + (feet.find_first_not_of("+-.0123456789") == feet.npos ? " ft" : "");
    }
    how_held(row, m);
    const auto& nodes = site_.nodes;
    if (!m.node.empty() && !nodes.empty() && m.street.empty() &&
        std::none_of(nodes.begin(), nodes.end(), [&](const auto& n) { return n.id == m.node; })) {
      rows_.tell(row, "node_unknown",
                 "node '" + m.node + "' is not in the site; the strongest of all nodes was taken",
                 Severity::defaulted);
    }
    measured(row, m);
    when(row, m);
    places_.place(rows_, row, m);
    return m;
  }

  void how_held(std::size_t row, Measurement& m) {
    m.context = settings_.context.value_or(site_.site.receiver.context);
    if (const std::string word = rows_.text(row, "context"); !word.empty()) {
      if (const auto known = context_word(word)) {
        m.context = known->context;
        m.in_hand = known->in_hand;
      } else {
        rows_.tell(row, "context_unknown",
                   "context '" + word + "' is not known; " + std::string(to_string(m.context)) +
                       " was taken",
                   Severity::defaulted);
      }
    }
    if (const std::string word = rows_.text(row, "facing"); !word.empty()) {
      m.facing = facing_from(word);
      if (!m.facing) {
        rows_.tell(row, "facing_unknown",
                   "facing '" + word +
                       "' is not held, node, away or degrees from true north within +-360; that "
                       "of the site was taken",
                   Severity::defaulted);
      }
    }
  }

  void measured(std::size_t row, Measurement& m) {
    const auto rate = [&](const char* column) {
      return rows_.number_within(row, column, 0.0, fastest_rate_mbps, "not_possible",
                                 "a rate is 0 or more, and no phone reaches 20 Gbps");
    };
    m.downlink_mbps = rate("downlink_mbps");
    m.uplink_mbps = rate("uplink_mbps");
    m.latency_ms = rows_.number_within(row, "latency_ms", 0.0, longest_delay_ms, "not_possible",
                                       "a delay is 0 or more, and less than ten minutes");
    m.rsrp_dbm = rows_.number_within(row, "rsrp_dbm", -200.0, 0.0, "level_not_physical",
                                     "a level lies between -200 and 0 dBm");
    m.sinr_db = rows_.number_within(row, "sinr_db", -60.0, 80.0, "not_possible",
                                    "a ratio lies between -60 and 80 dB");
    const std::string word = rows_.text(row, "connected");
    m.connected = connected_word(word);
    if (!m.connected && !word.empty()) {
      rows_.tell(row, "connected_unknown",
                 "connected is '" + word + "', not yes or no; it was left out");
    }
  }

  void when(std::size_t row, Measurement& m) {
    const std::string text = rows_.time(row);
    if (text.empty()) return;
    const auto written = written_time(text, order_);
    if (!written && order_ == DateOrder::unknown && written_time(text, DateOrder::day_first)) {
      rows_.set_aside(row, "date_order_unknown", "time",
                      "in '" + text +
                          "' either number may be the month, and no row tells which; write "
                          "2026-05-01T10:00:00Z");
      return;
    }
    if (!written) {
      rows_.set_aside(row, "time_unreadable", "time",
                      "'" + text + "' is not understood; write 2026-05-01T10:00:00Z" +
                          (has_date(text) ? "" : ", with its date, or add a column date"));
      return;
    }
    double seconds = written->seconds;
    if (!written->utc) {
      const TimeZone::Offset offset = zone_.at(seconds);
      if (offset.shown_twice) shown_twice_.push_back(m.row);
      if (offset.skipped) {
        rows_.set_aside(
            row, "time_never_shown", "time",
            "'" + text + "' lies in the hour that clocks of " + settings_.time_zone + " skipped");
        return;
      }
      seconds -= offset.seconds;
    }
    if (seconds < first_gps_s) {
      rows_.set_aside(row, "time_not_possible", "time",
                      "'" + text + "' is before GPS began: the clock was not set");
      return;
    }
    m.time_s = seconds;
    m.time = time_text(seconds);
  }

  const ImportedSite& site_;
  const SurveySettings& settings_;
  Survey& out_;
  TimeZone zone_;
  SurveyRows rows_;
  DateOrder order_;
  RowPlaces places_;
  std::vector<std::int64_t> shown_twice_;
};

}  // namespace

Survey read_surveys(const ImportedSite& imported) {
  Survey survey;
  for (const SurveySettings& settings : imported.site.surveys) {
    OneSurvey(imported, settings, survey).read();
  }
  survey.pairs = find_pairs(survey.measurements, imported.nodes, pair_settings(imported.defaults));
  survey.repeats = summarise_repeats(survey.measurements, bootstrap_settings(imported.defaults));
  return survey;
}

}  // namespace sim
