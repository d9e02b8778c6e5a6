// "did you mean": the nearest of the known words.
#pragma once

#include <string>
#include <vector>

namespace sim {

/// The known word with the smallest edit distance; empty when none is near enough to be meant.
std::string nearest_word(const std::string& word, const std::vector<std::string>& known);

/// "; did you mean 'height_field'?" or "; known are: a, b, c".
std::string suggestion(const std::string& word, const std::vector<std::string>& known);

}  // namespace sim
