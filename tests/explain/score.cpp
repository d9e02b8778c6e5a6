#include "tests/explain/score.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace sim::test {

double share_right(const std::vector<Judged>& verdicts) {
  const auto right =
      std::count_if(verdicts.begin(), verdicts.end(), [](const Judged& v) { return v.right; });
  return static_cast<double>(right) / static_cast<double>(verdicts.size());
}

std::string confusion_text(const std::vector<Judged>& verdicts) {
  std::map<Cause, std::map<Cause, int>> table;
  std::set<Cause> columns;
  for (const Judged& v : verdicts) {
    ++table[v.planted][v.said];
    columns.insert(v.said);
    columns.insert(v.planted);
  }
  std::string text = fmt::format("{:>12}", "planted\\said");
  for (const Cause c : columns) text += fmt::format(" {:>9.9}", to_string(c));
  for (const auto& [planted, row] : table) {
    text += fmt::format("\n{:>12}", to_string(planted));
    for (const Cause c : columns) {
      const auto at = row.find(c);
      text += at == row.end() ? fmt::format(" {:>9}", ".") : fmt::format(" {:>9}", at->second);
    }
  }
  return text + "\n";
}

std::vector<Reliability> reliability(const std::vector<Judged>& verdicts) {
  std::vector<Reliability> bins{{0.0, 0.5}, {0.5, 0.7}, {0.7, 0.9}, {0.9, 1.0001}};
  for (Reliability& bin : bins) {
    for (const Judged& v : verdicts) {
      if (v.confidence < bin.from || v.confidence >= bin.to) continue;
      ++bin.count;
      bin.right += v.right ? 1 : 0;
      bin.mean_confidence += v.confidence;
    }
    if (bin.count > 0) bin.mean_confidence /= bin.count;
  }
  return bins;
}

std::string reliability_text(const std::vector<Reliability>& bins) {
  std::string text = "confidence   said   claimed   right\n";
  for (const Reliability& b : bins) {
    if (b.count == 0) continue;
    text += fmt::format("{:.1f} - {:.1f} {:>8} {:>8.0f}% {:>6.0f}%\n", b.from, b.to, b.count,
                        100.0 * b.mean_confidence, 100.0 * b.right / b.count);
  }
  return text;
}

double calibration_error(const std::vector<Reliability>& bins) {
  double sum = 0.0;
  int count = 0;
  for (const Reliability& b : bins) {
    if (b.count == 0) continue;
    sum += std::abs(b.mean_confidence * b.count - b.right);
    count += b.count;
  }
  return sum / std::max(count, 1);
}

}  // namespace sim::test
