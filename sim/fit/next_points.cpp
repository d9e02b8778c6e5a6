#include "sim/fit/next_points.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/base/parallel.h"
#include "sim/fit/information_growth.h"

namespace sim {
namespace {

constexpr double spacing_m = 10.0;  // of places to choose from: a shadowing's own length
constexpr double apart_m = 20.0;    // two chosen nearer than this share their shadowing
constexpr double nearest_m = 10.0;  // nobody need stand under the antenna
constexpr std::size_t most_places = 1500;

struct Place {
  double x_m, y_m;
  std::string street;
};

std::vector<Place> along_streets(const Scene& scene, double step_m) {
  std::vector<Place> places;
  for (const Street& street : scene.streets) {
    for (std::size_t i = 0; i + 1 < street.line.size(); ++i) {
      const ScenePoint a = street.line[i], b = street.line[i + 1];
      const double length = horizontal_distance_m(a, b);
      for (double along = 0.0; along < length; along += step_m) {
        const ScenePoint p = a + (along / length) * (b - a);
        places.push_back({p.x_m, p.y_m, street.name});
      }
    }
  }
  return places;
}

std::vector<Place> on_grid(ScenePoint middle, double step_m, double radius_m) {
  std::vector<Place> places;
  const int reach = static_cast<int>(radius_m / step_m);
  for (int j = -reach; j <= reach; ++j) {
    for (int i = -reach; i <= reach; ++i) {
      places.push_back({middle.x_m + i * step_m, middle.y_m + j * step_m, ""});
    }
  }
  return places;
}

/// Places within the radius of a node that serves some unknown, as many as can be traced at once.
std::vector<Place> places_near(const Scene& scene, const std::set<NodeIndex>& nodes,
                               double radius_m) {
  for (double step_m = spacing_m;; step_m *= 1.5) {  // until they are few enough to trace
    std::vector<Place> places = along_streets(scene, step_m);
    if (places.empty()) {
      for (const NodeIndex n : nodes) {
        for (const Place& p : on_grid(scene.nodes[n].position, step_m, std::min(radius_m, 200.0))) {
          places.push_back(p);
        }
      }
    }
    std::erase_if(places, [&](const Place& p) {
      return std::none_of(nodes.begin(), nodes.end(), [&](NodeIndex n) {
        const ScenePoint at = scene.nodes[n].position;
        return std::hypot(p.x_m - at.x_m, p.y_m - at.y_m) <= radius_m;
      });
    });
    std::erase_if(places, [&](const Place& p) {
      return std::any_of(scene.nodes.begin(), scene.nodes.end(), [&](const Node& node) {
        return std::hypot(p.x_m - node.position.x_m, p.y_m - node.position.y_m) < nearest_m;
      });
    });
    if (places.size() <= most_places) return places;
  }
}

}  // namespace

NextPoints next_points(const RayCaster& caster, const LevelModel& model,
                       const Eigen::VectorXd& values, const Eigen::MatrixXd& information,
                       double scale, const std::vector<std::size_t>& wanted,
                       const ObservationOptions& tracing, const NextPointOptions& options) {
  const Scene& scene = caster.scene();
  const LinkSettings settings = fit_settings(scene);
  const auto& unknowns = model.unknowns();
  std::set<NodeIndex> nodes;
  for (const std::size_t k : wanted) {
    if (unknowns[k].is_angle() || unknowns[k].quantity == FitQuantity::eirp) {
      nodes.insert(unknowns[k].node);
    }
  }
  if (nodes.empty()) {
    for (const Unknown& u : unknowns) nodes.insert(u.node);
  }
  const FootprintIndex footprints(scene);
  const std::vector<Place> places = places_near(scene, nodes, tracing.radius_m);
  std::vector<Observation> rows(places.size());
  parallel_blocks(places.size(), 8, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Place& p = places[i];
      const double ground = scene.ground.height_at(p.x_m, p.y_m);
      if (std::isnan(ground) || footprints.building_at(p.x_m, p.y_m)) continue;
      rows[i].receiver.position = {p.x_m, p.y_m, ground + tracing.receiver_height_agl_m};
      LinkResult loudest;
      std::vector<Ray> rays = rays_to(caster, rows[i].receiver, settings, tracing, "", &loudest);
      const bool in_shadow = !rays.empty() && loudest.sum(TermGroup::diffraction).value >
                                                  settings.defaults("fit_shadow_db");
      if (in_shadow) continue;
      rows[i].rays = std::move(rays);
      rows[i].sigma_db =
          std::hypot(loudest.sigma.value, settings.defaults("measured_level_sigma_db"));
    }
  });
  const LevelModel there(model.site_nodes(), model.settings(), unknowns, rows);
  Eigen::MatrixXd slopes;
  there.residuals(values, &slopes);
  slopes /= scale;
  std::vector<Served> served(rows.size());
  std::vector<bool> open(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (rows[i].rays.empty()) continue;
    served[i] = there.served(values, i);
    open[i] = served[i].level_dbm >= settings.drop_rsrp.value;
  }
  // What rows tell, and with it what is plausible before any: the first for what may be promised,
  // the second to choose by.
  Eigen::MatrixXd told = information / (scale * scale), known = told;
  for (std::size_t k = 0; k < unknowns.size(); ++k) {
    const auto i = static_cast<Eigen::Index>(k);
    known(i, i) += 1.0 / (unknowns[k].plausible * unknowns[k].plausible);
  }
  NextPoints next;
  const auto look = [&] {
    std::vector<bool> free(unknowns.size(), true);
    hold_unknown(unknowns, told, 1.0, free);
    next.deviations_after = deviations(unknowns, told, 1.0, free);
    for (std::size_t k = 0; k < free.size(); ++k) {
      if (!free[k]) {
        next.deviations_after[static_cast<Eigen::Index>(k)] =
            std::numeric_limits<double>::infinity();
      }
    }
  };
  const auto all_known = [&] {
    return std::all_of(wanted.begin(), wanted.end(), [&](std::size_t k) {
      return std::isfinite(next.deviations_after[static_cast<Eigen::Index>(k)]);
    });
  };
  InformationGrowth growth(known);
  look();
  while (next.points.size() < options.most &&
         (next.points.size() < options.least || !all_known())) {
    double best = 0.0;
    std::size_t chosen = rows.size();
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (!open[i]) continue;
      const Eigen::VectorXd j = slopes.row(static_cast<Eigen::Index>(i)).transpose();
      const double gain = growth.gain(j);
      if (gain > best * (1.0 + 1e-9)) {
        best = gain;
        chosen = i;
      }
    }
    if (chosen == rows.size()) break;
    const Eigen::VectorXd j = slopes.row(static_cast<Eigen::Index>(chosen)).transpose();
    growth.add(j);
    told += j * j.transpose();
    look();
    const Ray& ray = rows[chosen].rays[served[chosen].ray];
    const ScenePoint place = rows[chosen].receiver.position;
    next.points.push_back(
        {.place = place,
         .street = places[chosen].street,
         .node = ray.node,
         .distance_m = horizontal_distance_m(scene.nodes[ray.node].position, place),
         .azimuth = ray.azimuth});
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (horizontal_distance_m(rows[i].receiver.position, place) < apart_m) open[i] = false;
    }
  }
  return next;
}

}  // namespace sim
