#include "sim/report/output_folder.h"

#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "sim/base/input_error.h"

namespace sim {
namespace {

namespace fs = std::filesystem;

constexpr const char* marker = ".kerbray";  // says that the folder is ours to replace

[[noreturn]] void refuse(const std::string& path, const std::string& why) {
  throw InputError({path, "", -1}, why);
}

}  // namespace

OutputFolder::OutputFolder(const std::string& wanted, bool overwrite) {
  if (wanted.empty()) throw InputError({}, "the output has no name; name a folder with -o DIR");
  fs::path path = fs::path(wanted).lexically_normal();
  if (path.filename().empty()) path = path.parent_path();
  wanted_ = path.string();
  const fs::path parent = path.parent_path().empty() ? fs::path(".") : path.parent_path();
  std::error_code problem;
  if (!fs::is_directory(parent, problem)) {
    refuse(wanted_, "cannot be made: the folder above it does not exist");
  }
  if (fs::exists(path, problem)) {
    if (!fs::is_directory(path)) refuse(wanted_, "is a file; name a folder for the output");
    if (!fs::exists(path / marker) && !fs::is_empty(path)) {
      refuse(wanted_, "exists and was not made by kerbray; name another folder");
    }
    if (!overwrite && !fs::is_empty(path)) {
      refuse(wanted_, "exists; add --overwrite to replace it, or name another folder");
    }
    replace_ = true;
  }
  temporary_ =
      (parent / ("." + path.filename().string() + ".tmp" + std::to_string(getpid()))).string();
  fs::remove_all(temporary_, problem);
  if (!fs::create_directory(temporary_, problem)) {
    refuse(wanted_, "cannot be made: " + problem.message());
  }
  std::ofstream(fs::path(temporary_) / marker) << "made by kerbray; replaced with --overwrite\n";
}

OutputFolder::~OutputFolder() {
  std::error_code ignored;
  if (!committed_) fs::remove_all(temporary_, ignored);
}

std::string OutputFolder::file(const std::string& name) const {
  return (fs::path(temporary_) / name).string();
}

void OutputFolder::commit() {
  std::error_code problem;
  const std::string old = temporary_ + ".old";
  if (replace_) {
    fs::rename(wanted_, old, problem);
    if (problem) refuse(wanted_, "cannot be replaced: " + problem.message());
  }
  fs::rename(temporary_, wanted_, problem);
  if (problem) {
    std::error_code ignored;
    if (replace_) fs::rename(old, wanted_, ignored);
    refuse(wanted_, "cannot be written: " + problem.message());
  }
  committed_ = true;
  if (replace_) fs::remove_all(old, problem);
}

}  // namespace sim
