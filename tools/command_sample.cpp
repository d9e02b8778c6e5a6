#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>

#include "sim/base/assets.h"
#include "sim/base/input_error.h"
#include "tools/commands.h"

namespace kerbray {
namespace {

namespace fs = std::filesystem;

struct SampleArguments {
  std::string name, folder;
};

/// Scenes that make sense to start from: every folder with a site file.
std::vector<std::string> sample_names(const fs::path& scenes) {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(scenes)) {
    if (fs::exists(entry.path() / "site.toml")) names.push_back(entry.path().filename());
  }
  std::sort(names.begin(), names.end());
  return names;
}

int run_sample(const Session& session, const SampleArguments& arguments) {
  const fs::path scenes = sim::scene_path("");
  const auto names = sample_names(scenes);
  if (arguments.name.empty()) {
    for (const std::string& name : names) fmt::print("{}\n", name);
    return exit_done;
  }
  std::string all;
  for (const std::string& name : names) all += (all.empty() ? "" : ", ") + name;
  if (std::find(names.begin(), names.end(), arguments.name) == names.end()) {
    throw sim::InputError({}, "no sample is called '" + arguments.name + "'; there are: " + all);
  }
  if (arguments.folder.empty()) {
    throw sim::InputError({},
                          "name the folder to write: kerbray sample " + arguments.name + " DIR");
  }
  const fs::path wanted = fs::path(arguments.folder).lexically_normal();
  if (fs::exists(wanted)) {
    throw sim::InputError({arguments.folder, "", -1}, "exists already; name a new folder");
  }
  const fs::path temporary = wanted.string() + ".tmp";
  std::error_code problem;
  fs::remove_all(temporary, problem);
  fs::copy(scenes / arguments.name, temporary, fs::copy_options::recursive, problem);
  if (!problem) fs::rename(temporary, wanted, problem);
  if (problem) {
    fs::remove_all(temporary);
    throw sim::InputError({arguments.folder, "", -1}, "cannot be written: " + problem.message());
  }
  say(session, fmt::format("wrote {}: an invented site to start from; try: kerbray predict {} -o "
                           "prediction",
                           arguments.folder, arguments.folder));
  return exit_done;
}

}  // namespace

void add_sample(CLI::App& app, Session& session) {
  auto arguments = std::make_shared<SampleArguments>();
  CLI::App* command =
      add_command(app, session, "sample", "Write a ready example site to start from",
                  "kerbray sample demo_hill_town my_street");
  command->add_option("name", arguments->name, "Name of the sample; without one, they are listed");
  command->add_option("folder", arguments->folder, "Folder to write; must not exist")
      ->type_name("DIR");
  command->callback([&session, arguments] {
    session.run = [&session, arguments] { return run_sample(session, *arguments); };
  });
}

}  // namespace kerbray
