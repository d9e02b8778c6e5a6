#include "sim/import/leave_out.h"

#include <algorithm>
#include <filesystem>
#include <set>

#include "sim/import/importing.h"
#include "sim/import/nearest_word.h"

namespace sim {
namespace {

/// Calls use(records) for every kind that can be carried off.
template <class Imported, class Use>
void each_kind(Imported& imported, const Use& use) {
  use(imported.buildings);
  use(imported.poles);
  use(imported.trees);
  use(imported.woodlands);
  use(imported.canopies);
  use(imported.objects);
  use(imported.meshes);
  use(imported.point_clouds);
}

}  // namespace

std::string source_in_site(const Site& site, const SourceRef& source) {
  if (source.path.empty()) return to_string(source);
  SourceRef seen = source;
  const std::filesystem::path path(source.path);
  const auto folder =
      std::filesystem::path(site.folder.empty() ? "." : site.folder).lexically_normal();
  const auto relative = path.lexically_proximate(folder);
  const bool below = !relative.empty() && relative.is_relative() && *relative.begin() != "..";
  seen.path = below ? relative.string() : path.filename().string();
  return to_string(seen);
}

std::size_t take_out(ImportedSite& imported, const std::string& source) {
  // Telling a record's name costs more than comparing its number.
  const auto colon = source.find_last_of(':');
  const std::string tail = colon == std::string::npos ? "" : source.substr(colon + 1);
  const auto is_it = [&](const SourceRef& of) {
    if (of.record >= 0 && std::to_string(of.record) != tail) return false;
    return source_in_site(imported.site, of) == source || to_string(of) == source;
  };
  std::size_t count = 0;
  each_kind(imported, [&](auto& records) {
    count += std::erase_if(records, [&](const auto& record) { return is_it(record.source); });
  });
  return count;
}

std::string nearest_source(const ImportedSite& imported, const std::string& source) {
  std::set<std::string> known;
  each_kind(imported, [&](const auto& records) {
    for (const auto& record : records) known.insert(source_in_site(imported.site, record.source));
  });
  const std::string near = nearest_word(source, {known.begin(), known.end()});
  return near.empty() ? "" : "; did you mean '" + near + "'?";
}

void leave_out(Importing& importing) {
  ImportedSite& imported = importing.site;
  for (const std::string& source : imported.site.leave_out) {
    const std::size_t count = take_out(imported, source);
    if (count == 0) {
      throw InputError({imported.site.file, "[site]", -1},
                       "leave_out names '" + source + "', and nothing in the site comes from it" +
                           nearest_source(imported, source));
    }
    importing.note(Severity::noted, {imported.site.file, "[site]", -1}, "left_out",
                   "'" + source + "' was left out, as leave_out asks");
  }
}

}  // namespace sim
