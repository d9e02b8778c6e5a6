#include "sim/import/nearest_word.h"

#include <algorithm>
#include <numeric>

namespace sim {
namespace {

std::size_t edit_distance(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), 0U);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t substitute = diagonal + (a[i - 1] == b[j - 1] ? 0U : 1U);
      diagonal = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, substitute});
    }
  }
  return row.back();
}

}  // namespace

std::string nearest_word(const std::string& word, const std::vector<std::string>& known) {
  std::string best;
  std::size_t best_distance = std::max<std::size_t>(2, word.size() / 2) + 1;
  for (const std::string& candidate : known) {
    const std::size_t distance = edit_distance(word, candidate);
    if (distance < best_distance) {
      best_distance = distance;
      best = candidate;
    }
  }
  return best;
}

std::string suggestion(const std::string& word, const std::vector<std::string>& known) {
  if (const std::string near = nearest_word(word, known); !near.empty()) {
    return "; did you mean '" + near + "'?";
  }
  std::string all;
  for (const std::string& candidate : known) all += (all.empty() ? "" : ", ") + candidate;
  return "; known are: " + all;
}

}  // namespace sim
