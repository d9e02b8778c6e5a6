#include "sim/loss/street_canyon.h"

#include <algorithm>

namespace sim {

StreetCanyonLoss street_canyon_loss(Frequency f, double distance_2d_m, double h_node_m,
                                    double h_receiver_m) noexcept {
  constexpr double document_speed_of_light = 3.0e8, street_height_m = 1.0;
  const double rise = h_node_m - h_receiver_m;
  const double log_d = std::log10(std::hypot(distance_2d_m, rise));
  const double log_f = std::log10(f.ghz());
  StreetCanyonLoss answer;
  answer.breakpoint_m = 4.0 * (h_node_m - street_height_m) * (h_receiver_m - street_height_m) *
                        f.hz() / document_speed_of_light;
  const double near = 32.4 + 20.0 * log_f;
  answer.los = distance_2d_m <= answer.breakpoint_m
                   ? Db(near + 21.0 * log_d)
                   : Db(near + 40.0 * log_d -
                        9.5 * std::log10(answer.breakpoint_m * answer.breakpoint_m + rise * rise));
  answer.nlos =
      std::max(answer.los, Db(35.3 * log_d + 22.4 + 21.3 * log_f - 0.3 * (h_receiver_m - 1.5)));
  answer.nlos_optional = Db(near + 31.9 * log_d);
  return answer;
}

double los_probability(double d) noexcept {
  if (!(d > 18.0)) return 1.0;
  return 18.0 / d + std::exp(-d / 36.0) * (1.0 - 18.0 / d);
}

}  // namespace sim
