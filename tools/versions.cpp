#include "tools/versions.h"

#include "sim/cast/ray_caster.h"
#include "sim/gis/raster_file.h"

namespace kerbray {

std::string version_text() {
  std::string text = "kerbray " KERBRAY_VERSION "\n" + sim::ray_kernel_version();
  for (const auto& [library, version] : sim::gis_versions()) {
    text += "\n" + library + " " + version;
  }
  return text;
}

}  // namespace kerbray
