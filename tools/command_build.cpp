#include <fmt/format.h>

#include <memory>

#include "sim/report/output_folder.h"
#include "sim/scene/mesh_files.h"
#include "tools/commands.h"
#include "tools/site_run.h"

namespace kerbray {
namespace {

struct BuildOptions {
  std::string site, folder;
  bool strict = false;
};

int run_build(const Session& session, const BuildOptions& options) {
  sim::OutputFolder output(options.folder, session.overwrite);
  const auto run = open_site(session, options.site, options.strict);
  const std::string json = sim::import_report_json(run->imported, run->scene, run->stamp);
  const std::string text = sim::import_report_text(run->imported, run->scene);
  sim::write_text(output.file("import_report.json"), json);
  sim::write_text(output.file("import_report.txt"), text);
  sim::write_glb(output.file("scene.glb"), run->scene);
  sim::write_ply(output.file("scene.ply"), run->scene);
  sim::write_scene_gpkg(output.file("scene.gpkg"), run->scene);
  output.commit();
  if (session.json) {
    fmt::print("{}", json);
  } else {
    // The table of layers; the single records are in the file.
    fmt::print("{}", text.substr(0, text.find("\n\n", text.find("heights of buildings")) + 1));
    fmt::print("{} remarks on single records in {}/import_report.txt\n",
               run->imported.report.issues.size(), options.folder);
  }
  return exit_done;
}

}  // namespace

void add_build(CLI::App& app, Session& session) {
  auto options = std::make_shared<BuildOptions>();
  CLI::App* command =
      add_command(app, session, "build", "Read the geodata, check it, and stand up the 3D scene",
                  "kerbray build my_street -o scene");
  add_site_and_output(*command, session, options->site, options->folder);
  command->add_flag("--strict", options->strict,
                    "Stop at the first record that is dropped or repaired");
  command->callback([&session, options] {
    session.run = [&session, options] { return run_build(session, *options); };
  });
}

}  // namespace kerbray
