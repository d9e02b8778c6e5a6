#include "sim/import/site_rewrite.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "sim/import/text_edits.h"

namespace sim {
namespace {

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

std::string absolute(const std::string& folder, const std::string& path) {
  namespace fs = std::filesystem;
  return fs::absolute(fs::path(folder) / path).lexically_normal().string();
}

class Rewriter {
 public:
  Rewriter(const ImportedSite& imported, std::string text)
      : imported_(imported), edits_(std::move(text)) {
    root_ = toml::parse(edits_.text(), imported.site.file);
    inline_nodes_ = tables_of(root_["nodes"]["node"].node());
    for (const toml::table* node : tables_of(root_["node"].node())) inline_nodes_.push_back(node);
  }

  std::string run(const SiteChanges& changes) {
    if (!changes.beside) make_absolute(root_);
    const std::size_t in_file = imported_.nodes.size() - inline_nodes_.size();
    bool file_changes = false;
    const auto inline_table = [&](std::size_t n) -> const toml::table* {
      file_changes = file_changes || n < in_file;
      return n < in_file ? nullptr : inline_nodes_.at(n - in_file);
    };
    for (const auto& [n, place] : changes.nodes) {
      if (const toml::table* node = inline_table(n)) move(*node, place);
    }
    for (const auto& [n, height] : changes.heights) {
      if (const toml::table* node = inline_table(n)) set(*node, "height_agl_m", height);
    }
    for (const auto& [which, numbers] : changes.sectors) {
      const toml::table* node = inline_table(which.first);
      if (node == nullptr) continue;
      const toml::table& sector = *tables_of(node->get("sector")).at(which.second);
      for (const auto& [key, number] : numbers) set(sector, key, number);
    }
    if (!changes.thresholds.empty()) set_thresholds(changes.thresholds);
    if (!changes.site.empty()) set_site(changes.site);
    std::string text = heading(changes.heading);
    std::string end = appended_;
    if (file_changes) end += nodes_written_out(changes, in_file);
    return text + edits_.result() + end + changes.sections;
  }

 private:
  static std::vector<const toml::table*> tables_of(const toml::node* node) {
    std::vector<const toml::table*> tables;
    if (node == nullptr) return tables;
    if (const toml::table* table = node->as_table()) tables.push_back(table);
    if (const toml::array* array = node->as_array()) {
      for (const toml::node& item : *array) tables.push_back(item.as_table());
    }
    return tables;
  }

  std::size_t begin_of(const toml::node& node) const {
    return edits_.byte_at(node.source().begin.line, node.source().begin.column);
  }
  std::size_t end_of(const toml::node& node) const {
    return edits_.byte_at(node.source().end.line, node.source().end.column);
  }

  void set(const toml::table& table, const std::string& key, const NewNumber& number) {
    if (const toml::node* old = table.get(key)) {
      if (!number.comment.empty())
        edits_.add_above(old->source().begin.line, "# " + number.comment);
      edits_.replace(begin_of(*old), end_of(*old), number.text);
      return;
    }
    add(table, key + " = " + number.text, number.comment);
  }

  /// A key that the table does not have yet.
  void add(const toml::table& table, const std::string& assignment, const std::string& comment) {
    const std::size_t begin = begin_of(table);
    const std::uint32_t line = table.source().begin.line;
    if (edits_.text()[begin] == '{') {
      if (!comment.empty()) edits_.add_above(line, "# " + comment);
      edits_.insert(begin + 1, " " + assignment + (table.empty() ? " " : ","));
      return;
    }
    const std::string text = edits_.line(line);
    const auto first = text.find_first_not_of(" \t");
    if (first == std::string::npos || text[first] != '[') {
      throw InputError({imported_.site.file, "", -1},
                       fmt::format("line {}: has no place for '{}'; write the section with its own "
                                   "[header] line",
                                   line, assignment));
    }
    if (!comment.empty()) edits_.add_below(line, "# " + comment);
    edits_.add_below(line, assignment);
  }

  void move(const toml::table& node, const NewNodePlace& place) {
    if (node.contains("x_m")) {
      set(node, "x_m", {fmt::format("{:.3f}", place.map.x), place.comment});
      set(node, "y_m", {fmt::format("{:.3f}", place.map.y), ""});
      return;
    }
    const auto degrees = CrsTransform(imported_.crs, Crs::wgs84())(place.map);
    set(node, "lon", {fmt::format("{:.9f}", degrees->x), place.comment});
    set(node, "lat", {fmt::format("{:.9f}", degrees->y), ""});
  }

  void set_thresholds(const std::map<std::string, NewNumber>& thresholds) {
    const toml::table* predict = root_["predict"].as_table();
    if (predict != nullptr) {
      if (const toml::table* known = root_["predict"]["thresholds"].as_table()) {
        for (const auto& [name, number] : thresholds) set(*known, name, number);
        return;
      }
    }
    std::string all, comments;
    for (const auto& [name, number] : thresholds) {
      all += (all.empty() ? "" : ", ") + name + " = " + number.text;
      comments += (comments.empty() ? "" : "\n# ") + number.comment;
    }
    const std::string assignment = "thresholds = { " + all + " }";
    if (predict != nullptr) {
      add(*predict, assignment, comments);
    } else {
      appended_ += "\n[predict]\n# " + comments + "\n" + assignment + "\n";
    }
  }

