#include "sim/import/text_edits.h"

#include <algorithm>

namespace sim {

TextEdits::TextEdits(std::string text) : text_(std::move(text)) {
  if (text_.empty() || text_.back() != '\n') text_ += '\n';
  line_starts_.push_back(0);
  for (std::size_t i = 0; i < text_.size(); ++i) {
    if (text_[i] == '\n') line_starts_.push_back(i + 1);
  }
}

std::size_t TextEdits::byte_at(std::uint32_t line, std::uint32_t column) const {
  std::size_t byte = line_starts_.at(line - 1);
  for (std::uint32_t c = 1; c < column && byte < text_.size(); ++c) {
    ++byte;
    // Bytes 10xxxxxx go on with the code point before.
    while (byte < text_.size() && (static_cast<unsigned char>(text_[byte]) & 0xC0U) == 0x80U) {
      ++byte;
    }
  }
  return byte;
}

std::string TextEdits::line(std::uint32_t line) const {
  const std::size_t begin = line_starts_.at(line - 1);
  return text_.substr(begin, text_.find('\n', begin) - begin);
}

std::string TextEdits::indent_of(std::uint32_t number) const {
  const std::string text = line(number);
  return text.substr(0, std::min(text.find_first_not_of(" \t"), text.size()));
}

void TextEdits::replace(std::size_t begin, std::size_t end, const std::string& with) {
  edits_.push_back({begin, end, with});
}

void TextEdits::add_above(std::uint32_t number, const std::string& what) {
  insert(line_starts_.at(number - 1), indent_of(number) + what + "\n");
}

void TextEdits::add_below(std::uint32_t number, const std::string& what) {
  insert(line_starts_.at(number), indent_of(number) + what + "\n");
}

std::string TextEdits::result() const {
  std::vector<Edit> edits = edits_;
  std::stable_sort(edits.begin(), edits.end(),
                   [](const Edit& a, const Edit& b) { return a.begin < b.begin; });
  std::string out;
  std::size_t copied = 0;
  for (const Edit& edit : edits) {
    out += text_.substr(copied, edit.begin - copied) + edit.with;
    copied = edit.end;
  }
  return out + text_.substr(copied);
}

}  // namespace sim
