// Pages for people: one file, no script, nothing fetched from anywhere.
#pragma once

#include <string>
#include <vector>

namespace sim {

/// A whole document around a body. It may load nothing and run nothing, and has the one style
/// below; it is light or dark as the reader's system is, and prints on white.
std::string page_around(const std::string& title, const std::string& body);

/// The style of every page, and its SHA-256 in base64, by which a page allows it and no other.
std::string_view page_style();
std::string_view page_style_sha256();

/// A table that scrolls sideways on a small screen. Cells are plain text; a row that is shorter
/// than the header ends in a cell over the columns that are left.
struct PageTable {
  std::string caption;
  std::vector<std::string> header;
  std::vector<std::vector<std::string>> rows;
  std::size_t first_number = 1;  ///< columns from here on are numbers
};
std::string table_markup(const PageTable& table);

std::string list_markup(const std::vector<std::string>& items, const std::string& list_class);

}  // namespace sim
