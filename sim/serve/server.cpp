#include "sim/serve/server.h"

#include <fmt/format.h>
#include <httplib.h>
#include <sys/socket.h>

#include <nlohmann/json.hpp>
#include <optional>
#include <random>
#include <thread>

namespace sim {
namespace {

using httplib::Request;
using httplib::Response;

constexpr const char* address = "127.0.0.1";
constexpr int worker_threads = 16;  // browsers open connections that they use later or never
/// What is read and thrown away of a body that is too big, so that the refusal can be heard.
constexpr std::size_t most_drained_bytes = 256U << 20U;

constexpr const char* policy =
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: "
    "blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// By way of a content provider: what is set as content would be compressed.
void send(Response& response, std::string bytes, const std::string& type) {
  auto kept = std::make_shared<const std::string>(std::move(bytes));
  if (kept->empty()) return;
  response.set_content_provider(
      kept->size(), type, [kept](std::size_t offset, std::size_t length, httplib::DataSink& sink) {
        return sink.write(kept->data() + offset, length);
      });
}

void refuse(Response& response, int status, std::string why) {
  std::replace(why.begin(), why.end(), '\n', ' ');
  response.status = status;
  const nlohmann::json error{{"error", why}};
  send(response, error.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace),
       "application/json");
}

/// Runs `answer`; what it cannot answer becomes one line.
template <class Answer>
void answered(Response& response, const Answer& answer) {
  try {
    answer();
  } catch (const InputError& problem) {
    refuse(response, 400, problem.what());
  } catch (const std::exception& problem) {
    refuse(response, 500, std::string("inside failure: ") + problem.what());
  }
}

/// The body, or nullopt when it is over the limit and the response says so.
std::optional<std::string> body_of(Response& response, const httplib::ContentReader& reader,
                                   std::size_t limit) {
  std::string body;
  std::size_t count = 0;
  const bool whole = reader([&](const char* data, std::size_t size) {
    count += size;
    if (count <= limit) body.append(data, size);
    return count <= most_drained_bytes;
  });
  if (count > limit) {
    refuse(response, 413, fmt::format("the request is larger than {} bytes", limit));
    return std::nullopt;
  }
  if (!whole) {
    refuse(response, 400, "the request's body could not be read");
    return std::nullopt;
  }
  return body;
}

void send_map(Response& response, std::unique_ptr<LiveSite::Map> map) {
  const std::shared_ptr<LiveSite::Map> kept = std::move(map);
  response.set_chunked_content_provider(
      "application/octet-stream", [kept](std::size_t, httplib::DataSink& sink) {
        bool heard = true;
        kept->send([&](std::string_view bytes) {
          return heard = heard && sink.write(bytes.data(), bytes.size());
        });
        // A stream that a newer question ended is whole as far as it goes.
        if (heard) sink.done();
        return heard;
      });
}

}  // namespace

std::string random_token() {
  std::random_device system;
  return fmt::format("{:08x}{:08x}{:08x}{:08x}", system(), system(), system(), system());
}

bool same_secret(const std::string& a, const std::string& b) {
  unsigned differing = a.size() == b.size() ? 0U : 1U;
  for (std::size_t i = 0; i < a.size(); ++i) {
    const char other = b.empty() ? '\0' : b[i % b.size()];
    differing |= static_cast<unsigned char>(a[i]) ^ static_cast<unsigned char>(other);
  }
  return differing == 0U;
}

struct LiveServer::Hidden {
  Hidden(LiveSite& live_site, Bundle page, std::string secret)
      : site(live_site), bundle(std::move(page)), token(std::move(secret)) {}

  LiveSite& site;
  Bundle bundle;
  std::string token;
  httplib::Server server;
  int port = 0;
  std::atomic<bool> stopped{false}, entered{false}, left{false};

  bool is_own_host(const std::string& host) const {
    return host == fmt::format("{}:{}", address, port) || host == fmt::format("localhost:{}", port);
  }

  /// Refuses what no page of ours asks; true when it did.
  bool refused(const Request& request, Response& response) const {
    if (request.get_header_value_count("Host") != 1 ||
        !is_own_host(request.get_header_value("Host"))) {
      refuse(response, 403, "this address is not served here");
    } else if (request.has_header("Origin") &&
               (!request.get_header_value("Origin").starts_with("http://") ||
                !is_own_host(request.get_header_value("Origin").substr(7)))) {
      refuse(response, 403, "asked from a page of another origin");
    } else if (request.method != "GET" && request.method != "HEAD" && request.method != "POST") {
      refuse(response, 405, "only GET, HEAD and POST are answered");
    } else if (request.path.starts_with("/api") &&
               !same_secret(request.get_header_value("Kerbray-Token"), token)) {
      refuse(response, 401, "needs the token of the printed address in the header Kerbray-Token");
    } else if (request.is_multipart_form_data()) {
      refuse(response, 415, "a body must be one piece of JSON");
    } else {
      return false;
    }
    return true;
  }

