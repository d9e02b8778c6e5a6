#include "sim/gis/csv_file.h"
#include "sim/report/answers.h"
#include "sim/report/number_text.h"
#include "sim/report/survey_files.h"

namespace sim {
namespace {

std::string heads_of(const std::string& quantity) {
  std::string text;
  for (const char* what :
       {"count", "median", "lower_quartile", "upper_quartile", "median_low", "median_high"}) {
    text += "," + quantity + "_" + what;
  }
  return text;
}

std::string cells_of(const RepeatSpread& s) {
  std::string text = "," + std::to_string(s.count);
  for (const double value :
       {s.median, s.lower_quartile, s.upper_quartile, s.of_median.low, s.of_median.high}) {
    text += "," + fixed(value, 2);
  }
  return text;
}

}  // namespace

void write_repeats_csv(const std::string& path, const ImportedSite& imported,
                       const Survey& survey) {
  const CrsTransform to_degrees(imported.crs, Crs::wgs84());
  std::string text = "name,lon,lat,x_m,y_m,count,visits" + heads_of("rsrp_dbm") +
                     heads_of("downlink_mbps") + heads_of("uplink_mbps") + "\n";
  for (const RepeatSummary& r : survey.repeats) {
    const auto degrees = r.place ? to_degrees(*r.place) : std::nullopt;
    text += csv_field(r.name) + "," + (degrees ? fixed(degrees->x, 7) : "") + "," +
            (degrees ? fixed(degrees->y, 7) : "") + "," + (r.place ? fixed(r.place->x, 2) : "") +
            "," + (r.place ? fixed(r.place->y, 2) : "") + "," + std::to_string(r.count) + "," +
            std::to_string(r.visits) + cells_of(r.rsrp_dbm) + cells_of(r.downlink_mbps) +
            cells_of(r.uplink_mbps) + "\n";
  }
  write_text(path, text);
}

}  // namespace sim
