#include "sim/gis/raster_file.h"
#include "sim/report/answers.h"

namespace sim {

void write_coverage_tif(const std::string& path, const Scene& scene, const PredictionGrid& grid,
                        const Stamp& stamp) {
  std::string sectors;
  for (const std::string& name : grid.sector_names) sectors += (sectors.empty() ? "" : " ") + name;
  write_cog(path, Crs::parse(scene.frame.crs_wkt, {path, "", -1}), grid.spec, grid.bands,
            {{"TIFFTAG_SOFTWARE", "kerbray " + stamp.version},
             {"KERBRAY_SITE", stamp.site_name},
             {"KERBRAY_SIGHT", "0 none, 1 los, 2 olos, 3 nlos"},
             {"KERBRAY_STATE", "0 drop, 1 marginal, 2 hold"},
             {"KERBRAY_SECTORS", sectors}});
}

}  // namespace sim
