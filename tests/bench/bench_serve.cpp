// How long the live view takes from a moved node, or a thing put into the street, to its new map:
// asked by HTTP, as a browser asks.
#include <benchmark/benchmark.h>
#include <httplib.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstring>
#include <nlohmann/json.hpp>
#include <thread>

#include "sim/serve/kept_memory.h"
#include "sim/serve/server.h"
#include "tests/support/temp_folder.h"
#include "tests/support/town.h"
#include "tests/support/west_village.h"

namespace {

using namespace sim;
using Clock = std::chrono::steady_clock;

PredictOptions asked() { return {.spacing_m = 2.0, .radius_m = 500.0}; }
/// Moves of one node, and how far from where it stood at first.
constexpr int moves = 120, whole_maps = 5;
constexpr double farthest_move_m = 150.0;

double ms_since(Clock::time_point start) {
  return std::chrono::duration<double, std::milli>(Clock::now() - start).count();
}

/// A site that is served, as `kerbray serve` does it.
class Served {
 public:
  explicit Served(const ImportedSite& imported)
      : site_(imported, {.options = asked(), .stamp = {}}),
        server_(site_, page(folder_), 0, "token"),
        answering_([this] { server_.run(); }) {
    ImportReport report;
    const Scene scene = build_scene(imported, report);
    at_ = scene.nodes.at(0).position;
  }
  ~Served() {
    server_.stop();
    answering_.join();
  }

  struct Times {
    double first_ms = 0.0, final_ms = 0.0;  ///< until the last byte of that frame is here
    int status = 0;
  };
  /// Asks for the map of the node at a place; hangs up after the first frame, or not.
  Times ask(double x_m, double y_m, bool whole) const {
    return ask({{{"do", "move_node"}, {"node", 0}, {"x_m", x_m}, {"y_m", y_m}}}, whole);
  }
  Times ask(const nlohmann::json& edits, bool whole) const {
    const nlohmann::json body{{"edits", edits}};
    httplib::Client client("127.0.0.1", server_.port());
    client.set_tcp_nodelay(true);
    client.set_read_timeout(600);
    httplib::Request request;
    request.method = "POST";
    request.path = "/api/map";
    request.headers = {{"Kerbray-Token", "token"}};
    request.body = body.dump();
    Times times;
    std::string text;  // of the frame that is coming in
    std::size_t need = 0;
    bool is_final = false;
    const auto start = Clock::now();
    request.response_handler = [&](const httplib::Response& response) {
      times.status = response.status;
      return response.status == 200;
    };
    request.content_receiver = [&](const char* data, std::size_t size, std::uint64_t,
                                   std::uint64_t) {
      text.append(data, size);
      while (text.size() >= 4) {
        if (need == 0) {
          std::uint32_t length = 0;
          std::memcpy(&length, text.data(), 4);
          if (text.size() < 4 + length) return true;
          const auto header = nlohmann::json::parse(text.substr(4, length));
          is_final = header["final"];
          need = 4 + length;
          for (const auto& band : header["bands"]) {
            const std::string type = band["type"];
            const std::size_t bytes = type == "u8" ? 1U : type == "u32" ? 4U : 2U;
            need += (band["count"].get<std::size_t>() * bytes + 3) / 4 * 4;
          }
          text.reserve(need);
        }
        if (text.size() < need) return true;
        if (times.first_ms == 0.0) times.first_ms = ms_since(start);
        if (is_final) times.final_ms = ms_since(start);
        text.erase(0, need);
        need = 0;
        if (!whole) return false;
      }
      return true;
    };
    client.send(request);
    return times;
  }
  ScenePoint node() const { return at_; }

 private:
  static Bundle page(const TempFolder& folder) {
    folder.write("index.html", "<!doctype html>");
    return Bundle(folder.path());
  }

  TempFolder folder_;
  LiveSite site_;
  LiveServer server_;
  ScenePoint at_;
  std::thread answering_;
};

double quantile(std::vector<double> values, double share) {
  if (values.empty()) return 0.0;
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)];
}

