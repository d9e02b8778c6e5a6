// How right a set of verdicts is, and how right it claims to be.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "sim/link/link.h"

namespace sim::test {

struct Judged {
  Cause planted = Cause::none, said = Cause::none;
  double confidence = 0.0;
  bool right = false;
};

double share_right(const std::vector<Judged>& verdicts);

/// Rows: what was planted; columns: what was said.
std::string confusion_text(const std::vector<Judged>& verdicts);

/// One bin of confidence: what was claimed and what was so.
struct Reliability {
  double from = 0.0, to = 0.0, mean_confidence = 0.0;
  int count = 0, right = 0;
};
std::vector<Reliability> reliability(const std::vector<Judged>& verdicts);
std::string reliability_text(const std::vector<Reliability>& bins);

/// Mean distance between what is claimed and what is so, weighted by how often it is claimed.
/// Source: expected calibration error, Naeini, Cooper, Hauskrecht 2015 (from memory).
double calibration_error(const std::vector<Reliability>& bins);

}  // namespace sim::test
