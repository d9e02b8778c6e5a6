// What a survey tells by itself: repeats at one place, and pairs of one place.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/explain/explanation.h"
#include "sim/import/records.h"

namespace sim {

/// repeats.csv: one row per place measured at least twice.
void write_repeats_csv(const std::string& path, const ImportedSite& imported, const Survey& survey);

/// pairs.csv: one row per pair and quantity that both sides measured.
void write_pairs_csv(const std::string& path, const ImportedSite& imported, const Survey& survey,
                     const Explanation& explanation);

/// What the ledgers of the rows say the other side loses more than the reference by enclosure, body
/// and the way the phone is turned, dB. nullopt where a side has no predicted link.
std::optional<double> predicted_pair_db(const MeasuredPair& pair, const Explanation& explanation);

/// For people: the first pairs, one line each, and how many more there are.
std::vector<std::string> pair_sentences(const Survey& survey, const Explanation& explanation);

}  // namespace sim