  /// A POST whose body is read as one kind of question.
  template <class Question, class Answer>
  void post(const char* path, std::size_t limit, Question (*read)(std::string_view),
            const Answer& answer) {
    server.Post(path, [limit, read, answer](const Request&, Response& response,
                                            const httplib::ContentReader& reader) {
      answered(response, [&] {
        if (const auto body = body_of(response, reader, limit)) answer(response, read(*body));
      });
    });
  }

  template <class Question>
  void post(const char* path, std::size_t limit, Question (*read)(std::string_view),
            std::string (LiveSite::*ask)(const Question&)) {
    post(path, limit, read, [this, ask](Response& response, const Question& question) {
      send(response, (site.*ask)(question), "application/json");
    });
  }
  /// Of a question that a newer one may end.
  template <class Question>
  void post(const char* path, std::size_t limit, Question (*read)(std::string_view),
            std::optional<std::string> (LiveSite::*ask)(const Question&)) {
    post(path, limit, read, [this, ask](Response& response, const Question& question) {
      if (auto answer = (site.*ask)(question)) {
        send(response, std::move(*answer), "application/json");
      } else {
        refuse(response, 409, "a newer question about another site came in between");
      }
    });
  }

  void set_up() {
    server.set_default_headers({{"Content-Security-Policy", policy},
                                {"X-Content-Type-Options", "nosniff"},
                                {"Referrer-Policy", "no-referrer"},
                                {"Cross-Origin-Resource-Policy", "same-origin"},
                                {"Cache-Control", "no-store"}});
    server.new_task_queue = [] { return new httplib::ThreadPool(worker_threads); };
    server.set_keep_alive_max_count(1);
    server.set_keep_alive_timeout(2);
    server.set_tcp_nodelay(true);
    server.set_payload_max_length(most_drained_bytes);
    server.set_socket_options([](socket_t socket) {
      const int yes = 1;  // and not SO_REUSEPORT, which would let two programs share the port
      setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    });
    server.set_pre_routing_handler([this](const Request& request, Response& response) {
      return refused(request, response) ? httplib::Server::HandlerResponse::Handled
                                        : httplib::Server::HandlerResponse::Unhandled;
    });
    server.set_error_handler([](const Request&, Response& response) {
      if (response.content_length_ == 0) refuse(response, response.status, "is not answered here");
    });
    server.Get("/api/answers", [this](const Request&, Response& response) {
      answered(response, [&] { send(response, site.answers(), "application/json"); });
    });
    post("/api/answers", most_body_bytes, read_site_question, &LiveSite::edited_answers);
    post("/api/scene", most_body_bytes, read_site_question, &LiveSite::scene);
    post("/api/link", most_body_bytes, read_link_question, &LiveSite::link);
    post("/api/survey", most_survey_bytes, read_survey_question, &LiveSite::survey);
    post("/api/save", most_body_bytes, read_save_question, &LiveSite::save);
    post("/api/map", most_body_bytes, read_site_question,
         [this](Response& response, const SiteQuestion& question) {
           send_map(response, site.map(question));
         });
    server.Get("/.*", [this](const Request& request, Response& response) {
      auto file = bundle.find(request.path);
      if (!file) {
        refuse(response, 404, "there is no such page");
      } else {
        send(response, std::move(file->bytes), file->type);
      }
    });
  }
};

LiveServer::LiveServer(LiveSite& site, Bundle bundle, int port, std::string token)
    : hidden_(std::make_unique<Hidden>(site, std::move(bundle), std::move(token))) {
  hidden_->set_up();
  if (port == 0) {
    hidden_->port = hidden_->server.bind_to_any_port(address);
  } else if (hidden_->server.bind_to_port(address, port)) {
    hidden_->port = port;
  }
  if (hidden_->port <= 0) {
    throw InputError({}, fmt::format("port {} of {} cannot be had; another program has it, so name "
                                     "another --port or leave it out",
                                     port, address));
  }
}

LiveServer::~LiveServer() = default;

int LiveServer::port() const { return hidden_->port; }

std::string LiveServer::url() const {
  return fmt::format("http://{}:{}/?token={}", address, hidden_->port, hidden_->token);
}

void LiveServer::run() {
  hidden_->entered = true;
  if (!hidden_->stopped) hidden_->server.listen_after_bind();
  hidden_->left = true;
}

void LiveServer::stop() {
  hidden_->stopped = true;
  hidden_->site.stop();
  // The library forgets a stop that comes before it listens, and must not be told twice.
  for (bool told = false; hidden_->entered && !hidden_->left;) {
    if (!told && hidden_->server.is_running()) {
      hidden_->server.stop();
      told = true;
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
}

}  // namespace sim
