#include <algorithm>
#include <cmath>

#include "sim/import/height_text.h"
#include "sim/import/importing.h"

namespace sim {
namespace {

/// What a way tells of itself beside its line.
class WayFields {
 public:
  explicit WayFields(const VectorTable& table)
      : highway_(table.field("highway")),
        width_(table.field("width")),
        width_m_(table.field("width_m")),
        lanes_(table.field("lanes")),
        bridge_(table.field("bridge")),
        layer_(table.field("layer")),
        foot_(table.field("foot")),
        access_(table.field("access")) {}

  void describe(const Feature& feature, StreetRecord& record) const {
    record.highway = text_of(feature, highway_);
    const std::string width = text_of(feature, width_m_ ? width_m_ : width_);
    const auto metres = length_from_text(width);
    if (metres && *metres > 0.0 && *metres < widest_m) record.width_m = metres;
    const std::string lanes = text_of(feature, lanes_);
    if (lanes.size() == 1 && lanes[0] >= '1' && lanes[0] <= '9') record.lanes = lanes[0] - '0';
    const std::string bridge = text_of(feature, bridge_), layer = text_of(feature, layer_);
    record.bridge = (!bridge.empty() && bridge != "no") || (!layer.empty() && layer != "0");
    const std::string foot = text_of(feature, foot_), access = text_of(feature, access_);
    const auto shut = [](const std::string& word) {
      return word == "no" || word == "private" || word == "use_sidepath";
    };
    record.closed_on_foot = shut(foot) || (foot.empty() && shut(access));
  }

 private:
  static constexpr double widest_m = 100.0;  // no carriageway is wider: a wrong unit
  std::optional<std::size_t> highway_, width_, width_m_, lanes_, bridge_, layer_, foot_, access_;
};

bool has_length(const std::vector<Xy>& line) {
  constexpr double least_m = 0.01;
  return std::any_of(line.begin(), line.end(), [&](Xy p) {
    return std::hypot(p.x - line.front().x, p.y - line.front().y) > least_m;
  });
}

}  // namespace

void import_streets(Importing& importing) {
  const auto& streets = importing.site.site.streets;
  if (!streets) return;
  const LayerRead read = read_layer(importing, {.what = "streets",
                                                .file = streets->file,
                                                .layer = streets->layer,
                                                .filter = streets->filter,
                                                .osm_filter = "highway IS NOT NULL",
                                                .where = streets->where});
  const auto name = read.table.field(streets->name_field);
  const auto tunnel = read.table.field("tunnel"), indoor = read.table.field("indoor");
  const WayFields fields(read.table);
  for (const Feature& feature : read.table.features) {
    const auto* lines = std::get_if<LineSet>(&feature.geometry);
    if (lines == nullptr) continue;
    const std::string under = text_of(feature, tunnel), indoor_way = text_of(feature, indoor);
    if ((!under.empty() && under != "no") || (!indoor_way.empty() && indoor_way != "no")) {
      ++importing.site.report.layers[read.count].dropped;
      importing.note(Severity::dropped, feature.source, "not_under_the_sky",
                     "runs in a tunnel or indoors");
      continue;
    }
    bool kept = false;
    for (const CoordinateList& line : lines->lines) {
      StreetRecord record{.id = feature_id(read.table, feature),
                          .name = text_of(feature, name),
                          .line = {},
                          .source = feature.source};
      fields.describe(feature, record);
      for (const Coordinate& c : line) record.line.push_back({c.x, c.y});
      if (has_length(record.line)) {
        importing.site.streets.push_back(std::move(record));
        kept = true;
      }
    }
    LayerCount& count = importing.site.report.layers[read.count];
    ++(kept ? count.used : count.dropped);
    if (!kept) {
      importing.note(Severity::dropped, feature.source, "no_length",
                     "is a street without length; all its points lie at one place");
    }
  }
}

}  // namespace sim
