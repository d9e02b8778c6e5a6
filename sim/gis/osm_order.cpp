#include "sim/gis/osm_order.h"

#include <cpl_conv.h>
#include <cpl_vsi.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cstdint>
#include <fstream>
#include <functional>
#include <optional>
#include <sstream>
#include <string_view>

namespace sim {
namespace {

// 0 nodes, 1 ways, 2 relations: the order that lets one pass find what is referred to.
using Parts = std::array<std::string, 3>;

// ---- XML ----

/// End of the tag that opens at `from`, past its '>'; npos when it does not end.
std::size_t tag_end(std::string_view text, std::size_t from) {
  char quote = 0;
  for (std::size_t i = from; i < text.size(); ++i) {
    if (quote != 0) {
      if (text[i] == quote) quote = 0;
    } else if (text[i] == '"' || text[i] == '\'') {
      quote = text[i];
    } else if (text[i] == '>') {
      return i + 1;
    }
  }
  return std::string_view::npos;
}

/// The XML with its elements in order; nullopt when they are already, or it cannot be understood.
std::optional<std::string> ordered_xml(std::string_view text) {
  constexpr std::array<std::string_view, 3> names{"node", "way", "relation"};
  Parts parts;
  std::string before;
  std::size_t last = 0;
  bool in_order = true;
  for (std::size_t i = text.find('<'); i != std::string_view::npos; i = text.find('<', i)) {
    if (text.substr(i, 4) == "<!--") {
      const std::size_t end = text.find("-->", i);
      if (end == std::string_view::npos) return std::nullopt;
      i = end + 3;
      continue;
    }
    std::size_t end = tag_end(text, i);
    if (end == std::string_view::npos) return std::nullopt;
    const std::string_view word =
        text.substr(i + 1, text.find_first_of(" \t\r\n/>", i + 1) - i - 1);
    const auto kind = std::find(names.begin(), names.end(), word);
    if (kind == names.end()) {
      if (text[i + 1] != '/') before += text.substr(i, end - i);
      i = end;
      continue;
    }
    if (text[end - 2] != '/') {
      const std::string close = "</" + std::string(word) + ">";
      const std::size_t closing = text.find(close, end);
      if (closing == std::string_view::npos) return std::nullopt;
      end = closing + close.size();
    }
    const auto number = static_cast<std::size_t>(kind - names.begin());
    in_order = in_order && number >= last;
    last = number;
    parts[number] += text.substr(i, end - i);
    parts[number] += '\n';
    i = end;
  }
  if (in_order) return std::nullopt;
  return before + "\n" + parts[0] + parts[1] + parts[2] + "</osm>\n";
}

// ---- PBF: https://wiki.openstreetmap.org/wiki/PBF_Format ----

constexpr std::size_t most_header_bytes = 64 * 1024, most_blob_bytes = 32 * 1024 * 1024;

struct Field {
  std::uint64_t number = 0, value = 0;
  std::string_view bytes;  ///< of a length-delimited field
  std::string_view whole;  ///< with its key
};

/// Fields of a protocol buffer message, one after the other; false from next() at its end or where
/// it is broken.
class Message {
 public:
  explicit Message(std::string_view bytes) : rest_(bytes) {}
  bool next(Field& field) {
    const std::string_view start = rest_;
    std::uint64_t key = 0, length = 0;
    if (rest_.empty() || !varint(key)) return false;
    field = {.number = key >> 3, .value = 0, .bytes = {}, .whole = {}};
    switch (key & 7U) {
      case 0:
        if (!varint(field.value)) return false;
        break;
      case 1:
        length = 8;
        break;
      case 2:
        if (!varint(length)) return false;
        break;
      case 5:
        length = 4;
        break;
      default:
        return false;
    }
    if (length > rest_.size()) return false;
    field.bytes = rest_.substr(0, length);
    rest_.remove_prefix(length);
    field.whole = start.substr(0, start.size() - rest_.size());
    return true;
  }

