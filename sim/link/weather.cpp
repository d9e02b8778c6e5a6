#include "sim/link/weather.h"

#include <set>

#include "sim/loss/gas.h"
#include "sim/loss/rain.h"

namespace sim {

std::vector<WeatherLoss> weather_losses(const Scene& scene) {
  const double rain_mm_per_h = scene.conditions.rain_mm_per_h;
  const Defaults& d = scene.conditions.defaults;
  std::set<Frequency> frequencies;
  for (const Node& node : scene.nodes) {
    for (const Sector& sector : node.sectors) frequencies.insert(sector.frequency);
  }
  constexpr double street_km = WeatherLoss::street_m / 1000.0;
  std::vector<WeatherLoss> losses;
  for (const Frequency f : frequencies) {
    WeatherLoss loss{.frequency = f};
    loss.air = street_km * Db(gas_attenuation_db_per_km(f, d("pressure_hpa"), d("temperature_k"),
                                                        d("water_vapour_g_m3")));
    if (rain_mm_per_h > 0.0) {
      loss.rain = street_km *
                  Db(rain_attenuation_db_per_km(f, rain_mm_per_h, Angle::degrees(0.0), Angle()));
    }
    losses.push_back(loss);
  }
  return losses;
}

}  // namespace sim
