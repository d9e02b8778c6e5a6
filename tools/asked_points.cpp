#include "tools/asked_points.h"

namespace kerbray {

sim::ReceiverAnswers answer_points(const SiteRun& run, const sim::LinkSettings& settings,
                                   const std::string& file) {
  std::vector<sim::ReceiverPoint> points;
  std::size_t off_ground = 0;
  for (const sim::AtPoint& at : sim::read_points(file, run.imported.crs)) {
    auto point = sim::receiver_point(run.scene, at.id, {at.place.x, at.place.y, 0.0},
                                     at.height_agl_m.value_or(run.options.receiver_height_agl_m),
                                     at.context.value_or(run.scene.conditions.receiver_context));
    if (point) {
      point->receiver.facing = at.facing;
      points.push_back(std::move(*point));
    } else {
      ++off_ground;
    }
  }
  sim::ReceiverAnswers answers = sim::predict_points(*run.caster, points, settings, run.options);
  answers.off_ground = off_ground;
  return answers;
}

}  // namespace kerbray
