#include "sim/loss/bullington.h"
#include "sim/loss/formula_book_families.h"

namespace sim {
namespace {

TerrainProfile profile_of(const BookTable& table) {
  TerrainProfile profile;
  for (const auto& row : table) {
    if (!profile.d_km.empty() && row[0] - table[0][0] <= profile.d_km.back()) {
      throw InputError({}, "delta_bullington: d_km of the profile must rise from row to row");
    }
    profile.d_km.push_back(row[0] - table[0][0]);
    profile.h_m.push_back(row[1]);
    profile.clutter_m.push_back(row[2]);
  }
  if (profile.d_km.size() < 2) {
    throw InputError({}, "delta_bullington: the profile needs two points or more");
  }
  return profile;
}

BookAnswer delta_bullington(const BookInput& in) {
  const TerrainProfile profile = profile_of(in.table("profile"));
  const DeltaBullingtonLoss loss = delta_bullington_loss(
      frequency(in), profile, in("h_tx_m"), in("h_rx_m"), in("effective_radius_km"),
      in.word("polarization") == "vertical", in.word("terrain") == "sea");
  OutOfRange range;
  range.unless(profile.d_km.size() > 2, "the profile has no point between its ends");
  range.unless(in("f_ghz") >= 0.01, "f_ghz is below 0.01");
  return {{loss.bullington.value, loss.smooth.value, loss.sphere.value, loss.loss.value},
          range.why(),
          {}};
}

}  // namespace

std::vector<BookModel> terrain_models() {
  return {{.name = "delta_bullington",
           .description = "diffraction loss of a terrain profile and the curved Earth",
           .source = "ITU-R P.526 section 4.5; P.452-18 sections 4.2.1-4.2.3",
           .range = "terrain profiles with a point between the ends, from 0.01 GHz; no single "
                    "building or person",
           .example = "profile=profile.csv h_tx_m=30 h_rx_m=30 f_ghz=28 effective_radius_km=8500 "
                      "polarization=horizontal",
           .keys = {table_key("profile", "ground from transmitter to receiver",
                              {{"d_km", "km"}, {"h_m", "m"}, {"clutter_m", "m", true}}),
                    number_key("h_tx_m", "m", "transmitter above the ground", not_negative),
                    number_key("h_rx_m", "m", "receiver above the ground", not_negative),
                    frequency_key(),
                    number_key("effective_radius_km", "km", "effective Earth radius", positive),
                    word_key("polarization", "polarization", {"horizontal", "vertical"}),
                    word_key("terrain", "what the path runs over", {"land", "sea"}, "land")},
           .answers = {{"bullington_db", "dB"},
                       {"smooth_db", "dB"},
                       {"sphere_db", "dB"},
                       {"loss_db", "dB"}},
           .evaluate = delta_bullington}};
}

}  // namespace sim
