// Every scene with an expect.csv, through the whole main job: site file, import, scene, rays,
// ledger and receivers.csv. What is expected comes from closed forms; the source stands in each
// row.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "sim/gis/csv_file.h"
#include "sim/report/answers.h"
#include "tests/places.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> scene_names() {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(KERBRAY_SCENES)) {
    if (fs::exists(entry.path() / "expect.csv")) names.push_back(entry.path().filename());
  }
  std::sort(names.begin(), names.end());
  return names;
}

/// receivers.csv of a scene's points.
CsvTable answer(const fs::path& folder) {
  ImportedSite imported = import_site(read_site(folder));
  const Scene scene = build_scene(imported, imported.report);
  const RayCaster caster(scene);
  std::vector<ReceiverPoint> points;
  for (const AtPoint& at : read_points(folder / "points.csv", imported.crs)) {
    points.push_back(*receiver_point(scene, at.id, {at.place.x, at.place.y, 0.0},
                                     at.height_agl_m.value_or(1.5), ReceiverContext::outdoor));
  }
  const PredictOptions options{.radius_m = imported.site.predict.radius_m};
  const fs::path csv = own_folder() / (folder.filename().string() + ".csv");
  write_receivers_csv(csv, scene, predict_points(caster, points, link_settings(scene), options));
  return read_csv(csv);
}

class ClosedForm : public testing::TestWithParam<std::string> {};

TEST_P(ClosedForm, GivesWhatTheFormulaSays) {
  const fs::path folder = fs::path(KERBRAY_SCENES) / GetParam();
  const CsvTable expected = read_csv(folder / "expect.csv");
  const CsvTable answers = answer(folder);
  const auto column = [](const CsvTable& table, const std::string& name) {
    const auto found = table.column(name);
    EXPECT_TRUE(found) << table.path << " has no column " << name;
    return found.value_or(0);
  };
  ASSERT_FALSE(expected.rows.empty());
  for (std::size_t r = 0; r < expected.rows.size(); ++r) {
    const auto cell = [&](const char* name) { return expected.rows[r][column(expected, name)]; };
    SCOPED_TRACE(to_string(expected.row_ref(r)) + " " + cell("point_id") + " " + cell("column") +
                 ", by " + cell("source"));
    const auto row = std::find_if(answers.rows.begin(), answers.rows.end(), [&](const auto& a) {
      return a[column(answers, "point_id")] == cell("point_id") &&
             a[column(answers, "sector")] == cell("sector");
    });
    ASSERT_NE(row, answers.rows.end());
    const std::string& got = (*row)[column(answers, cell("column"))];
    if (cell("tolerance").empty()) {
      EXPECT_EQ(got, cell("value"));
    } else {
      EXPECT_NEAR(std::stod(got), std::stod(cell("value")), std::stod(cell("tolerance")));
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Scenes, ClosedForm, testing::ValuesIn(scene_names()),
                         [](const auto& scene) { return scene.param; });

}  // namespace
}  // namespace sim
