// Changes to a text at places that a parser named by line and column.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace sim {

class TextEdits {
 public:
  explicit TextEdits(std::string text);

  /// Byte of a place; columns count code points, both from 1, as toml++ does.
  std::size_t byte_at(std::uint32_t line, std::uint32_t column) const;
  const std::string& text() const { return text_; }
  std::string line(std::uint32_t line) const;

  void replace(std::size_t begin, std::size_t end, const std::string& with);
  void insert(std::size_t at, const std::string& what) { replace(at, at, what); }
  /// New lines above a line, each with its indent.
  void add_above(std::uint32_t line, const std::string& what);
  void add_below(std::uint32_t line, const std::string& what);

  /// All edits made; those at one place in the order they were asked for.
  std::string result() const;

 private:
  struct Edit {
    std::size_t begin, end;
    std::string with;
  };
  std::string indent_of(std::uint32_t line) const;

  std::string text_;
  std::vector<std::size_t> line_starts_;
  std::vector<Edit> edits_;
};

}  // namespace sim
