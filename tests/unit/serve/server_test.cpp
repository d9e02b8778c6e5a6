// What the server lets in and what it keeps out, by raw requests.
#include "sim/serve/server.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <httplib.h>

#include <filesystem>
#include <thread>

#include "tests/support/street.h"
#include "tests/support/temp_folder.h"
#include "tests/unit/serve/frames_read.h"

namespace sim {
namespace {

using nlohmann::json;
using testing::HasSubstr;
namespace fs = std::filesystem;

const std::string token = "0123456789abcdef0123456789abcdef";

class Server : public testing::Test {
 protected:
  Server() {
    fs::create_directories(fs::path(folder_.path()) / "page/assets");
    folder_.write("page/index.html", "<!doctype html><title>page</title>");
    folder_.write("page/assets/main.js", "export {};");
    folder_.write("page/notes.txt", "not for sending");
    folder_.write("secret.html", "secret");
    fs::create_symlink("../secret.html", fs::path(folder_.path()) / "page/link.html");
    site_ = std::make_unique<LiveSite>(test::isotropic_site(),
                                       LiveSettings{.options = {.radius_m = 40.0}, .stamp = {}});
    server_ = std::make_unique<LiveServer>(*site_, Bundle(folder_.path() + "/page"), 0, token);
    answering_ = std::thread([this] { server_->run(); });
  }
  ~Server() override {
    server_->stop();
    answering_.join();
  }

  std::string own_host() const { return "127.0.0.1:" + std::to_string(server_->port()); }
  static httplib::Headers with_token() { return {{"Kerbray-Token", token}}; }

  httplib::Response ask(const std::string& method, const std::string& path,
                        httplib::Headers headers, const std::string& body = "") const {
    httplib::Client client("127.0.0.1", server_->port());
    httplib::Request request;
    request.method = method;
    request.path = path;
    request.headers = std::move(headers);
    request.body = body;
    const httplib::Result result = client.send(request);
    return result ? *result : httplib::Response{};
  }
  std::string error_of(const httplib::Response& response) const {
    const json error = json::parse(response.body, nullptr, false);
    return error.is_object() && error.contains("error") ? error["error"].get<std::string>()
                                                        : "no error: " + response.body;
  }

