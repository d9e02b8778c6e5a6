// Air and rain in the summary: numbers, and whether they matter.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "sim/link/link.h"
#include "sim/loss/gas.h"
#include "sim/loss/rain.h"
#include "sim/report/summary_parts.h"

namespace sim {
namespace {

constexpr double street_m = 200.0;  // as far as a street-level link usually reaches
/// Half of the shadowing's sigma in clear sight (TR 38.901 Table 7.4.1-1: 4 dB): less than that
/// moves no edge that the spread does not move already. Common practice, no source.
constexpr double matters_db = 2.0;

}  // namespace

Json weather_of(const Scene& scene) {
  const Conditions& c = scene.conditions;
  const Defaults& d = c.defaults;
  std::set<double> bands;
  for (const Node& node : scene.nodes) {
    for (const Sector& sector : node.sectors) bands.insert(sector.frequency.ghz());
  }
  Json list = Json::array();
  std::string sentence;
  for (const double ghz : bands) {
    const Frequency f = Frequency::ghz(ghz);
    const double air =
        street_m / 1000.0 *
        gas_attenuation_db_per_km(f, d("pressure_hpa"), d("temperature_k"), d("water_vapour_g_m3"));
    // Horizontal polarization loses the most.
    const double rain =
        c.rain_mm_per_h <= 0.0
            ? 0.0
            : street_m / 1000.0 *
                  rain_attenuation_db_per_km(f, c.rain_mm_per_h, Angle::degrees(0.0), Angle());
    list.push_back({{"frequency_ghz", ghz},
                    {"air_db_per_200_m", rounded(air, 3)},
                    {"rain_db_per_200_m", rounded(rain, 3)},
                    {"matters", air + rain >= matters_db}});
    sentence +=
        fmt::format("{}At {} GHz the air costs {:.2f} dB and the rain {:.2f} dB in 200 m: {}.",
                    sentence.empty() ? "" : " ", ghz, air, rain,
                    air + rain < matters_db ? "they hardly matter at street range"
                                            : "they count, and move the edge of coverage");
  }
  return {{"rain_mm_per_h", c.rain_mm_per_h},
          {"temperature_k", d("temperature_k")},
          {"pressure_hpa", d("pressure_hpa")},
          {"water_vapour_g_m3", d("water_vapour_g_m3")},
          {"sources", "ITU-R P.676-13 Annex 1, ITU-R P.838-3"},
          {"bands", list},
          {"sentence", sentence}};
}

}  // namespace sim
