#include <map>

#include "sim/gis/csv_file.h"
#include "sim/report/fit_files.h"
#include "sim/report/number_text.h"

namespace sim {
namespace {

std::string_view word(Evidence evidence) {
  switch (evidence) {
    case Evidence::level:
      return "level";
    case Evidence::connected:
      return "connected";
    case Evidence::lost:
      return "lost";
  }
  return "";
}

std::string cells_of(const Scene& scene, const Measurement& m, const FitRow& row) {
  const Node& node = scene.nodes[row.node];
  const double measured = m.rsrp_dbm.value_or(std::nan(""));
  std::string text = std::string(word(row.evidence)) + "," + csv_field(node.id) + "," +
                     csv_field(node.sectors[row.sector].id);
  for (const double number : {measured, row.before_dbm, row.after_dbm, measured - row.before_dbm,
                              measured - row.after_dbm, row.unseen_residual_db, row.sigma_db}) {
    text += "," + fixed(number, 2);
  }
  return text + "," + fixed(row.weight, 3) + "," + fixed(row.counts, 3) + ",";
}

}  // namespace

void write_fit_csv(const std::string& path, const Scene& scene, const Survey& survey,
                   const SurveyFit& fit) {
  std::map<std::size_t, const FitRow*> used;
  std::map<std::size_t, std::string> left_out;
  for (const FitRow& row : fit.rows) used[row.measurement] = &row;
  for (const LeftOut& row : fit.left_out) left_out[row.measurement] = row.why;
  std::string text =
      "survey,row,used,evidence,node,sector,measured_rsrp_dbm,rsrp_before_dbm,rsrp_after_dbm,"
      "residual_before_db,residual_after_db,residual_unseen_db,sigma_db,weight,counts,left_out\n";
  for (std::size_t i = 0; i < survey.measurements.size(); ++i) {
    const Measurement& m = survey.measurements[i];
    text += csv_field(m.survey) + "," + std::to_string(m.row) + ",";
    const auto row = used.find(i);
    text += row != used.end() ? "yes," + cells_of(scene, m, *row->second)
                              : "no,,,,,,,,,,,,," + csv_field(left_out[i]);
    text += "\n";
  }
  write_text(path, text);
}

void write_measure_csv(const std::string& path, const Scene& scene, const SurveyFit& fit) {
  std::string text = "id,lon,lat,street,node,distance_m,azimuth_deg\n";
  for (std::size_t i = 0; i < fit.next.points.size(); ++i) {
    const PointToMeasure& point = fit.next.points[i];
    const Xy at = degrees_of(scene, point.place);
    text += "m" + std::to_string(i + 1) + "," + fixed(at.x, 7) + "," + fixed(at.y, 7) + "," +
            csv_field(point.street) + "," + csv_field(scene.nodes[point.node].id) + "," +
            fixed(point.distance_m, 1) + "," + fixed(point.azimuth.degrees(), 1) + "\n";
  }
  write_text(path, text);
}

}  // namespace sim
