#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>

#include "sim/base/words.h"
#include "sim/import/antenna_file.h"
#include "sim/import/height_text.h"
#include "sim/import/importing.h"
#include "sim/import/nearest_word.h"
#include "sim/import/site_words.h"

namespace sim {
namespace {

SectorRecord sector_record(const SectorSettings& from) {
  SectorRecord sector{.id = from.sector,
                      .pattern = from.pattern,
                      .polarization = from.polarization,
                      .azimuth = Angle::degrees(from.azimuth_deg),
                      .downtilt = Angle::degrees(from.downtilt_deg),
                      .frequency = Frequency::ghz(from.frequency_ghz),
                      .bandwidth_mhz = from.bandwidth_mhz,
                      .carriers = from.carriers,
                      .eirp = Dbm(from.eirp_dbm.value_or(std::nan(""))),
                      .table = nullptr,
                      .rows = from.rows,
                      .cols = from.cols,
                      .broadcast_gain = {},
                      .source = from.where};
  if (from.broadcast_gain_db) sector.broadcast_gain = Db(*from.broadcast_gain_db);
  if (from.pattern.ends_with(".csv")) {
    sector.table = std::make_shared<AntennaTable>(read_antenna(from.pattern));
  }
  return sector;
}

NodeRecord inline_node(const NodeSettings& from, const Crs& crs) {
  NodeRecord node{.id = from.id,
                  .place = {},
                  .height_agl_m = from.height_agl_m,
                  .sectors = {},
                  .source = from.where};
  if (from.x_m && from.y_m) {
    node.place = {*from.x_m, *from.y_m};
    if (!CrsTransform(crs, Crs::wgs84())(node.place)) {
      throw InputError(from.where,
                       "node '" + from.id + "': x_m and y_m lie outside the area of " + crs.name());
    }
  } else {
    const double lon = *from.lon, lat = *from.lat;
    if (lon == 0.0 && lat == 0.0) {
      throw InputError(from.where,
                       "node '" + from.id +
                           "' is at longitude 0, latitude 0, where a receiver without a "
                           "fix puts things; give its true position");
    }
    const CrsTransform to_map(Crs::wgs84(), crs);
    const bool on_earth = std::abs(lat) <= 90.0 && std::abs(lon) <= 360.0;
    const auto place = on_earth ? to_map({lon, lat}) : std::nullopt;
    if (!place) {
      const bool swapped = std::abs(lon) <= 90.0 && to_map({lat, lon}).has_value();
      throw InputError(from.where, "node '" + from.id + "' lies outside the area of " + crs.name() +
                                       (swapped ? "; latitude and longitude look swapped" : ""));
    }
    node.place = *place;
  }
  for (const SectorSettings& sector : from.sectors) node.sectors.push_back(sector_record(sector));
  return node;
}

/// One row per sector, node columns repeated.
class NodeFile {
 public:
  NodeFile(const Site& site, const Crs& crs) : where_(site.nodes.where) {
    table_ = read_vectors({.path = site.nodes.file, .layer = "", .where = "", .assume = crs}, crs);
    if (table_.features.empty()) {
      throw InputError({site.nodes.file, "", -1}, "holds no nodes; it needs one row per sector");
    }
    refuse_near_names();
  }

  std::vector<NodeRecord> read() {
    std::vector<NodeRecord> nodes;
    std::map<std::string, std::size_t> index;
    for (const Feature& feature : table_.features) {
      const auto* points = std::get_if<PointSet>(&feature.geometry);
      if (points == nullptr || points->points.empty()) {
        throw InputError(feature.source,
                         "node row has no usable position; give lon and lat, or x_m "
                         "and y_m");
      }
      const Coordinate& c = points->points.front();
      std::string id = text_of(feature, table_.field("node"));
      if (id.empty()) id = text_of(feature, table_.field("id"));
      if (id.empty())
        throw InputError(feature.source, "node row has no id; it needs a column 'node' or 'id'");
      if (!index.contains(id)) {
        index[id] = nodes.size();
        nodes.push_back({.id = id,
                         .place = {c.x, c.y},
                         .height_agl_m = number(feature, "height_agl_m", 8.0, 0.5, 500.0),
                         .sectors = {},
                         .source = feature.source});
      }
      NodeRecord& node = nodes[index[id]];
      const double height = number(feature, "height_agl_m", node.height_agl_m, 0.5, 500.0);
      if (height != node.height_agl_m) {
        throw InputError(feature.source,
                         "node '" + id + "' has another height_agl_m in its other rows");
      }
      if (std::hypot(node.place.x - c.x, node.place.y - c.y) > 1.0) {
        throw InputError(feature.source, "node '" + id + "' is more than 1 m from its other rows");
      }
      SectorRecord next = sector_record(sector(feature, node.sectors.size()));
      for (const SectorRecord& other : node.sectors) {
        if (other.id == next.id) {
          throw InputError(feature.source, "node '" + id + "' has two sectors '" + next.id +
                                               "'; name them apart in the column 'sector'");
        }
      }
      node.sectors.push_back(std::move(next));
    }
    return nodes;
  }