 private:
  bool varint(std::uint64_t& value) {
    value = 0;
    for (unsigned shift = 0; shift < 64 && !rest_.empty(); shift += 7) {
      const auto byte = static_cast<unsigned char>(rest_.front());
      rest_.remove_prefix(1);
      value |= static_cast<std::uint64_t>(byte & 0x7FU) << shift;
      if (byte < 0x80U) return true;
    }
    return false;
  }
  std::string_view rest_;
};

void put_varint(std::string& out, std::uint64_t value) {
  for (; value >= 0x80U; value >>= 7) out += static_cast<char>((value & 0x7FU) | 0x80U);
  out += static_cast<char>(value);
}
void put_bytes(std::string& out, unsigned number, std::string_view bytes) {
  put_varint(out, number << 3U | 2U);
  put_varint(out, bytes.size());
  out += bytes;
}

/// One uncompressed data block as it stands in a file.
std::string framed(std::string_view block) {
  std::string blob, header;
  put_bytes(blob, 1, block);
  put_bytes(header, 1, "OSMData");
  put_varint(header, 3U << 3U);
  put_varint(header, blob.size());
  std::string frame;
  for (const unsigned shift : {24U, 16U, 8U, 0U}) {
    frame += static_cast<char>(header.size() >> shift & 0xFFU);
  }
  return frame + header + blob;
}

/// The block inside a blob; nullopt when it is broken or packed in a way we do not read.
std::optional<std::string> unpacked(std::string_view blob) {
  Message message(blob);
  std::size_t size = 0;
  std::string_view packed;
  for (Field field; message.next(field);) {
    if (field.number == 1) return std::string(field.bytes);
    if (field.number == 2) size = field.value;
    if (field.number == 3) packed = field.bytes;
  }
  if (packed.empty() || size == 0 || size > most_blob_bytes) return std::nullopt;
  std::string block(size, '\0');
  std::size_t written = 0;
  if (CPLZLibInflate(packed.data(), packed.size(), block.data(), size, &written) == nullptr ||
      written != size) {
    return std::nullopt;
  }
  return block;
}

/// Hands out every frame: its bytes, its type, and the block in it. False when the file is broken.
bool each_block(const std::string& path,
                const std::function<bool(const std::string& frame, std::string_view type,
                                         const std::string& block)>& use) {
  std::ifstream in(path, std::ios::binary);
  std::array<char, 4> prefix{};
  while (in.read(prefix.data(), 4)) {
    std::size_t size = 0;
    for (const char c : prefix) size = size << 8U | static_cast<unsigned char>(c);
    if (size > most_header_bytes) return false;
    std::string header(size, '\0');
    if (!in.read(header.data(), static_cast<std::streamsize>(size))) return false;
    std::string_view type;
    std::size_t blob_size = 0;
    Message message(header);
    for (Field field; message.next(field);) {
      if (field.number == 1) type = field.bytes;
      if (field.number == 3) blob_size = field.value;
    }
    if (blob_size == 0 || blob_size > most_blob_bytes) return false;
    std::string blob(blob_size, '\0');
    if (!in.read(blob.data(), static_cast<std::streamsize>(blob_size))) return false;
    const auto block = unpacked(blob);
    if (!block) return false;
    if (!use(std::string(prefix.data(), 4) + header + blob, type, *block)) break;
  }
  return true;
}

/// Kind of a group of elements by its first field; nullopt for an empty one.
std::optional<std::size_t> kind_of(std::string_view group) {
  Field first;
  if (!Message(group).next(first)) return std::nullopt;
  return first.number == 3 ? 1U : first.number == 4 ? 2U : 0U;
}

/// Whether relations or ways stand before what they refer to. The blocks tell, not the header: real
/// extracts claim Sort.Type_then_ID and put relations before ways, by the alphabet.
bool is_disordered(const std::string& path) {
  std::size_t last = 0;
  bool in_order = true;
  const bool sound =
      each_block(path, [&](const std::string&, std::string_view type, const std::string& block) {
        Message message(block);
        for (Field field; type == "OSMData" && in_order && message.next(field);) {
          const auto kind = field.number == 2 ? kind_of(field.bytes) : std::nullopt;
          if (!kind) continue;
          in_order = *kind >= last;
          last = *kind;
        }
        return in_order;
      });
  return sound && !in_order;
}

std::optional<std::string> ordered_pbf(const std::string& path) {
  if (!is_disordered(path)) return std::nullopt;
  std::string header;
  Parts parts;
  const bool sound = each_block(
      path, [&](const std::string& frame, std::string_view type, const std::string& block) {
        if (type == "OSMHeader") {
          header += frame;
          return true;
        }
        // Groups of one kind keep the strings and scales of the block they came in.
        std::string shared;
        Parts groups;
        Message message(block);
        for (Field field; message.next(field);) {
          if (field.number != 2) {
            shared += field.whole;
          } else if (const auto kind = kind_of(field.bytes)) {
            groups[*kind] += field.whole;
          }
        }
        for (std::size_t kind = 0; kind < groups.size(); ++kind) {
          if (!groups[kind].empty()) parts[kind] += framed(shared + groups[kind]);
        }
        return true;
      });
  if (!sound) return std::nullopt;
  return header + parts[0] + parts[1] + parts[2];
}

}  // namespace

OrderedOsm::OrderedOsm(const std::string& path) : path_(path) {
  std::optional<std::string> ordered;
  if (path.ends_with(".pbf")) {
    ordered = ordered_pbf(path);
  } else {
    std::ostringstream text;
    text << std::ifstream(path, std::ios::binary).rdbuf();
    ordered = ordered_xml(text.str());
  }
  if (!ordered) return;
  static std::atomic<unsigned> copies{0};
  content_ = std::move(*ordered);
  path_ = "/vsimem/kerbray_osm_" + std::to_string(++copies) + path.substr(path.rfind('.'));
  VSIFCloseL(VSIFileFromMemBuffer(path_.c_str(), reinterpret_cast<GByte*>(content_.data()),
                                  content_.size(), FALSE));
}

OrderedOsm::~OrderedOsm() {
  if (!content_.empty()) VSIUnlink(path_.c_str());
}

}  // namespace sim
