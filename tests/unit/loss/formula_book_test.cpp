// The book itself: what it accepts and refuses, and that it always has an answer within its range.
#include "sim/loss/formula_book.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace sim {
namespace {

using Texts = std::map<std::string, std::string>;
using testing::HasSubstr;

/// What the book says to a question it refuses.
std::string refusal(const std::string& model, const Texts& texts) {
  try {
    ask(*find_model(model), texts);
  } catch (const InputError& problem) {
    return problem.what();
  }
  return "no refusal";
}

TEST(FormulaBook, SaysWhatIsWrongWithAKey) {
  EXPECT_THAT(refusal("free_space", {{"f_ghz", "28"}}), HasSubstr("free_space: needs d_m="));
  EXPECT_THAT(refusal("free_space", {{"f_ghz", "0"}, {"d_m", "1"}}),
              HasSubstr("f_ghz is 0; it must be above 0"));
  EXPECT_THAT(refusal("free_space", {{"f_ghz", "28"}, {"d_m", "-3"}}), HasSubstr("d_m is -3"));
  EXPECT_THAT(refusal("free_space", {{"f_ghz", "inf"}, {"d_m", "1"}}), HasSubstr("finite"));
  EXPECT_THAT(refusal("free_space", {{"f_ghz", "nan"}, {"d_m", "1"}}), HasSubstr("finite"));
  EXPECT_THAT(refusal("free_space", {{"f_ghz", "28GHz"}, {"d_m", "1"}}), HasSubstr("not a number"));
  EXPECT_THAT(refusal("free_space", {{"f_ghz", ""}, {"d_m", "1"}}), HasSubstr("not a number"));
  EXPECT_THAT(refusal("free_space", {{"f_ghz", "1e999"}, {"d_m", "1"}}), HasSubstr("not a number"));
  EXPECT_THAT(refusal("free_space", {{"f", "28"}, {"d_m", "1"}}),
              HasSubstr("has no key 'f'; known are: f_ghz, d_m"));
  EXPECT_THAT(refusal("vehicle_entry", {{"windows", "open"}}),
              HasSubstr("cannot be 'open'; known are: plain, metallised"));
  EXPECT_THAT(
      refusal("peak_rate",
              {{"n_rb", "66.5"}, {"scs_khz", "120"}, {"layers", "2"}, {"bits_per_symbol", "6"}}),
      HasSubstr("whole number"));
  EXPECT_THAT(refusal("knife_edge", {{"f_ghz", "28"}}), HasSubstr("needs v="));
  EXPECT_THAT(refusal("knife_edge", {{"v", "1"}, {"f_ghz", "28"}}), HasSubstr("not both"));
  EXPECT_THAT(refusal("silhouette", {{"f_ghz", "28"}, {"d1_m", "1"}, {"d2_m", "1"}}),
              HasSubstr("needs outline=FILE"));
  EXPECT_THAT(refusal("half_space", {{"material", "glass"},
                                     {"f_ghz", "28"},
                                     {"incidence_deg", "90"},
                                     {"polarization", "te"}}),
              HasSubstr("below 90"));
}

TEST(FormulaBook, AnswersBeyondTheRangeAndSaysSo) {
  const BookAnswer answer = ask(*find_model("gas"), {{"f_ghz", "0.5"}});
  EXPECT_FALSE(answer.in_range());
  EXPECT_THAT(answer.why, HasSubstr("f_ghz 0.5 is outside 1..1000"));
  EXPECT_TRUE(std::isfinite(answer.values[0]));
  EXPECT_TRUE(ask(*find_model("gas"), {{"f_ghz", "28"}}).in_range());
  // Where the formula itself ends, there is no number.
  const BookAnswer none =
      ask(*find_model("street_canyon"),
          {{"f_ghz", "28"}, {"d_2d_m", "0"}, {"h_node_m", "10"}, {"h_receiver_m", "10"}});
  EXPECT_TRUE(std::isnan(none.values[0]));
  EXPECT_THAT(none.why, HasSubstr("gives no los_db"));
}

TEST(FormulaBook, PresetsAreTheContracts) {
  const auto preset = [](const char* model, const char* key) {
    return find_model(model)->key(key)->preset;
  };
  EXPECT_EQ(preset("fresnel_radius", "n"), "1");
  EXPECT_EQ(preset("gas", "pressure_hpa"), "1013.25");
  EXPECT_EQ(preset("gas", "temperature_k"), "288.15");
  EXPECT_EQ(preset("gas", "water_vapour_g_m3"), "7.5");
  EXPECT_EQ(preset("peak_rate", "overhead"), "0.18");
  EXPECT_EQ(preset("earth_bulge", "k"), "1.3333333");
  EXPECT_EQ(preset("screen_blockage", "offset_m"), "0");
  EXPECT_EQ(preset("delta_bullington", "terrain"), "land");
}

/// The example of a model as texts, without its files.
Texts example_of(const BookModel& model) {
  Texts texts;
  std::size_t at = 0;
  while (at < model.example.size()) {
    const std::size_t end = std::min(model.example.find(' ', at), model.example.size());
    const std::string word = model.example.substr(at, end - at);
    const std::string name = word.substr(0, word.find('='));
    if (model.key(name)->columns.empty()) texts[name] = word.substr(word.find('=') + 1);
    at = end + 1;
  }
  return texts;
}

TEST(FormulaBook, EveryExampleWorks) {
  for (const BookModel& model : formula_book()) {
    if (model.example.find(".csv") != std::string::npos) continue;  // needs the user's file
    const BookAnswer answer = ask(model, example_of(model));
    EXPECT_TRUE(answer.in_range()) << model.name << ": " << answer.why;
    EXPECT_EQ(answer.values.size(), model.answers.size());
    EXPECT_FALSE(model.source.empty());
    EXPECT_FALSE(model.range.empty());
  }
}

/// A value that the key allows: a word, or a number over many powers of ten.
std::string draw(const BookKey& key, std::mt19937_64& random) {
  std::uniform_real_distribution<double> part(0.0, 1.0);
  if (!key.words.empty() && (!key.number || part(random) < 0.5)) {
    return key.words[random() % key.words.size()];
  }
  const KeyBound& bound = key.bound;
  double value = std::pow(10.0, -3.0 + 8.0 * part(random));
  if (std::isfinite(bound.least) && std::isfinite(bound.most)) {
    value = bound.least + (bound.most - bound.least) * (0.001 + 0.998 * part(random));
  } else if (std::isfinite(bound.least)) {
    value += bound.least;
  } else if (part(random) < 0.5) {
    value = -value;
  }
  if (bound.whole) value = std::round(value);
  return std::to_string(value);
}

BookTable draw_table(const BookKey& key, std::mt19937_64& random) {
  std::uniform_real_distribution<double> part(0.0, 1.0);
  BookTable table;
  double along = 0.0;
  const bool profile = key.columns.front().name == "d_km";
  const double size = std::pow(10.0, -2.0 + 4.0 * part(random));
  const int rows = 3 + static_cast<int>(random() % 30);
  for (int row = 0; row < rows; ++row) {
    along += 1e-3 + size * part(random);
    // An outline goes round the direct path, or beside it.
    const double turn = 6.28 * row / rows;
    table.push_back(profile ? std::vector{along, 3 * size * part(random), 10 * part(random)}
                            : std::vector{size * (std::cos(turn) + 0.7), size * std::sin(turn)});
  }
  return table;
}

TEST(FormulaBook, NeverAnswersWithoutANumberWithinItsRange) {
  std::mt19937_64 random(20);
  int inside = 0, asked = 0;
  for (const BookModel& model : formula_book()) {
    int inside_here = 0;
    const Texts example = example_of(model);
    for (int i = 0; i < 3000; ++i) {
      Texts texts;
      std::map<std::string, BookTable> tables;
      const bool by_v = model.name == "knife_edge" && i % 2 == 0;
      for (const BookKey& key : model.keys) {
        if (model.name == "knife_edge" && (key.name == "v") != by_v) continue;
        if (const auto known = example.find(key.name);
            known != example.end() && random() % 2 == 0) {
          texts[key.name] = known->second;  // so that ranges of a single value are met too
        } else if (key.columns.empty()) {
          texts[key.name] = draw(key, random);
        } else {
          tables[key.name] = draw_table(key, random);
        }
      }
      BookAnswer answer;
      try {
        answer = ask(model, texts, tables);
      } catch (const InputError&) {
        continue;  // two keys that contradict each other
      }
      ++asked;
      if (!answer.in_range()) continue;
      ++inside_here;
      for (const double value : answer.values) {
        ASSERT_TRUE(std::isfinite(value)) << model.name << testing::PrintToString(texts);
      }
    }
    EXPECT_GT(inside_here, 0) << model.name << " was never asked within its range";
    inside += inside_here;
  }
  EXPECT_GT(asked, 50000);
  EXPECT_GT(inside, 10000);
}

TEST(FormulaBook, AnyTextIsAnsweredOrRefused) {
  std::mt19937_64 random(21);
  const std::string letters = "0123456789.-+eE naifx,\"\\\0\xff=";
  int refused = 0;
  for (int i = 0; i < 20000; ++i) {
    const BookModel& model = formula_book()[random() % formula_book().size()];
    Texts texts = example_of(model);
    for (auto& [key, text] : texts) {
      if (random() % 3 != 0) continue;
      text.clear();
      for (std::size_t k = random() % 8; k > 0; --k) text += letters[random() % letters.size()];
    }
    try {
      ask(model, texts);
    } catch (const InputError& problem) {
      ++refused;
      EXPECT_EQ(std::string(problem.what()).find('\n'), std::string::npos);
    }
  }
  EXPECT_GT(refused, 5000);
}

TEST(FormulaBook, ReadsNumbersAsPeopleTypeThem) {
  const auto loss = [](const char* d_m) {
    return ask(*find_model("free_space"), {{"f_ghz", "28"}, {"d_m", d_m}}).values[0];
  };
  EXPECT_EQ(loss("100"), loss("+1e2"));
  EXPECT_EQ(loss("100"), loss("100.00"));
}

}  // namespace
}  // namespace sim