 private:
  /// A column that is nearly one of ours would else be passed over, and a default taken for it.
  void refuse_near_names() const {
    struct Name {
      const char *ours, *begins;
    };
    for (const Name name : {Name{"height_agl_m", "height"}, Name{"azimuth_deg", "azimuth"},
                            Name{"downtilt_deg", "downtilt"}, Name{"downtilt_deg", "tilt"},
                            Name{"frequency_ghz", "freq"}, Name{"bandwidth_mhz", "bandwidth"},
                            Name{"eirp_dbm", "eirp"}}) {
      if (table_.field(name.ours)) continue;
      for (const std::string& field : table_.fields) {
        if (!lower(field).starts_with(name.begins)) continue;
        throw InputError({table_.path, table_.layers.empty() ? "" : table_.layers.front(), 0},
                         "is column '" + field + "' what kerbray calls " + name.ours +
                             "? name it so, in that unit" +
                             (std::string_view(name.ours) == "height_agl_m"
                                  ? " (or with the unit in each cell: 26 ft)"
                                  : ""));
      }
    }
  }

  double number(const Feature& feature, const char* name, double fallback, double low,
                double high) {
    const std::string text = text_of(feature, table_.field(name));
    if (text.empty()) return fallback;
    const bool is_length = std::string_view(name).ends_with("_m");  // "26 ft" is a height too
    const auto value = is_length ? length_from_text(text) : plain_number(text);
    if (!value || *value < low || *value > high) {
      throw InputError(feature.source, std::string(name) + " is '" + text +
                                           "', but must be a number between " + csv_number(low) +
                                           " and " + csv_number(high));
    }
    return *value;
  }

  int whole(const Feature& feature, const char* name, int fallback, int most) {
    const double value = number(feature, name, fallback, fallback == 0 ? 0.0 : 1.0, most);
    if (value != std::floor(value)) {
      throw InputError(feature.source, std::string(name) + " must be a whole number");
    }
    return static_cast<int>(value);
  }

  static std::optional<double> plain_number(const std::string& text) {
    double value = 0.0;
    const char* end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, value);
    return error == std::errc{} && stop == end && std::isfinite(value) ? std::optional(value)
                                                                       : std::nullopt;
  }

  static std::string csv_number(double v) {
    std::string text = std::to_string(v);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
  }

  SectorSettings sector(const Feature& feature, std::size_t position) {
    SectorSettings s;
    s.where = feature.source;
    s.sector = text_of(feature, table_.field("sector"));
    if (s.sector.empty()) s.sector = std::string(1, static_cast<char>('a' + position % 26));
    s.azimuth_deg = number(feature, "azimuth_deg", s.azimuth_deg, -360.0, 360.0);
    s.downtilt_deg = number(feature, "downtilt_deg", s.downtilt_deg, -90.0, 90.0);
    s.frequency_ghz = number(feature, "frequency_ghz", s.frequency_ghz, 0.5, 100.0);
    s.bandwidth_mhz = number(feature, "bandwidth_mhz", s.bandwidth_mhz, 1.0, 2000.0);
    s.carriers = whole(feature, "carriers", s.carriers, 16);
    s.rows = whole(feature, "rows", s.rows, 64);
    s.cols = whole(feature, "cols", s.cols, 64);
    if (!text_of(feature, table_.field("broadcast_gain_db")).empty()) {
      s.broadcast_gain_db = number(feature, "broadcast_gain_db", 0.0, -40.0, 0.0);
    }
    if (!text_of(feature, table_.field("eirp_dbm")).empty()) {
      s.eirp_dbm = number(feature, "eirp_dbm", 0.0, -30.0, 100.0);
    }
    word(feature, "pattern", s.pattern, pattern_words());
    word(feature, "polarization", s.polarization, polarization_words());
    return s;
  }

  void word(const Feature& feature, const char* name, std::string& target,
            const std::vector<std::string>& known) {
    const std::string text = text_of(feature, table_.field(name));
    if (text.empty()) return;
    const bool is_table = text.ends_with(".csv") && std::string_view(name) == "pattern";
    if (std::find(known.begin(), known.end(), text) == known.end() && !is_table) {
      throw InputError(feature.source,
                       std::string(name) + " is '" + text + "'" + suggestion(text, known));
    }
    target = text;
    if (is_table && text.front() != '/') {
      const auto slash = table_.path.find_last_of('/');
      target = (slash == std::string::npos ? "" : table_.path.substr(0, slash + 1)) + text;
    }
  }

  SourceRef where_;
  VectorTable table_;
};

}  // namespace

std::vector<NodeRecord> import_nodes(const Site& site, const Crs& crs, const Defaults& defaults,
                                     ImportReport& report) {
  std::vector<NodeRecord> nodes;
  if (!site.nodes.file.empty()) nodes = NodeFile(site, crs).read();
  for (const NodeSettings& node : site.nodes.inline_nodes) {
    for (const NodeRecord& other : nodes) {
      if (other.id == node.id) throw InputError(node.where, "node '" + node.id + "' is used twice");
    }
    nodes.push_back(inline_node(node, crs));
  }
  for (NodeRecord& node : nodes) {
    for (SectorRecord& sector : node.sectors) {
      if (!std::isnan(sector.eirp.value)) continue;
      sector.eirp = Dbm(defaults("sector_eirp_dbm"));
      report.issues.push_back({Severity::defaulted, sector.source, "eirp_default",
                               fmt::format("sector '{}' of node '{}' tells no eirp_dbm; {:g} dBm "
                                           "was taken: expect every level to be off by what it "
                                           "really sends",
                                           sector.id, node.id, sector.eirp.value)});
    }
  }
  return nodes;
}

}  // namespace sim
