// The files of the built page, and no other file.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace sim {

/// A file as it is sent.
struct BundleFile {
  std::string bytes, type;  ///< type as HTTP names it
};

/// Reads the files of one folder by the path of an address. Knows the names that a built page has
/// and refuses all else: a path that leads out of the folder, by dots, by an absolute path or by a
/// link, does not exist.
class Bundle {
 public:
  /// Throws InputError where the folder holds no index.html.
  explicit Bundle(const std::string& folder);
  /// `path` is decoded and begins with '/'; "/" is index.html.
  std::optional<BundleFile> find(std::string_view path) const;

 private:
  std::string folder_;  ///< without links
};

}  // namespace sim
