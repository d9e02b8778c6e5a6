#include "sim/survey/track.h"

#include <algorithm>

#include "sim/gis/vector_file.h"
#include "sim/survey/survey_time.h"

namespace sim {

Track Track::read(const std::string& path, const Crs& target) {
  const VectorTable table = read_vectors({.path = path}, target);
  const auto time = table.field("time");
  Track track;
  for (const Feature& feature : table.features) {
    const auto* points = std::get_if<PointSet>(&feature.geometry);
    if (points == nullptr || points->points.empty() || !time || !feature.values[*time]) continue;
    const auto seconds = time_from_text(*feature.values[*time], 0.0);
    if (seconds) track.fixes_.push_back({*seconds, {points->points[0].x, points->points[0].y}});
  }
  if (track.fixes_.empty()) {
    throw InputError({path, "", -1}, "has no timed points; a recorded track is needed");
  }
  std::stable_sort(track.fixes_.begin(), track.fixes_.end(),
                   [](const Fix& a, const Fix& b) { return a.time_s < b.time_s; });
  return track;
}

std::optional<Xy> Track::at(double time_s) const {
  const auto after = std::lower_bound(fixes_.begin(), fixes_.end(), time_s,
                                      [](const Fix& fix, double t) { return fix.time_s < t; });
  if (after == fixes_.end()) return std::nullopt;
  if (after->time_s == time_s) return after->place;
  if (after == fixes_.begin()) return std::nullopt;
  const auto before = after - 1;
  const double gap = after->time_s - before->time_s;
  if (gap > longest_gap_s) return std::nullopt;
  const double t = (time_s - before->time_s) / gap;
  return Xy{before->place.x + t * (after->place.x - before->place.x),
            before->place.y + t * (after->place.y - before->place.y)};
}

}  // namespace sim
