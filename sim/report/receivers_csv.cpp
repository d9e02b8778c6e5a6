#include <fstream>

#include "sim/gis/csv_file.h"
#include "sim/report/answers.h"
#include "sim/report/receiver_row.h"

namespace sim {

std::string cause_id(const Scene& scene, ObstacleId obstacle) {
  return obstacle == no_obstacle ? "" : scene.obstacles[obstacle].id;
}

void write_receivers_csv(const std::string& path, const Scene& scene,
                         const ReceiverAnswers& answers) {
  const auto line = [](const std::vector<std::string>& cells) {
    std::string text;
    for (const std::string& cell : cells) text += csv_field(cell) + ",";
    text.back() = '\n';
    return text;
  };
  std::string text = line(receiver_columns());
  const ReceiverCells cells(scene);
  for (const ReceiverRow& row : answers.rows) text += line(cells(row));
  write_text(path, text);
}

void write_text(const std::string& path, const std::string& text) {
  std::ofstream out(path, std::ios::binary);
  out << text;
  out.close();
  if (!out) throw InputError({path, "", -1}, "cannot be written; is the disk full?");
}

}  // namespace sim
