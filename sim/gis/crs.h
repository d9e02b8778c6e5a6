// Coordinate reference systems and conversions between them. x is always easting or longitude.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "sim/base/input_error.h"
#include "sim/base/units.h"

namespace sim {

struct Xy {
  double x = 0.0, y = 0.0;
  bool operator==(const Xy&) const = default;
};

class Crs {
 public:
  /// "EPSG:32618", WKT or a PROJ string. Throws InputError at `where` when PROJ knows no such CRS.
  static Crs parse(const std::string& text, const SourceRef& where);
  static Crs wgs84();
  /// The WGS 84 UTM zone of a place (EPSG 326xx north, 327xx south).
  static Crs utm_for(double lon_deg, double lat_deg);

  const std::string& wkt() const { return wkt_; }
  std::string name() const;
  std::string epsg() const;  ///< "EPSG:32618", or empty when the CRS has no code
  bool is_geographic() const;
  bool is_projected() const;
  double metres_per_unit() const;      ///< of a projected CRS
  std::string vertical_datum() const;  ///< name, or "not stated"
  bool same_as(const Crs& other) const;

 private:
  explicit Crs(std::string wkt) : wkt_(std::move(wkt)) {}
  std::string wkt_;
};

/// Converts positions; nullopt where the operation fails or the place is outside the target's area
/// of use by more than a few degrees (swapped axes show up here). Not for use by two threads.
class CrsTransform {
 public:
  CrsTransform(const Crs& from, const Crs& to);
  CrsTransform(CrsTransform&&) noexcept;
  ~CrsTransform();
  std::optional<Xy> operator()(Xy p) const;

 private:
  struct Hidden;
  std::unique_ptr<Hidden> hidden_;
};

/// Angle from true north clockwise to grid north at a place given in the CRS.
Angle grid_convergence(const Crs& crs, Xy place);

}  // namespace sim
