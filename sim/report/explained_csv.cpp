#include "sim/gis/csv_file.h"
#include "sim/report/explained_files.h"
#include "sim/report/explained_row.h"

namespace sim {

void write_explained_csv(const std::string& path, const Scene& scene,
                         const Explanation& explanation) {
  std::string text;
  for (const ExplainedColumn& column : explained_columns()) {
    text += (text.empty() ? "" : ",") + column.name;
  }
  text += "\n";
  for (const ExplainedPoint& point : explanation.points) {
    std::string line;
    for (const ExplainedColumn& column : explained_columns()) {
      if (&column != &explained_columns().front()) line += ",";
      line += csv_field(column.cell(scene, point));
    }
    text += line + "\n";
  }
  write_text(path, text);
}

}  // namespace sim
