// OSM extracts whose objects stand in an order that GDAL cannot assemble.
#pragma once

#include <string>

namespace sim {

/// A file to hand to GDAL in place of an OSM file (XML or PBF). GDAL reads such a file once, front
/// to back, and leaves out without a word whatever refers to something further on; extracts and
/// query services do write relations before ways and ways before nodes. path() is the file itself
/// where it is in order or cannot be understood (GDAL then says why), else a copy in order, gone
/// with this.
class OrderedOsm {
 public:
  explicit OrderedOsm(const std::string& path);
  ~OrderedOsm();
  OrderedOsm(const OrderedOsm&) = delete;
  OrderedOsm& operator=(const OrderedOsm&) = delete;

  const std::string& path() const { return copy_.empty() ? path_ : copy_; }

 private:
  std::string path_, copy_;
};

}  // namespace sim
