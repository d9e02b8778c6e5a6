#include "sim/link/rate.h"

#include <array>
#include <cmath>

#include "sim/link/antenna.h"
#include "sim/loss/element_pattern.h"
#include "sim/loss/noise.h"
#include "sim/loss/peak_rate.h"

namespace sim {
namespace {

// TS 38.214 Table 5.2.2.1-2, efficiency of CQI 1 to 15.
constexpr std::array cqi_efficiency{0.1523, 0.2344, 0.3770, 0.6016, 0.8770, 1.1758, 1.4766, 1.9141,
                                    2.4063, 2.7305, 3.3223, 3.9023, 4.5234, 5.1152, 5.5547};

}  // namespace

double spectral_efficiency(Db snr, Db margin) noexcept {
  double best = 0.0;
  for (const double efficiency : cqi_efficiency) {
    const double needed_db = 10.0 * std::log10(std::exp2(efficiency) - 1.0) + margin.value;
    if (snr.value >= needed_db) best = efficiency;
  }
  return best;
}

Rates rates_of(const LinkResult& link, const Sector& sector, int blocks, const Defaults& d) {
  const double scs_khz = d("scs_khz");
  const Db margin(d("implementation_margin_db"));
  const double downlink =
      rate_at_efficiency_mbps(blocks, scs_khz, static_cast<int>(d("downlink_layers")),
                              spectral_efficiency(link.snr, margin), d("downlink_overhead"));
  // Uplink: the terminal's power over the whole carrier, the node's antenna towards it.
  const double bandwidth_hz = blocks * 12.0 * scs_khz * 1000.0;
  // A panel steers its beam: its peak is the array's, whatever envelope the sector names.
  const Db node_gain = sector.table ? Db(table_peak_dbi(*sector.table))
                       : sector.pattern == "isotropic"
                           ? Db(0.0)
                           : array_pattern_gain(Angle(), Angle(), static_cast<int>(d("array_rows")),
                                                static_cast<int>(d("array_cols")));
  const Dbm arriving = Dbm(d("terminal_eirp_dbm")) + node_gain + link.pattern - link.path_loss();
  const Db uplink_snr = arriving - thermal_noise(bandwidth_hz, Db(d("node_noise_figure_db")));
  const double uplink = rate_at_efficiency_mbps(
      blocks, scs_khz, 1, spectral_efficiency(uplink_snr, margin), d("uplink_overhead"));
  return {.downlink_mbps = sector.carriers * d("downlink_share") * d("cell_share") * downlink,
          .uplink_mbps = d("uplink_share") * d("cell_share") * uplink};
}

}  // namespace sim
