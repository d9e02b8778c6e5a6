// Invented streets with a known truth, and surveys of them.
#pragma once

#include <random>

#include "sim/fit/fit.h"
#include "sim/link/hold.h"
#include "tests/support/street.h"

namespace sim::test {

inline SectorRecord sector(double azimuth_deg, double downtilt_deg, double eirp_dbm,
                           const std::string& pattern = "3gpp-element") {
  return {.id = "a",
          .pattern = pattern,
          .polarization = "vertical",
          .azimuth = Angle::degrees(azimuth_deg),
          .downtilt = Angle::degrees(downtilt_deg),
          .frequency = Frequency::ghz(28.0),
          .eirp = Dbm(eirp_dbm)};
}

/// A dish-like table: 12 (angle / 10 degrees)^2 up and down, as the element sideways, down to 30.
inline std::shared_ptr<const AntennaTable> narrow_beam() {
  AntennaTable table;
  for (double az = -180.0; az <= 180.0; az += 5.0) table.azimuths_deg.push_back(az);
  for (double el = -90.0; el <= 90.0; el += 1.0) table.elevations_deg.push_back(el);
  for (const double az : table.azimuths_deg) {
    for (const double el : table.elevations_deg) {
      const double down = 12.0 * (az / 65.0 * az / 65.0 + el / 15.0 * el / 15.0);
      table.points.push_back({az, el, 20.0 - std::min(30.0, down)});
    }
  }
  table.peak_dbi = 20.0;
  return std::make_shared<const AntennaTable>(table);
}

/// An empty street with one node, 7 m over 0/0.
inline ImportedSite street_with(const SectorRecord& sector) {
  ImportedSite site = isotropic_site(7.0);
  site.nodes[0].sectors = {sector};
  return site;
}

/// A row at a place of the scene with what the street says of it plus a stray.
inline Measurement measured(const Street& truth, double x, double y, double stray_db,
                            ReceiverContext context = ReceiverContext::outdoor) {
  const MapPoint place = truth.scene.frame.map_from_scene({x, y, 0.0});
  Measurement m;
  m.survey = "walk.csv";
  m.place = Xy{place.x_m, place.y_m};
  m.context = context;
  const double height = truth.scene.ground.height_at(x, y) + 1.5;
  m.rsrp_dbm = truth.link({x, y, height}, context).rsrp.value + stray_db;
  return m;
}

/// Places all round within 80 m, near ones too, on a spiral.
inline std::vector<ScenePoint> spiral(int count) {
  std::vector<ScenePoint> places;
  for (int i = 0; i < count; ++i) {
    const double turn = 2.4 * i;  // about the golden angle: no two in line
    const double r = 6.0 + 74.0 * i / count;
    places.push_back({r * std::cos(turn), r * std::sin(turn), 0.0});
  }
  return places;
}

inline const FittedValue& value_of(const SurveyFit& fit, FitQuantity quantity) {
  for (const FittedValue& value : fit.values) {
    if (value.unknown.quantity == quantity) return value;
  }
  throw std::runtime_error("the fit has no such value");
}

inline SurveyFit fitted(Street& street, const Survey& survey) {
  return fit_survey(street.scene, street.caster, survey, {"site.toml", "", -1}, {.radius_m = 90.0});
}

}  // namespace sim::test
