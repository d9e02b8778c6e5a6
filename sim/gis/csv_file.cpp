#include "sim/gis/csv_file.h"

#include <cpl_string.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <set>
#include <sstream>

#include "sim/base/words.h"

namespace sim {
namespace {

std::string file_text(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::error_code none;
  if (!in) throw InputError({path, "", -1}, "no such file, or no right to read it");
  std::ostringstream text;
  text << in.rdbuf();
  std::string bytes = text.str();
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.erase(0, 3);
  if (bytes.find('\0') != std::string::npos || !CPLIsUTF8(bytes.c_str(), -1)) {
    throw InputError({path, "", -1}, "is not UTF-8 text; save it as \"CSV UTF-8\"");
  }
  return bytes;
}

/// The separator that the header line uses outside quotes: the only one of , ; tab, or the most
/// frequent when another appears less often.
char separator_of(const std::string& path, const std::string& text) {
  std::array<std::size_t, 3> counts{};
  const std::string separators = ",;\t";
  bool quoted = false;
  for (const char c : text) {
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    if (c == '\n') break;
    if (const auto i = separators.find(c); i != std::string::npos) ++counts[i];
  }
  const auto most = std::max_element(counts.begin(), counts.end());
  if (*most > 0 && std::count(counts.begin(), counts.end(), *most) > 1) {
    throw InputError({path, "", 0},
                     "the header mixes separators (commas, semicolons or tabs) evenly; "
                     "use one of them");
  }
  return *most == 0 ? ',' : separators[static_cast<std::size_t>(most - counts.begin())];
}

std::vector<std::vector<std::string>> split(const std::string& path, const std::string& text,
                                            char separator) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> row;
  std::string cell;
  bool quoted = false, was_quoted = false;
  const auto end_cell = [&] {
    row.push_back(was_quoted ? cell : trimmed(cell));
    cell.clear();
    was_quoted = false;
  };
  const auto end_row = [&] {
    end_cell();
    if (row.size() > 1 || !row.front().empty()) rows.push_back(row);
    row.clear();
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c != '"') {
        cell += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        cell += text[++i];
      } else {
        quoted = false;
      }
    } else if (c == '"' && trimmed(cell).empty()) {
      quoted = was_quoted = true;
      cell.clear();
    } else if (c == separator) {
      end_cell();
    } else if (c == '\n') {
      end_row();
    } else if (!(was_quoted && (c == ' ' || c == '\r'))) {
      cell += c;
    }
  }
  if (quoted) {
    // Else everything from there to the end would be one cell, and its rows lost.
    throw InputError({path, "", static_cast<std::int64_t>(rows.size())},
                     "a quote opens in this row and is never closed");
  }
  if (!cell.empty() || !row.empty()) end_row();
  return rows;
}

}  // namespace

std::optional<std::size_t> CsvTable::column(const std::string& name) const {
  for (std::size_t i = 0; i < header.size(); ++i) {
    if (lower(header[i]) == lower(name)) return i;
  }
  return std::nullopt;
}

SourceRef CsvTable::row_ref(std::size_t row) const {
  return {path, "", static_cast<std::int64_t>(row) + 1};
}

CsvTable read_csv(const std::string& path) {
  const std::string text = file_text(path);
  const char separator = separator_of(path, text);
  CsvTable table;
  table.path = path;
  table.rows = split(path, text, separator);
  if (table.rows.empty()) throw InputError({path, "", -1}, "is empty; it needs a header line");
  table.header = table.rows.front();
  table.rows.erase(table.rows.begin());
  std::set<std::string> names;
  for (const std::string& name : table.header) {
    if (!name.empty() && !names.insert(lower(name)).second) {
      throw InputError({path, "", 0}, "column '" + name + "' appears twice in the header");
    }
  }
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    auto& cells = table.rows[row];
    while (cells.size() > table.header.size() && cells.back().empty()) cells.pop_back();
    if (cells.size() == table.header.size()) continue;
    std::string why = "has " + std::to_string(cells.size()) + " cells where the header has " +
                      std::to_string(table.header.size());
    if (separator == ',' && cells.size() > table.header.size()) {
      why +=
          "; if its numbers have decimal commas, save it with semicolons between cells or with "
          "decimal points";
    }
    throw InputError(table.row_ref(row), why);
  }
  // Decimal commas cannot be mistaken where something else separates the cells.
  if (separator != ',') {
    for (auto& cells : table.rows) {
      for (std::string& cell : cells) {
        const bool number_like = cell.find_first_not_of("+-0123456789,") == std::string::npos &&
                                 std::count(cell.begin(), cell.end(), ',') == 1;
        if (number_like) std::replace(cell.begin(), cell.end(), ',', '.');
      }
    }
  }
  return table;
}

std::optional<double> number_at(const CsvTable& table, std::size_t row, std::size_t column) {
  const std::string& cell = table.rows[row][column];
  if (cell.empty()) return std::nullopt;
  double value = 0.0;
  const char* begin = cell.data() + (cell.front() == '+' ? 1 : 0);
  const auto [end, error] = std::from_chars(begin, cell.data() + cell.size(), value);
  if (error != std::errc{} || end != cell.data() + cell.size() || !std::isfinite(value)) {
    throw InputError(table.row_ref(row),
                     table.header[column] + " is '" + cell +
                         "', which is not a number; leave the cell empty where there is none");
  }
  return value;
}

std::string csv_field(const std::string& text) {
  if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + "\"";
}

}  // namespace sim
