// One-time registration of the drivers on the allow-list, and GDAL's complaints as text.
#pragma once

#include <string>
#include <vector>

namespace sim {

/// Registers GDAL once, with settings that leave input folders untouched. Called by every reader.
void start_gdal();

/// Names of the drivers that may open vector or raster files; every open passes one of these lists,
/// because a wide-open GDAL would try dozens of parsers on any bytes.
const std::vector<const char*>& vector_drivers();
const std::vector<const char*>& raster_drivers();

/// While it lives, GDAL prints nothing; the first failure is kept for the one line we print.
class GdalComplaints {
 public:
  GdalComplaints();
  ~GdalComplaints();
  GdalComplaints(const GdalComplaints&) = delete;
  GdalComplaints& operator=(const GdalComplaints&) = delete;
  /// First failure or, without one, first warning; empty when GDAL was content.
  std::string text() const;
  bool failed() const { return !failure.empty(); }

  std::string failure, warning;  ///< written by the handler
};

}  // namespace sim
