// Air and rain in the summary: numbers, and whether they matter.
#include "sim/link/weather.h"

#include <fmt/format.h>

#include "sim/report/summary_parts.h"

namespace sim {

Json weather_of(const Scene& scene) {
  const Defaults& d = scene.conditions.defaults;
  Json list = Json::array();
  std::string sentence;
  for (const WeatherLoss& loss : weather_losses(scene)) {
    list.push_back({{"frequency_ghz", loss.frequency.ghz()},
                    {"air_db_per_200_m", rounded(loss.air.value, 3)},
                    {"rain_db_per_200_m", rounded(loss.rain.value, 3)},
                    {"matters", loss.matters()}});
    sentence +=
        fmt::format("{}At {} GHz the air costs {:.2f} dB and the rain {:.2f} dB in {:.0f} m: {}.",
                    sentence.empty() ? "" : " ", loss.frequency.ghz(), loss.air.value,
                    loss.rain.value, WeatherLoss::street_m,
                    loss.matters() ? "they count, and move the edge of coverage"
                                   : "they hardly matter at street range");
  }
  return {{"rain_mm_per_h", scene.conditions.rain_mm_per_h},
          {"temperature_k", d("temperature_k")},
          {"pressure_hpa", d("pressure_hpa")},
          {"water_vapour_g_m3", d("water_vapour_g_m3")},
          {"sources", "ITU-R P.676-13 Annex 1, ITU-R P.838-3"},
          {"bands", list},
          {"sentence", sentence}};
}

}  // namespace sim
