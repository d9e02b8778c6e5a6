// OpenStreetMap files whose elements stand in another order than nodes, ways, relations.
#pragma once

#include <string>

namespace sim {

/// A file to hand to GDAL in place of an OSM file (XML or PBF). GDAL reads such a file once, front
/// to back, and leaves out without a word whatever refers to something further on; extracts and
/// query services do write relations before ways and ways before nodes. While this lives, path()
/// is the file itself where it is in order (or cannot be understood: GDAL then says why), else a
/// copy in memory in order.
class OrderedOsm {
 public:
  explicit OrderedOsm(const std::string& path);
  ~OrderedOsm();
  OrderedOsm(const OrderedOsm&) = delete;
  OrderedOsm& operator=(const OrderedOsm&) = delete;

  const std::string& path() const { return path_; }

 private:
  std::string path_;
  std::string content_;  ///< of the copy; empty when there is none
};

}  // namespace sim
