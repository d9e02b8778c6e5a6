// The live view over HTTP, for this machine and its user alone.
//
//   - It listens on 127.0.0.1 and on no other address.
//   - A request must name that address as its Host, and as its Origin where it has one: so a page
//   of
//     elsewhere whose name was made to point here (DNS rebinding) reaches nothing.
//   - Every /api request needs the token of the printed address in the header Kerbray-Token, so
//     neither another user nor a form on some page can ask or save anything.
//   - Of files it serves the bundle of the page and nothing else.
//   - Bodies have limits; nothing is compressed; a connection carries one request.
#pragma once

#include <memory>
#include <string>

#include "sim/serve/bundle.h"
#include "sim/serve/live_site.h"

namespace sim {

/// 128 bits from the system, as hexadecimal digits.
std::string random_token();

/// Whether two texts are the same, in a time that does not tell where they differ.
bool same_secret(const std::string& a, const std::string& b);

class LiveServer {
 public:
  static constexpr std::size_t most_body_bytes = 1U << 20U;
  static constexpr std::size_t most_survey_bytes = 32U << 20U;

  /// Binds the port, any free one for 0. Throws InputError when it is taken.
  LiveServer(LiveSite& site, Bundle bundle, int port, std::string token);
  ~LiveServer();
  LiveServer(const LiveServer&) = delete;
  LiveServer& operator=(const LiveServer&) = delete;

  int port() const;
  /// What to open in a browser: the page takes the token out of its address at once, and no
  /// referrer is sent.
  std::string url() const;

  /// Answers until stop(), which may be called from any thread, before run() too.
  void run();
  void stop();

 private:
  struct Hidden;
  std::unique_ptr<Hidden> hidden_;
};

}  // namespace sim
