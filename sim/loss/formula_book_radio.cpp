#include "sim/loss/element_pattern.h"
#include "sim/loss/formula_book_families.h"
#include "sim/loss/noise.h"
#include "sim/loss/peak_rate.h"
#include "sim/loss/rsrp_report.h"

namespace sim {
namespace {

BookAnswer element_pattern(const BookInput& in) {
  return {
      {element_pattern_gain(Angle::degrees(in("azimuth_deg")), Angle::degrees(in("elevation_deg")))
           .value},
      {},
      {}};
}

/// Numerologies of NR: 15 kHz times a power of two.
void check_spacing(const BookInput& in, OutOfRange& range) {
  const double mu = std::log2(in("scs_khz") / 15.0);
  range.unless(mu == std::floor(mu) && mu >= 0.0 && mu <= 6.0,
               "scs_khz is none of 15, 30, 60, 120, 240, 480, 960");
}

BookAnswer peak_rate(const BookInput& in) {
  OutOfRange range;
  check_spacing(in, range);
  range.unless_within(in, "layers", 1.0, 8.0).unless_within(in, "bits_per_symbol", 1.0, 10.0);
  return {
      {peak_rate_mbps(static_cast<int>(in("n_rb")), in("scs_khz"), static_cast<int>(in("layers")),
                      in("bits_per_symbol"), in("scaling"), in("overhead"))},
      range.why(),
      {}};
}

BookAnswer rsrp_report(const BookInput& in) {
  return {{static_cast<double>(rsrp_report_index(Dbm(in("rsrp_dbm"))))}, {}, {}};
}

BookAnswer noise(const BookInput& in) {
  OutOfRange range;
  check_spacing(in, range);
  const double bandwidth_hz = in("n_rb") * 12.0 * in("scs_khz") * 1e3;
  return {{thermal_noise(bandwidth_hz, Db(in("noise_figure_db"))).value}, range.why(), {}};
}

BookAnswer guard_band(const BookInput& in) {
  const double guard_khz =
      guard_band_khz(in("bandwidth_mhz"), static_cast<int>(in("n_rb")), in("scs_khz"));
  OutOfRange range;
  check_spacing(in, range);
  range.unless(guard_khz >= 0.0, "the channel does not hold so many blocks");
  return {{guard_khz}, range.why(), {}};
}

constexpr KeyBound resource_block_count{.least = 1.0, .most = 1e6, .whole = true};

}  // namespace

std::vector<BookModel> radio_models() {
  return {{.name = "element_pattern",
           .description = "gain of one antenna element towards a direction from its boresight",
           .source = "3GPP TR 38.901 section 7.3, Table 7.3-1",
           .range = "every direction",
           .example = "azimuth_deg=32.5 elevation_deg=0",
           .keys = {number_key("azimuth_deg", "degrees", "sideways from boresight",
                               {.least = -360.0, .most = 360.0}),
                    number_key("elevation_deg", "degrees", "up from boresight",
                               {.least = -90.0, .most = 90.0})},
           .answers = {{"gain_dbi", "dBi"}},
           .evaluate = element_pattern},
          {.name = "peak_rate",
           .description = "peak data rate of a carrier in one direction, all symbols used",
           .source = "3GPP TS 38.306 section 4.1.2 (equation from memory)",
           .range = "NR numerologies, up to 8 layers",
           .example = "n_rb=66 scs_khz=120 layers=2 bits_per_symbol=6",
           .keys = {number_key("n_rb", "", "resource blocks", resource_block_count),
                    number_key("scs_khz", "kHz", "subcarrier spacing", positive),
                    number_key("layers", "", "layers", {.least = 1.0, .most = 1e3, .whole = true}),
                    number_key("bits_per_symbol", "bit", "bits per symbol: 6 for 64QAM", positive),
                    number_key("scaling", "", "scaling factor",
                               {.least = 0.0, .most = 1.0, .without_least = true}, "1"),
                    number_key("overhead", "", "share of the resource that carries no data",
                               {.least = 0.0, .most = 1.0}, "0.18")},
           .answers = {{"mbps", "Mbit/s"}},
           .evaluate = peak_rate},
          {.name = "rsrp_report",
           .description = "index by which a terminal reports its level (layer 3)",
           .source = "3GPP TS 38.133 section 10.1.6",
           .range = "every level; -156 to -31 dBm in steps of 1 dB, the end indices beyond",
           .example = "rsrp_dbm=-100.4",
           .keys = {number_key("rsrp_dbm", "dBm", "level per resource element", any_number)},
           .answers = {{"index", "", true}},
           .evaluate = rsrp_report},
          {.name = "noise",
           .description = "thermal noise of a carrier with the receiver's noise figure",
           .source = "kTB with -174 dBm/Hz",
           .range = "NR numerologies",
           .example = "n_rb=66 scs_khz=120 noise_figure_db=10",
           .keys = {number_key("n_rb", "", "resource blocks", resource_block_count),
                    number_key("scs_khz", "kHz", "subcarrier spacing", positive),
                    number_key("noise_figure_db", "dB", "noise figure", not_negative)},
           .answers = {{"dbm", "dBm"}},
           .evaluate = noise},
          {.name = "guard_band",
           .description = "least guard band at either edge of a carrier",
           .source = "closed form of the guard bands of 3GPP TS 38.101-2 section 5.3",
           .range = "NR numerologies; blocks that fit into the channel",
           .example = "bandwidth_mhz=100 n_rb=66 scs_khz=120",
           .keys = {number_key("bandwidth_mhz", "MHz", "channel bandwidth", positive),
                    number_key("n_rb", "", "resource blocks", resource_block_count),
                    number_key("scs_khz", "kHz", "subcarrier spacing", positive)},
           .answers = {{"guard_khz", "kHz"}},
           .evaluate = guard_band}};
}

}  // namespace sim