  void set_site(const std::map<std::string, NewNumber>& keys) {
    const toml::table* site = root_["site"].as_table();
    if (site == nullptr) appended_ += "\n[site]\n";
    for (const auto& [key, value] : keys) {
      if (site != nullptr) {
        set(*site, key, value);
      } else {
        appended_ += key + " = " + value.text + "\n";
      }
    }
  }

  void make_absolute(const toml::table& table) {
    for (const auto& [key, value] : table) {
      if (const toml::table* inner = value.as_table()) make_absolute(*inner);
      if (const toml::array* array = value.as_array()) {
        for (const toml::node& item : *array) {
          if (const toml::table* inner = item.as_table()) make_absolute(*inner);
        }
      }
      const auto text = value.value_exact<std::string>();
      if (!text || text->empty() || text->starts_with("/")) continue;
      const std::string_view name = key.str();
      const bool is_path = name == "file" || name == "canopy_file" || name == "addresses" ||
                           name == "track" || (name == "pattern" && text->ends_with(".csv"));
      if (!is_path) continue;
      edits_.replace(begin_of(value), end_of(value),
                     quoted(absolute(imported_.site.folder, *text)));
    }
  }

  static std::string comment_line(const std::string& indent, const std::string& comment) {
    return comment.empty() ? "" : indent + "# " + comment + "\n";
  }

  static std::string heading(const std::string& text) {
    std::istringstream lines(text);
    std::string out;
    for (std::string line; std::getline(lines, line);) out += "# " + line + "\n";
    return out;
  }

  /// Nodes of a file as sections: a file of nodes has no place for the comments.
  std::string nodes_written_out(const SiteChanges& changes, std::size_t count) {
    const toml::node* file = root_["nodes"]["file"].node();
    const std::uint32_t line = file->source().begin.line;
    const std::string text = edits_.line(line);
    const auto first = text.find_first_not_of(" \t");
    if (first == std::string::npos || text.compare(first, 4, "file") != 0) {
      throw InputError({imported_.site.file, "", -1},
                       fmt::format("line {}: names the file of nodes beside something else; write "
                                   "`file = ...` on a line of its own under [nodes]",
                                   line));
    }
    edits_.add_above(line, "# its nodes are written out at the end, some with new values");
    edits_.insert(edits_.byte_at(line, 1), "# ");
    const CrsTransform to_degrees(imported_.crs, Crs::wgs84());
    std::string out;
    for (std::size_t n = 0; n < count; ++n) {
      const NodeRecord& node = imported_.nodes[n];
      const auto moved = changes.nodes.find(n);
      const auto at = to_degrees(moved == changes.nodes.end() ? node.place : moved->second.map);
      out += "\n[[node]]\nid = " + quoted(node.id) + "\n";
      if (moved != changes.nodes.end()) out += comment_line("", moved->second.comment);
      const auto raised = changes.heights.find(n);
      out += fmt::format("lon = {:.9f}\nlat = {:.9f}\nheight_agl_m = {}\n", at->x, at->y,
                         raised == changes.heights.end() ? fmt::format("{}", node.height_agl_m)
                                                         : raised->second.text);
      for (std::size_t s = 0; s < node.sectors.size(); ++s) {
        const auto fitted = changes.sectors.find({n, s});
        out += sector_written_out(node.sectors[s], fitted == changes.sectors.end()
                                                       ? std::map<std::string, NewNumber>{}
                                                       : fitted->second);
      }
    }
    return out;
  }

  std::string sector_written_out(const SectorRecord& sector,
                                 const std::map<std::string, NewNumber>& fitted) const {
    std::string out = "  [[node.sector]]\n  sector = " + quoted(sector.id) + "\n";
    const auto number = [&](const std::string& key, double value) {
      const auto found = fitted.find(key);
      if (found == fitted.end()) {
        out += fmt::format("  {} = {:.6g}\n", key, value);
      } else {
        out += comment_line("  ", found->second.comment) + "  " + key + " = " + found->second.text +
               "\n";
      }
    };
    number("azimuth_deg", sector.azimuth.degrees());
    number("downtilt_deg", sector.downtilt.degrees());
    number("frequency_ghz", sector.frequency.ghz());
    number("bandwidth_mhz", sector.bandwidth_mhz);
    number("eirp_dbm", sector.eirp.value);
    out += fmt::format("  carriers = {}\n", sector.carriers);
    const bool table = sector.pattern.ends_with(".csv");
    out += "  pattern = " + quoted(table ? absolute("", sector.pattern) : sector.pattern) + "\n";
    out += "  polarization = " + quoted(sector.polarization) + "\n";
    if (sector.rows > 0) out += fmt::format("  rows = {}\n", sector.rows);
    if (sector.cols > 0) out += fmt::format("  cols = {}\n", sector.cols);
    if (sector.broadcast_gain) {
      out += fmt::format("  broadcast_gain_db = {:g}\n", sector.broadcast_gain->value);
    }
    return out;
  }

  const ImportedSite& imported_;
  TextEdits edits_;
  toml::table root_;
  std::vector<const toml::table*> inline_nodes_;
  std::string appended_;
};

}  // namespace

std::string rewritten_site(const ImportedSite& imported, const SiteChanges& changes) {
  std::ifstream in(imported.site.file, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return Rewriter(imported, text.str()).run(changes);
}

}  // namespace sim
