// Output folders appear whole or not at all.
#pragma once

#include <string>

namespace sim {

/// Files are written to path() and stand under the wanted name only after commit(). Dropped without
/// commit, nothing is left and an older result stays. A folder that exists is replaced only with
/// `overwrite`, and only if kerbray made it (it holds the marker file). Throws InputError
/// otherwise.
class OutputFolder {
 public:
  OutputFolder(const std::string& wanted, bool overwrite);
  ~OutputFolder();
  OutputFolder(const OutputFolder&) = delete;
  OutputFolder& operator=(const OutputFolder&) = delete;

  std::string file(const std::string& name) const;  ///< full path of a file to write
  void commit();

 private:
  std::string wanted_, temporary_;
  bool replace_ = false, committed_ = false;
};

}  // namespace sim
