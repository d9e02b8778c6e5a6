#include "sim/serve/bundle.h"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "sim/base/input_error.h"

namespace sim {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::pair<std::string_view, std::string_view>, 8> types{
    {{".html", "text/html; charset=utf-8"},
     {".js", "text/javascript; charset=utf-8"},
     {".css", "text/css; charset=utf-8"},
     {".svg", "image/svg+xml"},
     {".png", "image/png"},
     {".ico", "image/x-icon"},
     {".json", "application/json"},
     {".woff2", "font/woff2"}}};

bool plain_name(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
         c == '-' || c == '.' || c == '/';
}

}  // namespace

Bundle::Bundle(const std::string& folder) {
  std::error_code none;
  folder_ = fs::canonical(folder, none).string();
  if (none || !fs::is_regular_file(fs::path(folder_) / "index.html", none)) {
    throw InputError({folder, "", -1}, "holds no index.html, so it is no built page");
  }
}

std::optional<BundleFile> Bundle::find(std::string_view path) const {
  if (path == "/") path = "/index.html";
  const bool plain = path.starts_with('/') && std::all_of(path.begin(), path.end(), plain_name) &&
                     path.find("..") == std::string_view::npos &&
                     path.find("//") == std::string_view::npos &&
                     path.find("/.") == std::string_view::npos;
  if (!plain) return std::nullopt;
  std::error_code none;
  const fs::path file = fs::canonical(folder_ + std::string(path), none);
  if (none || !fs::is_regular_file(file, none)) return std::nullopt;
  // A link may lead anywhere.
  if (!file.string().starts_with(folder_ + "/")) return std::nullopt;
  const std::string extension = file.extension().string();
  const auto type = std::find_if(types.begin(), types.end(),
                                 [&](const auto& known) { return known.first == extension; });
  if (type == types.end()) return std::nullopt;
  std::ifstream in(file, std::ios::binary);
  std::ostringstream bytes;
  bytes << in.rdbuf();
  if (!in) return std::nullopt;
  return BundleFile{bytes.str(), std::string(type->second)};
}

}  // namespace sim
