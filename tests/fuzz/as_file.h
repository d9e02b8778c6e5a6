// Fuzz bytes as a file on disk, which is what the readers take.
#pragma once

#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>

#include "sim/base/input_error.h"

namespace sim::fuzz {

/// A folder of this process, removed at its end.
struct OwnFolder {
  std::string path = (std::filesystem::temp_directory_path() /
                      ("kerbray_fuzz_" + std::to_string(static_cast<long>(getpid()))))
                         .string();
  OwnFolder() { std::filesystem::create_directories(path); }
  ~OwnFolder() { std::filesystem::remove_all(path); }
  OwnFolder(const OwnFolder&) = delete;
};
inline const std::string& folder() {
  static const OwnFolder own;
  return own.path;
}

inline std::string as_file(const std::string& name, const std::uint8_t* data, std::size_t size) {
  const std::string path = folder() + "/" + name;
  std::ofstream out(path, std::ios::binary);
  out.write(reinterpret_cast<const char*>(data), static_cast<std::streamsize>(size));
  return path;
}

/// Refusing is fine; anything else that is thrown is a finding.
template <class Read>
void refuse_or_read(Read read) {
  try {
    read();
  } catch (const InputError&) {
  }
}

}  // namespace sim::fuzz
