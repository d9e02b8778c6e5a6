// Published values of functions and steps that the formula book does not list.
#include <gtest/gtest.h>

#include "sim/gis/csv_file.h"
#include "sim/loss/bullington.h"
#include "sim/loss/entry.h"
#include "sim/loss/exposure.h"
#include "sim/loss/foliage.h"
#include "sim/loss/free_space.h"
#include "sim/loss/gas.h"
#include "sim/loss/knife_edge.h"
#include "sim/loss/material.h"
#include "sim/loss/noise.h"
#include "sim/loss/rounded_edge.h"
#include "sim/loss/rsrp_report.h"
#include "sim/loss/screen_blockage.h"
#include "sim/loss/slab.h"
#include "sim/loss/street_canyon.h"
#include "sim/loss/two_edges.h"
#include "tests/places.h"

namespace sim {
namespace {

constexpr Frequency band = Frequency::ghz(28.0);

TerrainProfile read_profile(const std::string& name) {
  const CsvTable csv = read_csv(std::string(KERBRAY_TESTS_FOLDER) + "/reference/profiles/" + name);
  TerrainProfile profile;
  const auto clutter = csv.column("clutter_m");
  for (std::size_t row = 0; row < csv.rows.size(); ++row) {
    profile.d_km.push_back(number_at(csv, row, 0).value());
    profile.h_m.push_back(number_at(csv, row, 1).value());
    if (clutter) profile.clutter_m.push_back(number_at(csv, row, *clutter).value());
  }
  return profile;
}

TEST(Reference, DoubleGlazingByAbcdMatrices) {
  // Glass 4 mm, air 16 mm, glass 4 mm, normal incidence; an independent ABCD-matrix calculation.
  struct Row {
    double f_ghz, loss_db, reflection_db;
  };
  for (const auto& [f_ghz, loss_db, reflection_db] :
       {Row{28.0, 3.348, -5.87}, Row{39.0, 8.269, -2.33}, Row{60.0, 6.305, -18.51}}) {
    const Frequency f = Frequency::ghz(f_ghz);
    const auto glass = material_properties(*find_material("glass", f), f).eta;
    const Layer layers[] = {{glass, 4e-3}, {1.0, 16e-3}, {glass, 4e-3}};
    for (const auto polarization : {WavePolarization::te, WavePolarization::tm}) {
      const SlabLoss loss = layered_slab_loss(layers, f, Angle(), polarization);
      EXPECT_NEAR(loss.transmission.value, loss_db, 0.0005) << f_ghz;
      EXPECT_NEAR(loss.reflection.value, reflection_db, 0.005) << f_ghz;
    }
  }
}

TEST(Reference, ImaginaryPermittivity) {
  // [P.2040] eps'' of edition 3's table, computed, to 0.5 %.
  const auto loss_part = [](const char* name, double f_ghz) {
    const Frequency f = Frequency::ghz(f_ghz);
    return -material_properties(*find_material(name, f), f).eta.imag();
  };
  struct Row {
    const char* name;
    double f_ghz, value;
  };
  for (const auto& [name, f_ghz, value] :
       {Row{"concrete", 28, 0.4019}, Row{"concrete", 39, 0.3739}, Row{"concrete", 60, 0.3404},
        Row{"brick", 28, 0.02604}, Row{"brick", 39, 0.01971}, Row{"plasterboard", 28, 0.1249},
        Row{"wood", 28, 0.1073}, Row{"glass", 24.25, 0.191}, Row{"glass", 28, 0.2005},
        Row{"glass", 39, 0.2244}, Row{"glass", 60, 0.2597}, Row{"ceiling_board", 28, 0.02539},
        Row{"chipboard", 28, 0.1874}, Row{"plywood", 28, 0.2119}, Row{"metal", 28, 6420000.0},
        Row{"concrete_p2040_1", 28, 0.3106}, Row{"glass_p2040_1", 28, 0.1468}}) {
    EXPECT_NEAR(loss_part(name, f_ghz), value, 0.005 * value) << name;
  }
}

TEST(Reference, GasByConstituent) {
  // ITU-R SG3 validation example of P.676-13: 1013.25 hPa, 288.15 K, 7.5 g/m3; 1e-6 relative.
  struct Row {
    double f_ghz, oxygen, water;
  };
  for (const auto& [f_ghz, oxygen, water] :
       {Row{24.0, 0.0146360828, 0.1585250613}, Row{28.0, 0.0186963750, 0.0830595853},
        Row{30.0, 0.0214496842, 0.0723748630}, Row{39.0, 0.0467580350, 0.0765942208},
        Row{60.0, 14.6234747965, 0.1548418406}, Row{63.0, 10.8310875114, 0.1702548415}}) {
    const GasAttenuation air = gas_attenuation(Frequency::ghz(f_ghz), 1013.25, 288.15, 7.5);
    EXPECT_NEAR(air.oxygen_db_per_km, oxygen, 1e-6 * oxygen) << f_ghz;
    EXPECT_NEAR(air.water_db_per_km, water, 1e-6 * water) << f_ghz;
  }
}

TEST(Reference, WallMaterials) {
  // [TR38.901] Table 7.4.3-1, computed from the printed formulas to 0.001 dB; the coated pane of
  // releases 14-18 from memory.
  struct Row {
    double f_ghz, glass, coated_18, coated_19, concrete, plywood, wood;
  };
  for (const Row& row : {Row{24.25, 6.85, 30.275, 28.068, 102.0, 5.153, 7.76},
                         Row{28.0, 7.60, 31.400, 28.480, 117.0, 5.790, 8.21},
                         Row{39.0, 9.80, 34.700, 29.690, 161.0, 7.660, 9.53},
                         Row{60.0, 14.00, 41.000, 32.000, 245.0, 11.230, 12.05}}) {
    const Frequency f = Frequency::ghz(row.f_ghz);
    EXPECT_NEAR(glass_loss(f).value, row.glass, 0.001);
    EXPECT_NEAR(coated_glass_loss(f, 18).value, row.coated_18, 0.001);
    EXPECT_NEAR(coated_glass_loss(f, 19).value, row.coated_19, 0.001);
    EXPECT_NEAR(concrete_loss(f).value, row.concrete, 0.001);
    EXPECT_NEAR(plywood_loss(f).value, row.plywood, 0.001);
    EXPECT_NEAR(wood_loss(f).value, row.wood, 0.001);
  }
}

TEST(Reference, StreetCanyonBreakpoint) {
  // [TR38.901] Table 7.4.1-1 note: computed, whole metres.
  for (const auto& [f_ghz, metres] : {std::pair{24.25, 1455.0}, std::pair{28.0, 1680.0},
                                      std::pair{39.0, 2340.0}, std::pair{60.0, 3600.0}}) {
    EXPECT_NEAR(street_canyon_loss(Frequency::ghz(f_ghz), 100.0, 10.0, 1.5).breakpoint_m, metres,
                0.5);
  }
}

TEST(Reference, ScreenShares) {
  // [TR38.901] section 7.6.4.2, computed from the printed form to 5 decimals.
  struct Row {
    double f_ghz, d_m, node_m, receiver_m;
    BlockingScreen screen;
    double base, top, left, right;
  };
  const BlockingScreen person{5.0, 0.3, 1.7, 0.0};
  for (const Row& row :
       {Row{28, 100, 1000, 1000, {50, 2000, 1000, 0}, 0.49973, 0.0, 0.49973, 0.49973},
        Row{28, 10, 1.5, 1.5, person, 0.48219, 0.37462, 0.33894, 0.33894},
        Row{39, 10, 1.5, 1.5, person, 0.48491, 0.39222, 0.36028, 0.36028},
        Row{60, 10, 1.5, 1.5, person, 0.48783, 0.41195, 0.38482, 0.38482},
        Row{28, 10, 1.5, 1.5, {5, 0.3, 1.7, 0.5}, 0.48219, 0.37462, -0.42575, 0.45944},
        Row{28, 50, 1, 1, {25, 4.8, 1.4, 0}, 0.44151, 0.36156, 0.47537, 0.47537},
        Row{28, 50, 6, 1.5, {49, 0.3, 1.7, 0}, 0.48797, 0.35785, 0.39345, 0.39345},
        Row{28, 100, 6, 1.5, {5, 0.2, 8, 0}, 0.49283, 0.48339, 0.22844, 0.22844}}) {
    const ScreenBlockage shares = screen_blockage_loss(Frequency::ghz(row.f_ghz), row.d_m,
                                                       row.node_m, row.receiver_m, row.screen);
    EXPECT_NEAR(shares.base, row.base, 1e-5);
    EXPECT_NEAR(shares.top, row.top, 1e-5);
    EXPECT_NEAR(shares.left, row.left, 1e-5);
    EXPECT_NEAR(shares.right, row.right, 1e-5);
  }
}

TEST(Reference, RoundedEdgeSteps) {
  // [P.526] section 4.2, formula from memory: m, n and T as computed.
  struct Row {
    double d_m, h_m, radius_m, m, n, t_db;
  };
  for (const Row& row :
       {Row{50, 0.5, 0.15, 0.0017, 41.553, 1.176}, Row{50, 1.0, 0.15, 0.0017, 83.105, 2.059},
        Row{100, 1.0, 1.0, 0.0030, 44.156, 2.051}, Row{500, 5.0, 10.0, 0.0028, 102.477, 3.955}}) {
    const RoundedEdge edge = rounded_edge_loss(band, row.d_m, row.d_m, row.h_m, row.radius_m);
    EXPECT_NEAR(edge.m, row.m, 0.00005);
    EXPECT_NEAR(edge.n, row.n, 0.0005);
    EXPECT_NEAR(edge.curvature.value, row.t_db, 0.01);
  }
}

TEST(Reference, TwoEdgeSteps) {
  // [P.526] section 4.3, formula from memory: the corrections as computed.
  EXPECT_NEAR(two_edges_equal_loss(band, {40, 20, 40, 1.0, 1.0}).correction.value, 2.553, 0.0005);
  const TwoEdgeLoss dominant = two_edges_dominant_loss(band, {40, 20, 40, 1.2, 1.0});
  EXPECT_NEAR(dominant.correction.value, 0.966, 0.0005);
  EXPECT_NEAR(dominant.v1, 3.3478, 0.002);
  EXPECT_NEAR(dominant.v2, 0.7486, 0.002);
}

TEST(Reference, BullingtonPointOfTwoEdges) {
  // The same two paths of 100 m by Bullington: how different the methods are. Computed from the
  // formulas of [P.452-18] section 4.2.1, 0.005 dB; the flat Earth as a very large one.
  const auto bullington = [](double h1_m) {
    const TerrainProfile profile{.d_km = {0.0, 0.04, 0.06, 0.1}, .h_m = {0.0, h1_m, 1.0, 0.0}};
    return bullington_loss(band, profile, 0.0, 0.0, 1e9);
  };
  EXPECT_NEAR(bullington(1.0).knife.value, 23.526, 0.005);
  EXPECT_NEAR(bullington(1.2).knife.value, 24.309, 0.005);
  EXPECT_NEAR(bullington(1.2).loss.value, 34.137, 0.005);
}

TEST(Reference, EquivalentEdges) {
  // v of the equivalent edge over 25 m of clutter, computed beside the ITU-R P.452-18 validation
  // data (wavelength rounded to 0.2998 / f there, 1e-4 dB); and of SG3 path 3 at 28 GHz.
  const TerrainProfile clutter = read_profile("flat_5km_clutter.csv");
  for (const auto& [f_ghz, v] :
       {std::pair{0.1, 17.343}, std::pair{2.0, 77.559}, std::pair{10.0, 173.426},
        std::pair{25.0, 274.211}, std::pair{30.0, 300.383}, std::pair{50.0, 387.793}}) {
    EXPECT_NEAR(bullington_loss(Frequency::ghz(f_ghz), clutter, 10, 10, 8738.167287).knife.value,
                knife_edge_loss(v).value, 0.001)
        << f_ghz;
  }
  const TerrainProfile path_3 = read_profile("sg3_path_3.csv");
  EXPECT_NEAR(bullington_loss(band, path_3, 697 + 30, 569 + 30, 8500.0).knife.value,
              knife_edge_loss(2.0892).value, 0.001);
}

TEST(Reference, FoliageBand) {
  // Of the forms of foliage_decay.csv and foliage_empirical.csv.
  // The spread at 5 m in leaf: 5.8 to 31.6 dB.
  EXPECT_NEAR(foliage_band(band, 5).least.value, 5.8, 0.05);
  EXPECT_NEAR(foliage_band(band, 5).most.value, 31.6, 0.05);
}

TEST(Reference, ExposureLimits) {
  // [ICNIRP-2020] 55 and 275 f^-0.177 W/m2, computed; sign of the exponent from memory.
  struct Row {
    double f_ghz, people, workers;
  };
  for (const auto& [f_ghz, people, workers] :
       {Row{24.0, 31.338, 156.688}, Row{28.0, 30.494, 152.470}, Row{60.0, 26.646, 133.229}}) {
    const Frequency f = Frequency::ghz(f_ghz);
    EXPECT_NEAR(exposure_limit_w_per_m2(ExposureLimit::icnirp_local_public, f), people, 0.0005);
    EXPECT_NEAR(exposure_limit_w_per_m2(ExposureLimit::icnirp_local_occupational, f), workers,
                0.0005);
  }
  // [47CFR1.1310] 1 and 5 mW/cm2, from memory.
  EXPECT_EQ(exposure_limit_w_per_m2(ExposureLimit::fcc_public, band), 10.0);
  EXPECT_EQ(exposure_limit_w_per_m2(ExposureLimit::fcc_occupational, band), 50.0);
}

TEST(Reference, ResourceBlocks) {
  // [TS38.101-2] Table 5.3.2-1, 120 kHz.
  EXPECT_EQ(resource_blocks(50.0), 32);
  EXPECT_EQ(resource_blocks(100.0), 66);
  EXPECT_EQ(resource_blocks(200.0), 132);
  EXPECT_EQ(resource_blocks(400.0), 264);
}

TEST(Reference, NoiseAndReports) {
  // One subcarrier of 120 kHz, computed from -174 dBm/Hz; and the level per resource element of
  // 55 dBm over 66 blocks, 100 m of free space at 28 GHz and 9 dBi, computed to 0.01 dB.
  EXPECT_NEAR(thermal_noise(120e3, Db(0.0)).value, -123.208, 0.001);
  const Db per_element = Db::from_power_ratio(12.0 * 66.0);
  EXPECT_NEAR((Dbm(55.0) - per_element - free_space_loss(band, 100.0) + Db(9.0)).value, -66.378,
              0.01);
  // [TS38.133] section 10.1.6, layer 1: 16 below -140 dBm, 113 from -44 dBm on.
  EXPECT_EQ(rsrp_report_index_layer_1(Dbm(-140.5)), 16);
  EXPECT_EQ(rsrp_report_index_layer_1(Dbm(-140.0)), 17);
  EXPECT_EQ(rsrp_report_index_layer_1(Dbm(-44.0)), 113);
  EXPECT_EQ(rsrp_report_index_layer_1(Dbm(-30.0)), 113);
}

}  // namespace
}  // namespace sim
