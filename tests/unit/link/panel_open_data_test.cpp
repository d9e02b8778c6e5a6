// Controlled tests of one street panel and a phone (open data, CC BY 4.0, beside the checkout):
// what a hand, a person and a turned panel do to the rate, against the model's losses.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>

#include "sim/gis/csv_file.h"
#include "sim/link/modulation.h"
#include "sim/link/rate.h"
#include "sim/link/receiver_panel.h"
#include "tests/places.h"
#include "tests/support/street.h"

namespace sim {
namespace {

const std::filesystem::path folder =
    std::filesystem::path(KERBRAY_OPEN_DATA) / "panel_obstruction_tests";

class PanelBlockage : public testing::Test {
 protected:
  void SetUp() override {
    if (!std::filesystem::exists(folder)) GTEST_SKIP() << folder << " is not here";
  }
  static double median(std::vector<double> values) {
    std::nth_element(values.begin(), values.begin() + static_cast<long>(values.size() / 2),
                     values.end());
    return values[values.size() / 2];
  }
};

/// SNR at which the efficiency of the CQI table falls to a share of its top.
double snr_at_share(double share, double margin_db) {
  const double top = spectral_efficiency(Db(60.0), Db(margin_db));
  for (double snr = -15.0; snr < 60.0; snr += 0.05) {
    if (spectral_efficiency(Db(snr), Db(margin_db)) >= share * top) return snr;
  }
  return 60.0;
}

TEST_F(PanelBlockage, HandAndPersonLoseALinkWithoutAReflectorAndTheModelAgrees) {
  const CsvTable table = read_csv(folder / "nlos_locationC_no_multipath.csv");
  const auto column = [&](const char* name) { return table.column(name).value(); };
  std::map<std::string, int> blocked, lost;
  std::vector<double> free_mbps;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    const std::string& what = table.rows[row][column("obstruction_type")];
    const bool up = table.rows[row][column("radio_type")] == "5G";
    if (what.empty()) {
      if (up) free_mbps.push_back(number_at(table, row, column("throughput_mbps")).value());
    } else {
      ++blocked[what];
      lost[what] += up ? 0 : 1;
    }
  }
  // The data: all but the first second of each blockage is without the link.
  for (const char* what : {"hand", "human"}) {
    ASSERT_GT(blocked[what], 5);
    EXPECT_GE(lost[what], blocked[what] - 1) << what;
  }
  // The model: a link at the share of full rate measured there (about 2000 Mbit/s in clear sight)
  // is lost behind a body or a hand, one in clear sight at 160 m is not.
  const test::Street street(test::isotropic_site());
  const Defaults& d = street.settings.defaults;
  const double share = median(free_mbps) / 2034.0;
  const double level =
      snr_at_share(share, d("implementation_margin_db")) + noise_level(street.settings).value;
  for (const char* what : {"body_loss_db", "hand_loss_db"}) {
    EXPECT_LT(level - d(what), street.settings.drop_rsrp.value) << what;
  }
  const LinkResult clear = street.link({160.0, 0.0, 1.5}, ReceiverContext::body_blocked);
  EXPECT_NE(clear.state, LinkState::drop) << "in line of sight a body alone does not lose it";
}

TEST_F(PanelBlockage, TurnedAQuarterAwayCostsAtLeastWhatTheRateLost) {
  const CsvTable table = read_csv(folder / "orientation.csv");
  const std::size_t angle = table.column("orientation_angle_in_degrees").value();
  const std::size_t rate = table.column("throughput_mbps").value();
  std::map<double, std::vector<double>> by_angle;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    const auto mbps = number_at(table, row, rate);
    if (mbps) by_angle[number_at(table, row, angle).value()].push_back(*mbps);
  }
  const double ahead = median(by_angle.at(0.0));
  const double eighth = median(by_angle.at(45.0)) / ahead;
  const double quarter = median(by_angle.at(90.0)) / ahead;
  EXPECT_NEAR(eighth, 1.0, 0.1);
  EXPECT_LT(quarter, 0.8);
  // The link was at its full rate ahead, so at least the SNR between full and what is left is lost
  // at 90 degrees; what it had to spare comes on top. By the CQI table, TS 38.214.
  const test::Street street(test::isotropic_site());
  const double margin = street.settings.defaults("implementation_margin_db");
  const double at_least = snr_at_share(1.0, margin) - snr_at_share(quarter, margin);
  const auto loss = [&](double degrees) {
    return -panel_gain(Angle::degrees(degrees), Frequency::ghz(28.0), street.settings.defaults)
                .value;
  };
  EXPECT_GT(at_least, 3.0) << "the fall is real";
  EXPECT_GE(loss(90.0), at_least);
  EXPECT_LT(loss(45.0), at_least) << "at 45 degrees the rate hardly fell";
}

TEST_F(PanelBlockage, RateHardlyFallsInClearSightTo160Metres) {
  const CsvTable table = read_csv(folder / "distance.csv");
  const auto column = [&](const char* name) { return table.column(name).value(); };
  std::map<double, std::vector<double>> by_distance;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    const auto mbps = number_at(table, row, column("throughput_mbps"));
    if (table.rows[row][column("num_tcp_conn")] != "8" || !mbps) continue;
    by_distance[number_at(table, row, column("distance_in_meters")).value()].push_back(*mbps);
  }
  const test::Street street(test::isotropic_site());
  const double near_mbps = median(by_distance.at(25.0));
  const double near_model = street.link({25.0, 0.0, 1.5}).downlink_mbps;
  for (const auto& [metres, rates] : by_distance) {
    const double measured = median(rates) / near_mbps;
    const double model = street.link({metres, 0.0, 1.5}).downlink_mbps / near_model;
    EXPECT_NEAR(model, measured, 0.3) << metres << " m: the band stated is +-0.3 of the near rate";
  }
}

}  // namespace
}  // namespace sim
