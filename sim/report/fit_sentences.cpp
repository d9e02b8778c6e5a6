#include "sim/report/fit_sentences.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/explain/wording.h"

namespace sim {
namespace {

/// No bearing is found, or turned at the mast, to a tenth of a degree.
int decimals_of(const Unknown& unknown) {
  if (unknown.quantity == FitQuantity::azimuth || unknown.quantity == FitQuantity::downtilt)
    return 0;
  return unknown.quantity == FitQuantity::foliage_scale ? 2 : 1;
}

/// Of what is told against a known value, with its sign.
bool is_offset(const Unknown& unknown) {
  return unknown.quantity == FitQuantity::eirp || unknown.quantity == FitQuantity::vehicle_offset;
}

std::string with_unit(const Unknown& unknown, double value) {
  return fmt::format("{:.{}f}{}{}", value, decimals_of(unknown), unknown.unit.empty() ? "" : " ",
                     unknown.unit);
}

/// Smallest arc that holds the bearings of all level rows of a node, degrees.
double bearing_spread_deg(const SurveyFit& fit, NodeIndex node) {
  std::vector<double> bearings;
  for (const FitRow& row : fit.rows) {
    if (row.node == node) bearings.push_back(row.azimuth.degrees());
  }
  if (bearings.size() < 2) return 0.0;
  std::sort(bearings.begin(), bearings.end());
  double widest_gap = bearings.front() + 360.0 - bearings.back();
  for (std::size_t i = 1; i < bearings.size(); ++i) {
    widest_gap = std::max(widest_gap, bearings[i] - bearings[i - 1]);
  }
  return 360.0 - widest_gap;
}

std::string listed(const SurveyFit& fit, const std::vector<std::size_t>& which) {
  std::string text;
  for (std::size_t i = 0; i < which.size(); ++i) {
    text += i == 0 ? "" : i + 1 == which.size() ? " and " : ", ";
    text += fit.values[which[i]].unknown.name;
  }
  return text;
}

std::string capital(std::string text) {
  if (text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 32);
  return text;
}

std::string rows_text(std::size_t count) {
  return count == 1 ? "this 1 row" : fmt::format("these {} rows", count);
}

std::string held_at(const Unknown& unknown) {
  if (unknown.quantity == FitQuantity::eirp) return unknown.name + " is held as the site has it";
  return unknown.name + " is held at the site's " + with_unit(unknown, unknown.site);
}

}  // namespace

Xy degrees_of(const Scene& scene, ScenePoint place) {
  const MapPoint map = scene.frame.map_from_scene(place);
  const CrsTransform to_degrees(Crs::parse(scene.frame.crs_wkt, {}), Crs::wgs84());
  return to_degrees({map.x_m, map.y_m}).value_or(Xy{std::nan(""), std::nan("")});
}

std::string value_sentence(const FittedValue& fitted, double confidence) {
  const Unknown& u = fitted.unknown;
  if (fitted.held) return held_at(u);
  const int digits = decimals_of(u);
  const auto number = [&](double value) {
    return is_offset(u) ? fmt::format("{:+.{}f}", value, digits)
                        : fmt::format("{:.{}f}", value, digits);
  };
  const std::string interval = fmt::format("({:.0f} %: {} to {})", 100.0 * confidence,
                                           number(fitted.low), number(fitted.high));
  std::string text =
      u.name + ": " + number(fitted.value) + (u.unit.empty() ? "" : " " + u.unit) + " " + interval;
  text += u.quantity == FitQuantity::eirp             ? " against the site's"
          : u.quantity == FitQuantity::vehicle_offset ? " against the published one"
          : u.quantity == FitQuantity::foliage_scale  ? " of the model's"
                                                      : ", site " + with_unit(u, u.site);
  if (fitted.at_bound) text += "; as far as it may go, so something else is wrong";
  return text;
}

std::vector<std::string> held_sentences(const SurveyFit& fit) {
  std::vector<std::string> sentences;
  std::vector<std::size_t> silent;
  for (std::size_t k = 0; k < fit.values.size(); ++k) {
    if (fit.values[k].held && fit.values[k].held->group.size() < 2) silent.push_back(k);
  }
  if (!silent.empty()) {
    sentences.push_back(
        fmt::format("{} cannot be found from {}, for the levels hardly change with "
                    "{}; held as the site has {}.",
                    capital(listed(fit, silent)), rows_text(fit.levels + fit.bounds),
                    silent.size() > 1 ? "them" : "it", silent.size() > 1 ? "them" : "it"));
  }
  for (const FittedValue& value : fit.values) {
    if (!value.held) continue;
    const Unknown& u = value.unknown;
    const std::size_t rows = fit.levels + fit.bounds;
    if (value.held->group.size() < 2) continue;
    std::string why;
    const double spread = bearing_spread_deg(fit, u.node);
    constexpr double one_bearing_deg = 20.0;
    if (u.quantity == FitQuantity::azimuth && spread <= one_bearing_deg) {
      why = fmt::format(", which lie within {:.0f} degrees of one bearing from {}", spread,
                        fit.site_nodes[u.node].id);
    }
    sentences.push_back(fmt::format("{} cannot be told apart from {}{}. {}.",
                                    capital(listed(fit, value.held->group)), rows_text(rows), why,
                                    capital(held_at(u))));
  }
  return sentences;
}

std::vector<std::string> measure_sentences(const Scene& scene, const SurveyFit& fit,
                                           LengthUnits units) {
  std::vector<std::string> sentences;
  for (const PointToMeasure& point : fit.next.points) {
    const Xy at = degrees_of(scene, point.place);
    sentences.push_back(fmt::format(
        "Measure at lon {:.6f}, lat {:.6f}: {}{} from {}, {:.0f} degrees.", at.x, at.y,
        point.street.empty() ? "" : point.street + ", ", length_text(point.distance_m, units),
        scene.nodes[point.node].id, point.azimuth.degrees()));
  }
  if (fit.next.points.empty()) return sentences;
  std::vector<std::size_t> tall, more;
  for (const std::size_t k : fit.wanted) {
    if (!fit.values[k].held) continue;
    const Unknown& u = fit.values[k].unknown;
    const double after = fit.next.deviations_after[static_cast<Eigen::Index>(k)];
    if (after <= u.known_within) {
      sentences.push_back(
          fmt::format("Then {} would be known to about {} (one standard deviation).", u.name,
                      with_unit(u, after)));
    } else if (u.quantity == FitQuantity::downtilt) {
      tall.push_back(k);
    } else {
      more.push_back(k);
    }
  }
  if (!more.empty()) {
    sentences.push_back("More points than these are needed for " + listed(fit, more) + ".");
  }
  if (!tall.empty()) {
    sentences.push_back("Even then " + listed(fit, tall) +
                        " would not be known: seen from the street the beam is too tall.");
  }
  return sentences;
}

std::string error_sentence(const SurveyFit& fit) {
  if (fit.levels == 0) return "No row has a level, so there is no error in decibels to tell.";
  const double before = fit.unseen.before.mean_abs_db, after = fit.unseen.after.mean_abs_db;
  if (std::isnan(after)) {
    return fmt::format(
        "All rows stand at one place, so the fit cannot be checked on rows it has not "
        "seen; mean error {:.1f} dB before, {:.1f} dB after.",
        fit.before.mean_abs_db, fit.after.mean_abs_db);
  }
  const std::string numbers = fmt::format(
      "at places the fit has not seen, the mean error is {:.1f} dB "
      "with the site as it was and {:.1f} dB fitted",
      before, after);
  if (fit.unseen.improves) return "The fit is better: " + numbers + ".";
  return "The fit is no clear gain: " + numbers +
         ". Keep the site's values unless you know better.";
}

std::vector<std::string> position_sentences(const Scene& scene, const SurveyFit& fit,
                                            LengthUnits units) {
  std::vector<std::string> sentences;
  if (!fit.position) return sentences;
  const PositionSearch& search = *fit.position;
  const Node& node = fit.site_nodes[search.node];
  const RankedPlace& best = search.ranking.front();
  const std::string where =
      best.place.id == "site"
          ? "where the site has it"
          : fmt::format(
                "at {} {}, {} from where the site has it", search.by_poles ? "pole" : "",
                best.place.id,
                length_text(horizontal_distance_m(best.place.position, node.position), units));
  const Xy at = degrees_of(scene, best.place.position);
  sentences.push_back(
      fmt::format("{} is likeliest {} (lon {:.6f}, lat {:.6f}): {:.0f} % of the "
                  "likelihood among {} places.",
                  node.id, where, at.x, at.y, 100.0 * best.likelihood, search.ranking.size()));
  if (best.place.id != "site" && !search.moved) {
    sentences.push_back("That is not clear enough to move it: it stays where the site has it.");
  }
  return sentences;
}

std::vector<std::string> fit_sentences(const Scene& scene, const SurveyFit& fit,
                                       LengthUnits units) {
  std::vector<std::string> all{error_sentence(fit)};
  const auto add = [&](std::vector<std::string> some) {
    all.insert(all.end(), std::make_move_iterator(some.begin()),
               std::make_move_iterator(some.end()));
  };
  add(position_sentences(scene, fit, units));
  for (const FittedValue& value : fit.values) {
    if (!value.held) all.push_back(upper_first(value_sentence(value, fit.confidence)) + ".");
  }
  add(held_sentences(fit));
  add(measure_sentences(scene, fit, units));
  return all;
}

}  // namespace sim
