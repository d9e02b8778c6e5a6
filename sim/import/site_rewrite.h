// A site file with some numbers changed, every comment and all else kept.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "sim/import/records.h"

namespace sim {

/// A number as it is to stand in the file, and what to say about it on the line above.
struct NewNumber {
  std::string text, comment;
};

struct NewNodePlace {
  Xy map;  ///< site CRS
  std::string comment;
};

struct SiteChanges {
  std::string heading;  ///< comment lines for the top, without '#'
  /// By position in ImportedSite::nodes and in their sectors: key of the sector, number.
  std::map<std::pair<std::size_t, std::size_t>, std::map<std::string, NewNumber>> sectors;
  std::map<std::size_t, NewNodePlace> nodes;
  std::map<std::size_t, NewNumber> heights;     ///< height_agl_m by position of the node
  std::map<std::string, NewNumber> thresholds;  ///< names in assets/defaults.csv
  std::map<std::string, NewNumber> site;        ///< keys of [site]; the text as TOML writes it
  std::string sections;                         ///< TOML to stand at the end
  bool beside = false;  ///< it will stand in the folder of the old one: paths stay as they are
};

/// The text of the site file with the changes. Paths become absolute, so that it can stand in
/// another folder, unless it stands `beside` the old one. Nodes that came from a file of their own
/// are written out as [[node]] where one of them changes, and the line that names the file becomes
/// a comment. Throws InputError where the file is laid out so that a number cannot be put in.
std::string rewritten_site(const ImportedSite& imported, const SiteChanges& changes);

}  // namespace sim
