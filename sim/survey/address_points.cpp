#include "sim/survey/address_points.h"

#include <algorithm>
#include <cctype>
#include <vector>

#include "sim/gis/vector_file.h"
#include "sim/import/nearest_word.h"

namespace sim {
namespace {

/// Words in lower case, in order of the alphabet: "High Street, 12" and "12 high street" are alike.
std::string plain(const std::string& address) {
  std::vector<std::string> words(1);
  for (const char c : address) {
    const auto letter = static_cast<unsigned char>(c);
    if (std::isspace(letter) != 0 || c == ',') {
      if (!words.back().empty()) words.emplace_back();
    } else {
      words.back() += static_cast<char>(std::tolower(letter));
    }
  }
  std::sort(words.begin(), words.end());
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
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
    const auto* place = std::get_if<PointSet>(&feature.geometry);
    if (place == nullptr || place->points.empty()) continue;
    const auto text = [&](std::optional<std::size_t> field) {
      return field ? feature.values[*field].value_or("") : "";
    };
    const std::string address = whole ? text(whole) : text(number) + " " + text(street);
    points.places_.emplace(plain(address), Xy{place->points[0].x, place->points[0].y});
  }
  return points;
}

std::optional<Xy> AddressPoints::find(const std::string& address) const {
  const auto found = places_.find(plain(address));
  return found == places_.end() ? std::nullopt : std::optional(found->second);
}

std::string AddressPoints::nearest(const std::string& address) const {
  std::vector<std::string> known;
  for (const auto& [text, place] : places_) known.push_back(text);
  return nearest_word(plain(address), known);
}

}  // namespace sim