  TempFolder folder_;
  std::unique_ptr<LiveSite> site_;
  std::unique_ptr<LiveServer> server_;
  std::thread answering_;
};

TEST_F(Server, PageIsServedUnderAStrictPolicy) {
  const auto page = ask("GET", "/", {{"Accept-Encoding", "br, gzip"}});
  EXPECT_EQ(page.status, 200);
  EXPECT_THAT(page.body, HasSubstr("<title>page"));
  EXPECT_THAT(page.get_header_value("Content-Type"), HasSubstr("text/html"));
  const std::string policy = page.get_header_value("Content-Security-Policy");
  EXPECT_THAT(policy, HasSubstr("default-src 'none'"));
  EXPECT_THAT(policy, HasSubstr("script-src 'self';"));
  EXPECT_THAT(policy, HasSubstr("frame-ancestors 'none'"));
  EXPECT_EQ(page.get_header_value("X-Content-Type-Options"), "nosniff");
  EXPECT_EQ(page.get_header_value("Referrer-Policy"), "no-referrer");
  EXPECT_EQ(page.get_header_value("Cache-Control"), "no-store");
  EXPECT_FALSE(page.has_header("Content-Encoding"));
  EXPECT_THAT(ask("GET", "/assets/main.js", {}).get_header_value("Content-Type"),
              HasSubstr("text/javascript"));
}

TEST_F(Server, NothingOutsideTheBundleExists) {
  for (const char* path :
       {"/../secret.html", "/%2e%2e/secret.html", "/..%2fsecret.html", "/%2e%2e%2fsecret.html",
        "/assets/../../secret.html", "/.%2e/secret.html", "/%252e%252e/secret.html", "//etc/passwd",
        "/etc/passwd", "/link.html", "/assets", "/notes.txt", "/index.html%00.js",
        "/..\\secret.html", "/./index.html", "/nothing.html"}) {
    const auto response = ask("GET", path, {});
    EXPECT_TRUE(response.status == 404 || response.status == 400) << path << response.status;
    EXPECT_THAT(response.body, testing::Not(HasSubstr("secret"))) << path;
  }
}

TEST_F(Server, TheTokenIsNeeded) {
  for (const httplib::Headers& headers :
       {httplib::Headers{}, httplib::Headers{{"Kerbray-Token", ""}},
        httplib::Headers{{"Kerbray-Token", "0123456789abcdef0123456789abcdee"}},
        httplib::Headers{{"Kerbray-Token", token + "0"}},
        httplib::Headers{{"Kerbray-Token", token.substr(1)}}}) {
    EXPECT_EQ(ask("GET", "/api/answers", headers).status, 401);
    for (const char* path :
         {"/api/answers", "/api/scene", "/api/map", "/api/link", "/api/survey", "/api/save"}) {
      EXPECT_EQ(ask("POST", path, headers, R"({"edits":[]})").status, 401) << path;
    }
  }
  EXPECT_EQ(ask("POST", std::string("/api/scene?token=") + token, {}, R"({"edits":[]})").status,
            401);
  EXPECT_EQ(ask("POST", "/api/scene", with_token(), R"({"edits":[]})").status, 200);
}

TEST_F(Server, OnlyItsOwnHostAndOriginAreAnswered) {
  const auto status = [&](const char* header, const std::string& value) {
    auto headers = with_token();
    headers.emplace(header, value);
    return ask("POST", "/api/scene", headers, R"({"edits":[]})").status;
  };
  const std::string port = std::to_string(server_->port());
  EXPECT_EQ(status("Host", own_host()), 200);
  EXPECT_EQ(status("Host", "localhost:" + port), 200);
  for (const std::string& host :
       {std::string("rebound.example:") + port, std::string("127.0.0.1"), std::string("localhost"),
        std::string("127.0.0.1:1"), own_host() + ".example", std::string()}) {
    EXPECT_EQ(status("Host", host), 403) << host;
  }
  EXPECT_EQ(status("Origin", "http://" + own_host()), 200);
  for (const std::string& origin :
       {std::string("http://elsewhere.example"), std::string("null"), "https://" + own_host(),
        std::string("http://127.0.0.1:1"), own_host()}) {
    EXPECT_EQ(status("Origin", origin), 403) << origin;
  }
}

TEST_F(Server, ABodyThatIsTooBigIsRefused) {
  const std::string big(LiveServer::most_body_bytes + 1, ' ');
  for (const char* path : {"/api/answers", "/api/scene", "/api/map", "/api/link", "/api/save"}) {
    EXPECT_EQ(ask("POST", path, with_token(), big).status, 413) << path;
  }
  // A survey may be larger, to a point.
  EXPECT_EQ(ask("POST", "/api/survey", with_token(), big).status, 400);
  EXPECT_EQ(
      ask("POST", "/api/survey", with_token(), std::string(LiveServer::most_survey_bytes + 1, ' '))
          .status,
      413);
}

TEST_F(Server, WhatCannotBeReadIsOneLine) {
  for (const char* body : {"", "{", "[]", "{}", R"({"edits":7})", "\xff",
                           R"({"edits":[{"do":"move_node","node":9,"x_m":0,"y_m":0}]})"}) {
    for (const char* path : {"/api/answers", "/api/scene", "/api/map", "/api/link"}) {
      const auto response = ask("POST", path, with_token(), body);
      EXPECT_EQ(response.status, 400) << path << body;
      EXPECT_EQ(error_of(response).find('\n'), std::string::npos);
      EXPECT_THAT(error_of(response), testing::Not(HasSubstr("no error"))) << body;
    }
  }
}

TEST_F(Server, OtherMethodsAndPathsAreRefused) {
  for (const char* method : {"PUT", "DELETE", "PATCH", "OPTIONS"}) {
    EXPECT_EQ(ask(method, "/api/scene", with_token()).status, 405) << method;
  }
  EXPECT_EQ(ask("BREW", "/", {}).status, 400);
  EXPECT_EQ(ask("GET", "/api/scene", with_token()).status, 404);
  EXPECT_EQ(ask("POST", "/api/other", with_token(), "{}").status, 404);
  EXPECT_EQ(ask("HEAD", "/", {}).status, 200);
  auto headers = with_token();
  headers.emplace("Content-Type", "multipart/form-data; boundary=x");
  EXPECT_EQ(ask("POST", "/api/scene", headers, "--x--").status, 415);
}

TEST_F(Server, AMapComesAsFrames) {
  const auto response = ask("POST", "/api/map", with_token(), R"({"edits":[]})");
  EXPECT_EQ(response.status, 200);
  EXPECT_EQ(response.get_header_value("Content-Type"), "application/octet-stream");
  const auto frames = test::read_frames(response.body);
  ASSERT_FALSE(frames.empty());
  EXPECT_EQ(frames.back().header["final"], true);
}

TEST_F(Server, AnswersOfTheSiteAsEditedArePosted) {
  const auto response =
      ask("POST", "/api/answers", with_token(), R"({"edits":[{"do":"rain","mm_per_h":9}]})");
  EXPECT_EQ(response.status, 200);
  EXPECT_TRUE(json::parse(response.body).contains("verdicts"));
}

TEST_F(Server, AnAnswerIsNotCompressed) {
  auto headers = with_token();
  headers.emplace("Accept-Encoding", "br, gzip, deflate");
  const auto response = ask("GET", "/api/answers", headers);
  EXPECT_EQ(response.status, 200);
  EXPECT_FALSE(response.has_header("Content-Encoding"));
  EXPECT_EQ(json::parse(response.body)["format"], 1);
}

TEST_F(Server, APortThatIsTakenIsNotShared) {
  EXPECT_THAT(refusal([&] {
                LiveServer(*site_, Bundle(folder_.path() + "/page"), server_->port(), token);
              }),
              HasSubstr("cannot be had"));
}

TEST_F(Server, TheAddressIsOfThisMachineAlone) {
  EXPECT_EQ(server_->url(), "http://" + own_host() + "/?token=" + token);
}

TEST(Token, IsNewEachTimeAndHas128Bits) {
  const std::string a = random_token(), b = random_token();
  EXPECT_EQ(a.size(), 32U);
  EXPECT_NE(a, b);
  EXPECT_EQ(a.find_first_not_of("0123456789abcdef"), std::string::npos);
  EXPECT_TRUE(same_secret(a, a));
  EXPECT_FALSE(same_secret(a, b));
  EXPECT_FALSE(same_secret(a, ""));
  EXPECT_FALSE(same_secret("", a));
}

TEST(Bundle, AFolderWithoutAPageIsOneLine) {
  const TempFolder empty;
  EXPECT_THAT(refusal([&] { const Bundle bundle(empty.path()); }), HasSubstr("index.html"));
}

}  // namespace
}  // namespace sim
