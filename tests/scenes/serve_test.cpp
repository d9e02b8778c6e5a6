// `kerbray serve` as a user runs it: started, asked as a page asks, and ended by a signal.
#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <httplib.h>

#include <csignal>
#include <nlohmann/json.hpp>

#include "sim/gis/csv_file.h"
#include "tests/places.h"
#include "tests/scenes/program.h"
#include "tests/support/temp_folder.h"

namespace sim {
namespace {

using nlohmann::json;
using testing::HasSubstr;
namespace fs = std::filesystem;

/// The demo town, copied so that it may be saved beside, and a page of one line.
struct DemoFiles {
  DemoFiles() {
    fs::copy(fs::path(KERBRAY_SCENES) / "demo_hill_town", site(), fs::copy_options::recursive);
    fs::create_directories(fs::path(folder.path()) / "page/live");
    folder.write("page/live/index.html", "<!doctype html><title>live</title>");
  }
  std::string site() const { return folder.path() + "/site"; }
  TempFolder folder;
};

/// The program, running until it is told to end.
class Serving {
 public:
  explicit Serving(const DemoFiles& files) {
    std::array<int, 2> ends{};
    if (pipe2(ends.data(), O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
    child_ = fork();
    if (child_ == 0) {
      dup2(ends[1], STDOUT_FILENO);
      setenv("KERBRAY_PAGE", (files.folder.path() + "/page").c_str(), 1);
      const std::string site = files.site();
      execl(KERBRAY_PROGRAM, "kerbray", "serve", site.c_str(), "--json", "-q", nullptr);
      _exit(127);
    }
    close(ends[1]);
    std::string line;
    for (char c = 0; read(ends[0], &c, 1) == 1 && c != '\n';) line += c;
    close(ends[0]);
    const std::string url = json::parse(line)["url"];
    const std::string before_token = "/?token=";
    const auto at = url.find(before_token);
    address_ = url.substr(0, at);
    token_ = url.substr(at + before_token.size());
  }
  ~Serving() { end(); }

  httplib::Result get(const char* path) const {
    return httplib::Client(address_).Get(path, headers());
  }
  json ask(const char* path, const json& body) const {
    httplib::Client client(address_);
    client.set_read_timeout(120);
    const auto result = client.Post(path, headers(), body.dump(), "application/json");
    return result && result->status == 200 ? json::parse(result->body)
                                           : json{{"status", result ? result->status : -1}};
  }
  /// Exit code after SIGTERM.
  int end() {
    if (child_ <= 0) return -1;
    kill(child_, SIGTERM);
    int status = 0;
    waitpid(child_, &status, 0);
    child_ = 0;
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  }
  const std::string& token() const { return token_; }

 private:
  httplib::Headers headers() const { return {{"Kerbray-Token", token_}}; }

  pid_t child_ = 0;
  std::string address_, token_;
};

/// Where a node and its sector stand in the scene's lists.
std::pair<std::size_t, std::size_t> indices_of(const json& scene, const std::string& node,
                                               const std::string& sector) {
  for (std::size_t n = 0; n < scene["nodes"].size(); ++n) {
    const json& sectors = scene["nodes"][n]["sectors"];
    for (std::size_t s = 0; s < sectors.size(); ++s) {
      if (scene["nodes"][n]["id"] == node && sectors[s]["id"] == sector) return {n, s};
    }
  }
  throw std::runtime_error("no sector " + node + "/" + sector);
}

TEST(ServeCommand, AnswersAsPredictDoesAndEndsWhenTold) {
  const DemoFiles files;
  Serving serving(files);
  EXPECT_EQ(serving.token().size(), 32U);
  const auto page = serving.get("/");
  ASSERT_TRUE(page);
  EXPECT_THAT(page->body, HasSubstr("live"));

  // A place of the demo: the live view and `predict --at` say the same of its best sector.
  const test::Run run =
      test::run_program(files.folder.path(), "predict site --at site/points.csv -o out -q");
  ASSERT_EQ(run.exit_code, 0) << run.err;
  const CsvTable rows = read_csv(files.folder.file("out/receivers.csv"));
  const json scene = serving.ask("/api/scene", {{"edits", json::array()}});
  ASSERT_TRUE(scene.contains("origin_map")) << scene;
  std::size_t compared = 0;
  for (const auto& row : rows.rows) {
    const auto cell = [&](const char* column) { return row[*rows.column(column)]; };
    if (cell("point_id") != rows.rows[0][*rows.column("point_id")]) continue;
    const double x = std::stod(cell("x_m")) - scene["origin_map"][0].get<double>();
    const double y = std::stod(cell("y_m")) - scene["origin_map"][1].get<double>();
    const auto [node, sector] = indices_of(scene, cell("node"), cell("sector"));
    const json link = serving.ask("/api/link", {{"edits", json::array()},
                                                {"x_m", x},
                                                {"y_m", y},
                                                {"height_agl_m", std::stod(cell("height_agl_m"))},
                                                {"node", node},
                                                {"sector", sector}});
    ASSERT_TRUE(link.contains("ledger")) << link;
    EXPECT_NEAR(std::stod(link["ledger"]["row"]["rsrp_dbm"].get<std::string>()),
                std::stod(cell("rsrp_dbm")), 0.02);
    EXPECT_EQ(link["ledger"]["row"]["sight"], cell("sight"));
    ++compared;
  }
  EXPECT_GT(compared, 0U);

  const json saved =
      serving.ask("/api/save", {{"edits", {{{"do", "rain"}, {"mm_per_h", 12}}}}, {"name", "wet"}});
  ASSERT_TRUE(saved.contains("file")) << saved;
  EXPECT_TRUE(saved["things"].is_null());
  EXPECT_THAT(test::text_of(saved["file"].get<std::string>()), HasSubstr("rain_mm_per_h = 12.0"));
  EXPECT_EQ(serving.end(), 0);
}

TEST(ServeCommand, WithoutAPageItSaysSo) {
  const DemoFiles files;
  fs::remove_all(files.folder.file("page/live"));
  setenv("KERBRAY_PAGE", files.folder.file("page").c_str(), 1);
  const test::Run run = test::run_program(files.folder.path(), "serve site");
  unsetenv("KERBRAY_PAGE");
  EXPECT_EQ(run.exit_code, 2);
  EXPECT_THAT(run.err, HasSubstr("page"));
  EXPECT_EQ(std::count(run.err.begin(), run.err.end(), '\n'), 1);
}

}  // namespace
}  // namespace sim