/// 0 = invented town with terrain, poles, trees and vehicles; 1 = West Village with its own. With
/// `dragged`, each question comes while the map of the one before is still refined, as when a node
/// is dragged; else the one before was heard to its first frame and some time has passed. Counters
/// in ms; `share_of_whole`: the median first frame over the median whole map of the same run.
void moved_node(benchmark::State& state) {
  if (state.range(0) == 1 && !test::has_west_village()) {
    state.SkipWithError("no open data");
    return;
  }
  keep_freed_memory();
  const bool dragged = state.range(1) == 1;
  // 300 m more than the radius: no move leads off what is mapped.
  const Served served(state.range(0) == 0
                          ? test::town(1, {.blocks = 22})
                          : test::west_village(-74.005854, 40.736534, 8.0, true, 800.0));
  std::uint64_t numbers = 7;
  const auto somewhere = [&] { return farthest_move_m * (2.0 * test::next_number(numbers) - 1.0); };
  std::vector<double> first, whole;
  for (auto _ : state) {
    int refused = 0;
    while (static_cast<int>(first.size()) < moves && refused < 100 * moves) {
      const auto times =
          served.ask(served.node().x_m + somewhere(), served.node().y_m + somewhere(), false);
      if (times.status != 200) {
        ++refused;  // a place inside a building
        continue;
      }
      first.push_back(times.first_ms);
      if (!dragged) std::this_thread::sleep_for(std::chrono::milliseconds(100));
    }
    while (static_cast<int>(whole.size()) < whole_maps) {
      const auto times =
          served.ask(served.node().x_m + somewhere(), served.node().y_m + somewhere(), true);
      if (times.status == 200) whole.push_back(times.final_ms);
    }
  }
  state.counters["first_p50_ms"] = quantile(first, 0.5);
  state.counters["first_p95_ms"] = quantile(first, 0.95);
  state.counters["first_max_ms"] = quantile(first, 1.0);
  state.counters["whole_p50_ms"] = quantile(whole, 0.5);
  state.counters["share_of_whole"] = quantile(first, 0.5) / quantile(whole, 0.5);
  state.counters["moves"] = static_cast<double>(first.size());
}
BENCHMARK(moved_node)
    ->ArgNames({"site", "dragged"})
    ->ArgsProduct({{0, 1}, {0, 1}})
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

/// The same sites; each question puts a lorry or a tree somewhere, whose scene is built anew, or
/// takes it back, whose scene is still there.
void thing_put_in(benchmark::State& state) {
  if (state.range(0) == 1 && !test::has_west_village()) {
    state.SkipWithError("no open data");
    return;
  }
  keep_freed_memory();
  const Served served(state.range(0) == 0
                          ? test::town(1, {.blocks = 22})
                          : test::west_village(-74.005854, 40.736534, 8.0, true, 800.0));
  constexpr int things = 15;
  std::uint64_t numbers = 7;
  const auto somewhere = [&] { return farthest_move_m * (2.0 * test::next_number(numbers) - 1.0); };
  std::vector<double> put, taken_back;
  for (auto _ : state) {
    for (int k = 0; k < things; ++k) {
      const nlohmann::json add{{"do", "add"},
                               {"what", k % 2 == 0 ? "lorry" : "tree"},
                               {"x_m", served.node().x_m + somewhere()},
                               {"y_m", served.node().y_m + somewhere()},
                               {"heading_deg", 90.0},
                               {"height_m", nullptr}};
      const auto with = served.ask(nlohmann::json::array({add}), false);
      if (with.status == 200) put.push_back(with.first_ms);
      const auto without = served.ask(nlohmann::json::array(), false);
      if (without.status == 200) taken_back.push_back(without.first_ms);
    }
  }
  state.counters["put_p50_ms"] = quantile(put, 0.5);
  state.counters["put_p95_ms"] = quantile(put, 0.95);
  state.counters["taken_back_p50_ms"] = quantile(taken_back, 0.5);
  state.counters["things"] = static_cast<double>(put.size());
}
BENCHMARK(thing_put_in)
    ->ArgNames({"site"})
    ->Arg(0)
    ->Arg(1)
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

}  // namespace
