// Walks every tests/reference/<model>.csv through the formula book. Each row names the outside
// source of its value; no tolerance is wider than that source allows.
#include "sim/loss/formula_book.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "sim/gis/csv_file.h"
#include "tests/places.h"

namespace sim {
namespace {

namespace fs = std::filesystem;

const fs::path folder = fs::path(KERBRAY_TESTS_FOLDER) / "reference";

std::vector<std::string> tables() {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) {
    if (entry.path().extension() == ".csv") names.push_back(entry.path().stem());
  }
  std::sort(names.begin(), names.end());
  return names;
}

/// The rows of a key's file; an optional column that is absent is 0.
BookTable rows_of(const BookKey& key, const std::string& file) {
  const CsvTable csv = read_csv((folder / file).string());
  BookTable table(csv.rows.size());
  for (const KeyColumn& wanted : key.columns) {
    const auto column = csv.column(wanted.name);
    EXPECT_TRUE(column.has_value() || wanted.optional) << file << " lacks " << wanted.name;
    for (std::size_t row = 0; row < table.size(); ++row) {
      table[row].push_back(column ? number_at(csv, row, *column).value() : 0.0);
    }
  }
  return table;
}

/// "0.005", or "0.5%" of the value.
double tolerance_of(const std::string& text, double value) {
  if (!text.ends_with('%')) return std::stod(text);
  return std::stod(text.substr(0, text.size() - 1)) / 100.0 * std::abs(value);
}

class Reference : public testing::TestWithParam<std::string> {};

/// Asks the model what a row asks; answers the field that the row names.
double answer_to(const BookModel& model, const CsvTable& csv, std::size_t row) {
  std::map<std::string, std::string> texts;
  std::map<std::string, BookTable> files;
  for (std::size_t i = 0; i < csv.header.size(); ++i) {
    const BookKey* key = model.key(csv.header[i]);
    const std::string& cell = csv.rows[row][i];
    if (key == nullptr || cell.empty()) continue;
    if (key->columns.empty()) {
      texts[key->name] = cell;
    } else {
      files[key->name] = rows_of(*key, cell);
    }
  }
  const BookAnswer answer = ask(model, texts, files);
  const std::string& field = csv.rows[row][csv.column("answer").value()];
  for (std::size_t i = 0; i < model.answers.size(); ++i) {
    if (model.answers[i].name == field) return answer.values[i];
  }
  ADD_FAILURE() << model.name << " has no answer " << field;
  return 0.0;
}

TEST_P(Reference, Reproduces) {
  const BookModel* model = find_model(GetParam());
  ASSERT_NE(model, nullptr) << "no model of this name";
  const std::string path = (folder / (GetParam() + ".csv")).string();
  const CsvTable csv = read_csv(path);
  ASSERT_FALSE(csv.rows.empty());
  const auto cell = [&](std::size_t row, const char* column) {
    return csv.rows[row][csv.column(column).value()];
  };
  double largest = 0.0;
  for (std::size_t row = 0; row < csv.rows.size(); ++row) {
    SCOPED_TRACE(to_string(csv.row_ref(row)) + ": " + cell(row, "status") + ", " +
                 cell(row, "obtained") + ", " + cell(row, "source"));
    EXPECT_FALSE(cell(row, "source").empty());
    EXPECT_FALSE(cell(row, "obtained").empty());
    const double value = std::stod(cell(row, "value"));
    const double tolerance = tolerance_of(cell(row, "tolerance"), value);
    double answer = 0.0;
    ASSERT_NO_THROW(answer = answer_to(*model, csv, row));
    if (cell(row, "status").starts_with("GAP")) {
      // A known disagreement is run and must still disagree.
      EXPECT_GT(std::abs(answer - value), tolerance);
      continue;
    }
    EXPECT_NEAR(answer, value, tolerance);
    largest = std::max(largest, std::abs(answer - value));
  }
  fmt::print("  {}: {} rows, largest deviation {:.3g}\n", GetParam(), csv.rows.size(), largest);
}

INSTANTIATE_TEST_SUITE_P(FormulaBook, Reference, testing::ValuesIn(tables()),
                         [](const auto& param) { return param.param; });

TEST(FormulaBook, EveryModelHasReferenceValues) {
  const auto names = tables();
  for (const BookModel& model : formula_book()) {
    EXPECT_TRUE(std::binary_search(names.begin(), names.end(), model.name)) << model.name;
  }
}

}  // namespace
}  // namespace sim
