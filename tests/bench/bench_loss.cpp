// How fast the loss functions are that every ray pays for.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <map>
#include <sstream>

#include "sim/loss/element_pattern.h"
#include "sim/loss/finite_screen.h"
#include "sim/loss/foliage.h"
#include "sim/loss/formula_book.h"
#include "sim/loss/free_space.h"
#include "sim/loss/gas.h"
#include "sim/loss/knife_edge.h"
#include "sim/loss/rain.h"

namespace {

using namespace sim;

/// Calls `function` with an argument that changes every time, and counts calls per second.
template <class Function>
void rate(benchmark::State& state, Function function) {
  double x = 1.0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(function(x));
    x = x < 200.0 ? x + 0.37 : 1.0;
  }
  state.SetItemsProcessed(state.iterations());
}

const Frequency f = Frequency::ghz(28.0);

void free_space(benchmark::State& state) {
  rate(state, [](double x) { return free_space_loss(f, x); });
}
void knife_edge(benchmark::State& state) {
  rate(state, [](double x) { return knife_edge_loss(0.05 * x - 1.0); });
}
void knife_edge_exact(benchmark::State& state) {
  rate(state, [](double x) { return knife_edge_loss_exact(0.05 * x - 1.0); });
}
void finite_screen(benchmark::State& state) {
  rate(state, [](double x) { return finite_screen_loss(f, x, 50.0, 2.0, 0.1, 0.1).mean; });
}
void foliage(benchmark::State& state) {
  rate(state, [](double x) { return weissberger_loss(f, x); });
}
void gas(benchmark::State& state) {
  rate(state, [](double x) { return gas_attenuation_db_per_km(Frequency::ghz(20.0 + 0.1 * x)); });
}
void rain(benchmark::State& state) {
  rate(state, [](double x) {
    return rain_attenuation_db_per_km(f, x, Angle::degrees(90.0), Angle::degrees(-3.0));
  });
}
void element_pattern(benchmark::State& state) {
  rate(state,
       [](double x) { return element_pattern_gain(Angle::degrees(x), Angle::degrees(-5.0)); });
}
/// Every model by its own example, as the book is asked: keys as text, checked, answered.
const bool book_registered = [] {
  for (const BookModel& model : formula_book()) {
    std::map<std::string, std::string> keys;
    std::istringstream words(model.example);
    for (std::string word; words >> word;) {
      const auto equals = word.find('=');
      if (equals != std::string::npos) keys[word.substr(0, equals)] = word.substr(equals + 1);
    }
    const bool has_file = std::any_of(model.keys.begin(), model.keys.end(),
                                      [](const BookKey& key) { return !key.columns.empty(); });
    if (has_file) continue;  // its rows come from a file
    benchmark::RegisterBenchmark(("book/" + model.name).c_str(), [&model, keys](auto& state) {
      for (auto _ : state) benchmark::DoNotOptimize(ask(model, keys));
      state.SetItemsProcessed(state.iterations());
    });
  }
  return true;
}();

BENCHMARK(free_space);
BENCHMARK(knife_edge);
BENCHMARK(knife_edge_exact);
BENCHMARK(finite_screen);
BENCHMARK(foliage);
BENCHMARK(gas);
BENCHMARK(rain);
BENCHMARK(element_pattern);

}  // namespace
