#include <fmt/format.h>
#include <semaphore.h>

#include <csignal>
#include <cstdio>
#include <memory>
#include <thread>

#include "sim/serve/kept_memory.h"
#include "sim/serve/server.h"
#include "sim/view/page_files.h"
#include "tools/commands.h"

namespace kerbray {
namespace {

struct ServeArguments {
  std::string site;
  int port = 0;
};

sem_t asked_to_stop;
extern "C" void ask_to_stop(int) { sem_post(&asked_to_stop); }

/// Lets SIGINT and SIGTERM end the program in order.
void catch_signals() {
  sem_init(&asked_to_stop, 0, 0);
  struct sigaction action {};
  action.sa_handler = ask_to_stop;
  sigaction(SIGINT, &action, nullptr);
  sigaction(SIGTERM, &action, nullptr);
}

void wait_for_signal() {
  while (sem_wait(&asked_to_stop) != 0) {
  }
}

int run_serve(const Session& session, const ServeArguments& arguments) {
  sim::keep_freed_memory();
  const std::string page = sim::page_folder_with("live/index.html") + "/live";
  sim::ImportedSite imported = sim::import_site(sim::read_site(arguments.site));
  const sim::Site& asked = imported.site;
  const sim::LiveSettings settings{
      .options = {.spacing_m = asked.predict.spacing_m,
                  .radius_m = asked.predict.radius_m,
                  .receiver_height_agl_m = asked.receiver.height_agl_m},
      .stamp = {.version = KERBRAY_VERSION, .site_name = asked.name},
      .units = session.units};
  sim::LiveSite site(std::move(imported), settings);
  sim::LiveServer server(site, sim::Bundle(page), arguments.port, sim::random_token());
  catch_signals();
  std::thread answering([&] { server.run(); });
  if (session.json) {
    fmt::print("{{\"url\": \"{}\"}}\n", server.url());
  } else {
    fmt::print("{}\n", server.url());
  }
  std::fflush(stdout);
  say(session, "open it in a browser on this machine; Ctrl-C ends");
  wait_for_signal();
  server.stop();
  answering.join();
  return exit_done;
}

}  // namespace

void add_serve(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<ServeArguments>();
  CLI::App* command = add_command(
      app, session, "serve",
      "The live map and 3D view in a browser: move a node or a lorry and see the answer change",
      "kerbray serve my_street --port 8137");
  command->add_option("site", arguments->site, "Site file, or a folder that holds site.toml")
      ->type_name("SITE.toml")
      ->required();
  command
      ->add_option("--port", arguments->port,
                   "Port of 127.0.0.1, which no other machine reaches (0 = any free one)")
      ->check(CLI::Range(0, 65535))
      ->capture_default_str();
  add_units(*command, session);
  command->callback([&session, arguments] {
    session.run = [&session, arguments] { return run_serve(session, *arguments); };
  });
}

}  // namespace kerbray
