#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "sim/gis/csv_file.h"
#include "sim/import/nearest_word.h"
#include "sim/loss/formula_book.h"
#include "tools/commands.h"

namespace kerbray {
namespace {

struct LossArguments {
  std::vector<std::string> words;  ///< MODEL, then key=value
  bool help = false;
};

std::vector<std::string> names_of(const std::vector<sim::BookModel>& models) {
  std::vector<std::string> names;
  names.reserve(models.size());
  for (const auto& model : models) names.push_back(model.name);
  return names;
}

const sim::BookModel& model_called(const std::string& name) {
  const sim::BookModel* model = sim::find_model(name);
  if (model == nullptr) {
    throw sim::InputError({}, fmt::format("no model is called '{}'{}", name,
                                          sim::suggestion(name, names_of(sim::formula_book()))));
  }
  return *model;
}

int list_models(const Session& session) {
  nlohmann::ordered_json list = nlohmann::ordered_json::array();
  for (const sim::BookModel& model : sim::formula_book()) {
    if (session.json) {
      list.push_back({{"model", model.name},
                      {"description", model.description},
                      {"source", model.source},
                      {"range", model.range}});
      continue;
    }
    fmt::print("{:<19}{}\n{:19}source: {}\n{:19}range: {}\n", model.name, model.description, "",
               model.source, "", model.range);
  }
  if (session.json) {
    fmt::print("{}\n", list.dump(2));
  } else {
    fmt::print("\nkerbray loss MODEL --help explains a model's keys.\n");
  }
  return exit_done;
}

/// What may stand for a key: "number", the words, or a file with its columns.
std::string allowed(const sim::BookKey& key) {
  std::string text;
  for (const std::string& word : key.words) text += (text.empty() ? "" : ", ") + word;
  if (!key.columns.empty()) {
    text = "CSV file with columns";
    for (const auto& column : key.columns) {
      text += fmt::format("{}{} [{}]{}", &column == &key.columns.front() ? " " : ", ", column.name,
                          column.unit, column.optional ? " (optional)" : "");
    }
  } else if (key.number) {
    text += (text.empty() ? "number" : ", or a number");
    if (!key.unit.empty()) text += " [" + key.unit + "]";
  }
  return text;
}

int explain_model(const sim::BookModel& model) {
  fmt::print("{}: {}\nsource: {}\nrange:  {}\n\nkeys:\n", model.name, model.description,
             model.source, model.range);
  for (const sim::BookKey& key : model.keys) {
    fmt::print("  {:<20}{}\n{:22}{}{}\n", key.name, key.meaning, "", allowed(key),
               !key.preset.empty() ? "; " + key.preset + " where left out"
               : key.optional      ? "; may be left out"
                                   : "");
  }
  fmt::print("answers:\n");
  for (const sim::BookField& field : model.answers) {
    fmt::print("  {:<22}{}\n", field.name, field.unit);
  }
  fmt::print("\nExample:\n  kerbray loss {} {}\n", model.name, model.example);
  return exit_done;
}

/// The numbers of a key's file.
sim::BookTable read_table(const sim::BookKey& key, const std::string& path) {
  const sim::CsvTable csv = sim::read_csv(path);
  std::vector<std::optional<std::size_t>> columns;
  for (const sim::KeyColumn& wanted : key.columns) {
    columns.push_back(csv.column(wanted.name));
    if (!columns.back() && !wanted.optional) {
      throw sim::InputError(
          {path, "", 0},
          fmt::format("needs a column '{}' [{}] for {}=", wanted.name, wanted.unit, key.name));
    }
  }
  sim::BookTable table;
  for (std::size_t row = 0; row < csv.rows.size(); ++row) {
    std::vector<double> numbers;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const auto number = columns[i] ? sim::number_at(csv, row, *columns[i]) : std::nullopt;
      if (!number && !key.columns[i].optional) {
        throw sim::InputError(csv.row_ref(row), key.columns[i].name + " is empty");
      }
      numbers.push_back(number.value_or(0.0));
    }
    table.push_back(std::move(numbers));
  }
  return table;
}

/// A word that is not known is met with the nearest that is.
void check_word(const sim::BookModel& model, const sim::BookKey& key, const std::string& value) {
  if (key.words.empty() || key.number) return;
  if (std::find(key.words.begin(), key.words.end(), value) != key.words.end()) return;
  throw sim::InputError({}, fmt::format("{}: {} cannot be '{}'{}", model.name, key.name, value,
                                        sim::suggestion(value, key.words)));
}

struct Question {
  std::map<std::string, std::string> texts;
  std::map<std::string, sim::BookTable> tables;
};

Question read_question(const sim::BookModel& model, const std::vector<std::string>& words) {
  std::vector<std::string> known;
  for (const sim::BookKey& key : model.keys) known.push_back(key.name);
  Question question;
  for (std::size_t i = 1; i < words.size(); ++i) {
    const std::size_t equals = words[i].find('=');
    const std::string name = words[i].substr(0, equals);
    const sim::BookKey* key = model.key(name);
    if (equals == std::string::npos) {
      throw sim::InputError(
          {}, fmt::format("{}: '{}' is not of the form key=value", model.name, words[i]));
    }
    if (key == nullptr) {
      throw sim::InputError(
          {}, fmt::format("{}: has no key '{}'{}", model.name, name, sim::suggestion(name, known)));
    }
    if (question.texts.contains(name) || question.tables.contains(name)) {
      throw sim::InputError({}, fmt::format("{}: {} is given twice", model.name, name));
    }
    const std::string value = words[i].substr(equals + 1);
    check_word(model, *key, value);
    if (key->columns.empty()) {
      question.texts[name] = value;
    } else {
      question.tables[name] = read_table(*key, value);
    }
  }
  return question;
}

nlohmann::ordered_json json_number(const sim::BookField& field, double value) {
  if (!std::isfinite(value)) return nullptr;
  if (field.whole) return static_cast<long>(value);
  return value;
}

void print_json(const sim::BookModel& model, const sim::BookAnswer& answer) {
  nlohmann::ordered_json json;
  json["model"] = model.name;
  for (std::size_t i = 0; i < model.answers.size(); ++i) {
    json[model.answers[i].name] = json_number(model.answers[i], answer.values[i]);
  }
  json["source"] = model.source;
  json["in_range"] = answer.in_range();
  if (!answer.in_range()) json["why"] = answer.why;
  fmt::print("{}\n", json.dump());
}

void print_text(const sim::BookModel& model, const sim::BookAnswer& answer) {
  for (std::size_t i = 0; i < model.answers.size(); ++i) {
    const sim::BookField& field = model.answers[i];
    const std::string number =
        std::isfinite(answer.values[i]) ? fmt::format("{:.10g}", answer.values[i]) : "undefined";
    fmt::print("{:<22}{}{}\n", field.name, number, field.unit.empty() ? "" : " " + field.unit);
  }
  fmt::print("{:<22}{}\n", "source", model.source);
  if (!answer.in_range()) fmt::print("{:<22}{}\n", "outside its range", answer.why);
  if (!answer.note.empty()) fmt::print("{:<22}{}\n", "note", answer.note);
}

int run_loss(Session& session, const LossArguments& arguments) {
  if (arguments.words.empty()) return list_models(session);
  const sim::BookModel& model = model_called(arguments.words.front());
  if (arguments.help) return explain_model(model);
  const Question question = read_question(model, arguments.words);
  const sim::BookAnswer answer = sim::ask(model, question.texts, question.tables);
  if (session.json) {
    print_json(model, answer);
  } else {
    print_text(model, answer);
  }
  return exit_done;
}

}  // namespace

void add_loss(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<LossArguments>();
  CLI::App* command = add_command(app, session, "loss",
                                  "One published model: the loss, and whether it is asked within "
                                  "its range; alone it lists the models",
                                  "kerbray loss knife_edge f_ghz=28 d1_m=50 d2_m=50 h_m=1");
  command->add_option("model", arguments->words, "Model, then its keys")
      ->type_name("MODEL key=value...");
  // --help after a model explains that model, so it must not end the parsing.
  command->set_help_flag();
  command->add_flag("-h,--help", arguments->help, "Explain a model's keys");
  command->callback([&session, command, arguments] {
    session.run = [&session, command, arguments] {
      if (arguments->help && arguments->words.empty()) {
        fmt::print("{}", command->help());
        return exit_done;
      }
      return run_loss(session, *arguments);
    };
  });
}

}  // namespace kerbray
