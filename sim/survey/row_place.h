// Where a row was measured: by its own position, along a street, at an address, or by a track.
#pragma once

#include <optional>
#include <set>

#include "sim/survey/address_points.h"
#include "sim/survey/survey_rows.h"
#include "sim/survey/track.h"

namespace sim {

class RowPlaces {
 public:
  /// Reads the track and the address points. Throws InputError for those, and for a survey that
  /// says nowhere where its rows are.
  RowPlaces(const ImportedSite& site, const SurveySettings& settings, const SurveyRows& rows);

  /// Fills place, placed_by, degrees, accuracy and set_aside of the row; its street, side, node,
  /// address, spot and time are there already.
  void place(SurveyRows& rows, std::size_t row, Measurement& m);

  /// Takes the place from rows that lie far from the site, or where no one can have come to: rows
  /// [first, end) of the survey's measurements, row by row those of the file.
  void set_impossible_aside(SurveyRows& rows, std::vector<Measurement>& all,
                            std::size_t first) const;

  /// Tells once how many rows state no accuracy, and how many only the name of their place.
  void tell_assumed(SurveyRows& rows) const;

 private:
  bool by_own_position(SurveyRows& rows, std::size_t row, Measurement& m);
  bool by_address(SurveyRows& rows, std::size_t row, Measurement& m);
  void accuracy(SurveyRows& rows, std::size_t row, Measurement& m, double gap_m);

  const ImportedSite& site_;
  CrsTransform to_map_, to_degrees_;
  std::optional<Track> track_;
  std::optional<AddressPoints> addresses_;
  std::set<std::string> directions_told_;
  double gap_m_ = 0.0;  ///< of the address at hand
  std::size_t assumed_ = 0, named_only_ = 0;
  double assumed_least_m_ = 0.0, assumed_most_m_ = 0.0;
};

}  // namespace sim
