#include "sim/serve/saved_site.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <set>

#include "sim/import/leave_out.h"
#include "sim/import/site_rewrite.h"

namespace sim {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr std::size_t longest_name = 64;

void check_name(const std::string& name) {
  const bool sound = !name.empty() && name.size() <= longest_name &&
                     std::all_of(name.begin(), name.end(), [](unsigned char c) {
                       return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                              (c >= '0' && c <= '9') || c == '_' || c == '-';
                     });
  if (!sound) {
    throw InputError({"name", "", -1},
                     fmt::format("must be 1 to {} letters, digits, _ or -", longest_name));
  }
}

/// Gives a finished file its name unless another has it. 0, or errno.
int give_name(const fs::path& unfinished, const fs::path& path) {
  // Unlike a plain rename, neither replaces what is there. Memory cards know no links.
  if (link(unfinished.c_str(), path.c_str()) == 0) return 0;
  if (errno == EEXIST) return EEXIST;
  const int done =
      renameat2(AT_FDCWD, unfinished.c_str(), AT_FDCWD, path.c_str(), RENAME_NOREPLACE);
  return done == 0 ? 0 : errno;
}

/// Writes a file that must not be there yet; it appears whole or not at all.
void write_new(const fs::path& path, const std::string& text) {
  const std::string unfinished = path.string() + "." + std::to_string(getpid()) + ".part";
  const int file = open(unfinished.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  bool done = file >= 0;
  for (std::size_t at = 0; done && at < text.size();) {
    const ssize_t count = write(file, text.data() + at, text.size() - at);
    if (count < 0 && errno == EINTR) continue;
    done = count > 0;
    at += done ? static_cast<std::size_t>(count) : 0;
  }
  if (file >= 0) done = close(file) == 0 && done;
  const int problem = done ? give_name(unfinished, path) : EIO;
  unlink(unfinished.c_str());
  if (problem == EEXIST) {
    throw InputError({path.string(), "", -1}, "is there already; choose another name");
  }
  if (problem != 0) throw InputError({path.string(), "", -1}, "cannot be written");
}

class AddedThings {
 public:
  explicit AddedThings(const ImportedSite& edited) : to_degrees_(edited.crs, Crs::wgs84()) {
    for (const ObjectRecord& object : edited.objects) {
      if (object.source.path != added_path) continue;
      add("object", object.id, *object.place,
          {{"kind", to_string(object.kind)},
           {"length_m", object.length_m},
           {"width_m", object.width_m},
           {"height_m", object.height_m},
           {"heading_deg", object.heading.degrees()}});
    }
    for (const TreeRecord& tree : edited.trees) {
      if (tree.source.path != added_path) continue;
      add("tree", tree.id, tree.place,
          {{"height_m", tree.height_m},
           {"crown_diameter_m", tree.crown_diameter_m},
           {"species_class", tree.species_class}});
    }
    for (const PoleRecord& pole : edited.poles) {
      if (pole.source.path != added_path) continue;
      add("pole", pole.id, pole.place,
          {{"height_m", pole.height_m}, {"diameter_m", pole.diameter_m}});
    }
  }

  bool any() const { return !features_.empty(); }

  std::string geojson() const {
    return Json{{"type", "FeatureCollection"}, {"features", features_}}.dump(1) + "\n";
  }

  /// The sections that read them back.
  std::string sections(const std::string& file) const {
    std::string text = "\n# what was added in the live view\n";
    const auto section = [&](const char* layer, const char* thing) {
      if (!layers_.contains(thing)) return;
      text +=
          fmt::format("\n[[{}]]\nfile = \"{}\"\nwhere = \"layer = '{}'\"\n", layer, file, thing);
    };
    section("objects", "object");
    section("trees", "tree");
    section("poles", "pole");
    return text;
  }

 private:
  void add(const char* layer, const std::string& id, Xy place, const Json& properties) {
    const auto degrees = to_degrees_(place);
    Json feature{{"type", "Feature"}};
    feature["properties"] = {{"id", id}, {"layer", layer}};
    feature["properties"].update(properties);
    feature["geometry"] = {{"type", "Point"}, {"coordinates", {degrees->x, degrees->y}}};
    features_.push_back(std::move(feature));
    layers_.insert(layer);
  }

  CrsTransform to_degrees_;
  Json features_ = Json::array();
  std::set<std::string> layers_;
};

std::string number_text(double value) {
  const std::string text = fmt::format("{}", value);
  // TOML tells 2 from 2.0, and 1e-07 from neither.
  return text.find_first_of(".e") == std::string::npos ? text + ".0" : text;
}

/// What the edits did to the nodes, by comparing: however many steps it took.
void note_nodes(const ImportedSite& unedited, const ImportedSite& edited, SiteChanges& changes) {
  for (std::size_t n = 0; n < edited.nodes.size(); ++n) {
    const NodeRecord &was = unedited.nodes[n], &is = edited.nodes[n];
    if (was.place.x != is.place.x || was.place.y != is.place.y) changes.nodes[n] = {is.place, ""};
    if (was.height_agl_m != is.height_agl_m) {
      changes.heights[n] = {number_text(is.height_agl_m), ""};
    }
    for (std::size_t s = 0; s < is.sectors.size(); ++s) {
      auto& numbers = changes.sectors[{n, s}];
      const auto note = [&](const char* key, Angle before, Angle after) {
        if (before != after) numbers[key] = {number_text(after.degrees()), ""};
      };
      note("azimuth_deg", was.sectors[s].azimuth, is.sectors[s].azimuth);
      note("downtilt_deg", was.sectors[s].downtilt, is.sectors[s].downtilt);
      if (numbers.empty()) changes.sectors.erase({n, s});
    }
  }
}

std::string quoted_list(const std::vector<std::string>& texts) {
  return Json(texts).dump();  // JSON's strings and lists are TOML's too
}

/// Records of the site that are no longer there; what was added and removed again leaves no trace.
std::vector<std::string> left_out(const ImportedSite& unedited, std::span<const Edit> edits) {
  std::vector<std::string> sources = unedited.site.leave_out;
  for (const Edit& edit : edits) {
    const auto* gone = std::get_if<RemoveThing>(&edit);
    if (gone == nullptr || gone->source.starts_with(std::string(added_path) + ":")) continue;
    sources.push_back(gone->source);
  }
  return sources;
}

}  // namespace

SavedSite save_site(const ImportedSite& unedited, std::span<const Edit> edits,
                    const std::string& name) {
  check_name(name);
  const ImportedSite edited = edited_site(unedited, edits);
  SiteChanges changes;
  changes.beside = true;
  changes.heading = fmt::format("{} as edited in the live view of kerbray.",
                                fs::path(unedited.site.file).filename().string());
  note_nodes(unedited, edited, changes);
  if (edited.site.leaf_on != unedited.site.leaf_on) {
    changes.site["time"] = {edited.site.leaf_on ? "\"leaf-on\"" : "\"leaf-off\"", ""};
  }
  if (edited.site.rain_mm_per_h != unedited.site.rain_mm_per_h) {
    changes.site["rain_mm_per_h"] = {number_text(edited.site.rain_mm_per_h), ""};
  }
  if (const auto sources = left_out(unedited, edits); sources != unedited.site.leave_out) {
    changes.site["leave_out"] = {quoted_list(sources), ""};
  }
  const fs::path folder(unedited.site.folder);
  const fs::path site_file = folder / (name + ".toml");
  const fs::path things_file = folder / (name + "_things.geojson");
  const AddedThings things(edited);
  if (things.any()) changes.sections = things.sections(things_file.filename().string());
  const std::string text = rewritten_site(unedited, changes);
  if (things.any()) write_new(things_file, things.geojson());
  try {
    write_new(site_file, text);
  } catch (const InputError&) {
    if (things.any()) fs::remove(things_file);
    throw;
  }
  return {site_file.string(), things.any() ? std::optional(things_file.string()) : std::nullopt};
}

}  // namespace sim
