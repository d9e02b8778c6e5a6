// The real quarter of the open data, as a site: its buildings, street kiosks and poles, and trees.
#pragma once

#include <filesystem>
#include <fstream>
#include <string>

#include "sim/gis/csv_file.h"
#include "sim/import/records.h"
#include "tests/places.h"
#include "tests/support/temp_folder.h"

namespace sim::test {

inline const std::string west_village_folder = KERBRAY_OPEN_DATA "/nyc_west_village";

inline bool has_west_village() { return std::filesystem::exists(west_village_folder); }

/// One node `height_agl_m` up at lon/lat (a crossing), isotropic, 28 GHz. With furniture, the radio
/// poles stand 10 m tall and the other kiosks 2.9 m (their SOURCE.md), the trees 8 m.
inline ImportedSite west_village(double lon, double lat, double height_agl_m, bool furniture,
                                 double radius_m = 400.0) {
  const auto folder = own_folder() / "west_village";
  std::filesystem::create_directories(folder);
  std::string text = "[site]\nname = \"West Village\"\n[[buildings]]\nfile = \"" +
                     west_village_folder + "/buildings.geojson\"\nheight_field = \"height\"\n" +
                     "[streets]\nfile = \"" + west_village_folder + "/streets.geojson\"\n";
  if (furniture) {
    std::ofstream poles(folder / "kiosks.csv");
    poles << "id,lon,lat,height,diameter\n";
    const CsvTable kiosks = read_csv(west_village_folder + "/street_kiosks.csv");
    for (const auto& row : kiosks.rows) {
      const bool tall = row[*kiosks.column("type")].starts_with("Link5G");
      poles << row[*kiosks.column("id")] << ',' << row[*kiosks.column("lon")] << ','
            << row[*kiosks.column("lat")] << (tall ? ",10,0.3\n" : ",2.9,0.8\n");
    }
    text +=
        "[[poles]]\nfile = \"kiosks.csv\"\nheight_field = \"height\"\n"
        "diameter_field = \"diameter\"\n[[trees]]\nfile = \"" +
        west_village_folder + "/street_trees_sample.geojson\"\n";
  }
  text += "[predict]\nradius_m = " + std::to_string(radius_m) +
          "\n[[nodes.node]]\nid = \"n\"\nlon = " + std::to_string(lon) +
          "\nlat = " + std::to_string(lat) + "\nheight_agl_m = " + std::to_string(height_agl_m) +
          "\n[[nodes.node.sector]]\nsector = \"1\"\nazimuth_deg = 0\nfrequency_ghz = 28\n"
          "pattern = \"isotropic\"\n";
  std::ofstream(folder / "site.toml") << text;
  return import_site(read_site((folder / "site.toml").string()));
}

}  // namespace sim::test
