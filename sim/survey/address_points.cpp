#include "sim/survey/address_points.h"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <vector>

#include "sim/gis/vector_file.h"
#include "sim/import/nearest_word.h"

namespace sim {
namespace {

/// Words in lower case, in order of the alphabet: "High Street, 12" and "12 high street" are alike.
std::vector<std::string> words_of(const std::string& address) {
  std::vector<std::string> words(1);
  for (const char c : address) {
    const auto letter = static_cast<unsigned char>(c);
    if (std::isspace(letter) != 0 || c == ',') {
      if (!words.back().empty()) words.emplace_back();
    } else {
      words.back() += static_cast<char>(std::tolower(letter));
    }
  }
  if (words.back().empty()) words.pop_back();
  std::sort(words.begin(), words.end());
  return words;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
}

struct NumberInStreet {
  int number = 0;
  std::string street;
};
/// Of an address with one plain number: "12 high street", but not "14a high street".
std::optional<NumberInStreet> number_in_street(std::vector<std::string> words) {
  std::optional<NumberInStreet> found;
  for (auto word = words.begin(); word != words.end(); ++word) {
    int number = 0;
    const char* end = word->data() + word->size();
    const auto [stop, error] = std::from_chars(word->data(), end, number);
    if (error != std::errc{} || stop != end || number <= 0) continue;
    if (found) return std::nullopt;  // "5 40th street 7": which is the house?
    std::vector<std::string> rest(words.begin(), word);
    rest.insert(rest.end(), word + 1, words.end());
    found = {number, joined(rest)};
  }
  return found;
}

/// A point of the feature, or the centroid of its first outline by the surveyor's formula.
std::optional<Xy> middle_of(const Geometry& geometry) {
  if (const auto* points = std::get_if<PointSet>(&geometry); points && !points->points.empty()) {
    return Xy{points->points[0].x, points->points[0].y};
  }
  const auto* outlines = std::get_if<PolygonSet>(&geometry);
  if (outlines == nullptr || outlines->polygons.empty() || outlines->polygons[0].rings.empty()) {
    return std::nullopt;
  }
  const CoordinateList& ring = outlines->polygons[0].rings[0];
  if (ring.empty()) return std::nullopt;
  double twice_area = 0.0, x = 0.0, y = 0.0;
  for (std::size_t i = 0; i + 1 < ring.size(); ++i) {  // about the first corner: small numbers
    const double ax = ring[i].x - ring[0].x, ay = ring[i].y - ring[0].y;
    const double bx = ring[i + 1].x - ring[0].x, by = ring[i + 1].y - ring[0].y;
    const double cross = ax * by - bx * ay;
    twice_area += cross;
    x += cross * (ax + bx);
    y += cross * (ay + by);
  }
  if (twice_area == 0.0) return Xy{ring[0].x, ring[0].y};
  return Xy{ring[0].x + x / (3.0 * twice_area), ring[0].y + y / (3.0 * twice_area)};
}

}  // namespace

AddressPoints AddressPoints::read(const std::string& path, const Crs& target) {
  const VectorTable table = read_vectors({.path = path}, target);
  const auto first_of = [&](const char* one, const char* other) {
    const auto field = table.field(one);
    return field ? field : table.field(other);
  };
  const auto whole = table.field("address");
  const auto number = first_of("addr:housenumber", "housenumber");
  const auto street = first_of("addr:street", "street");
  if (!whole && !(number && street)) {
    throw InputError({path, "", -1},
                     "holds no addresses: it needs a field address, or addr:housenumber and "
                     "addr:street");
  }
  AddressPoints points;
  for (const Feature& feature : table.features) {
    const auto place = middle_of(feature.geometry);
    if (!place) continue;
    const auto text = [&](std::optional<std::size_t> field) {
      return field ? feature.values[*field].value_or("") : "";
    };
    const std::string address = whole ? text(whole) : text(number) + " " + text(street);
    const std::vector<std::string> words = words_of(address);
    if (words.empty()) continue;
    points.places_.emplace(joined(words), *place);
    if (const auto house = number_in_street(words)) {
      points.numbers_[house->street].emplace(house->number, *place);
    }
  }
  return points;
}

std::optional<AddressPoints::Found> AddressPoints::find(const std::string& address) const {
  const std::vector<std::string> words = words_of(address);
  if (const auto found = places_.find(joined(words)); found != places_.end()) {
    return Found{.place = found->second, .between = {}};
  }
  const auto house = number_in_street(words);
  const auto street = house ? numbers_.find(house->street) : numbers_.end();
  if (street == numbers_.end()) return std::nullopt;
  const std::map<int, Xy>& numbers = street->second;
  const std::pair<const int, Xy>*below = nullptr, *above = nullptr;
  for (const auto& one : numbers) {
    if (one.first % 2 != house->number % 2) continue;
    if (one.first < house->number) below = &one;
    if (one.first > house->number && above == nullptr) above = &one;
  }
  if (below == nullptr || above == nullptr) return std::nullopt;
  const double t = static_cast<double>(house->number - below->first) /
                   static_cast<double>(above->first - below->first);
  const Xy a = below->second, b = above->second;
  return Found{.place = {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)},
               .gap_m = std::hypot(b.x - a.x, b.y - a.y),
               .between = std::to_string(below->first) + " and " + std::to_string(above->first) +
                          " " + house->street};
}

std::string AddressPoints::known_numbers(const std::string& address) const {
  const auto house = number_in_street(words_of(address));
  const auto street = house ? numbers_.find(house->street) : numbers_.end();
  if (street == numbers_.end()) return "";
  std::optional<int> low, high;
  for (const auto& [number, place] : street->second) {
    if (number % 2 != house->number % 2) continue;
    if (!low) low = number;
    high = number;
  }
  const std::string side = house->number % 2 == 0 ? "even" : "odd";
  if (!low) return "no " + side + " number is known of " + house->street;
  return "the " + side + " numbers known of " + house->street + " run from " +
         std::to_string(*low) + " to " + std::to_string(*high);
}

std::string AddressPoints::nearest(const std::string& address) const {
  std::vector<std::string> known;
  for (const auto& [text, place] : places_) known.push_back(text);
  return nearest_word(joined(words_of(address)), known);
}

}  // namespace sim
