// A flat invented street for tests of links: one node at the origin, things put in by the test.
#pragma once

#include "sim/link/link.h"
#include "sim/scene/scene_builder.h"
#include "tests/support/town.h"

namespace sim::test {

/// Owns the scene its caster looks at.
struct Street {
  explicit Street(const ImportedSite& site)
      : imported(site),
        scene(build_scene(imported, report)),
        caster(scene),
        settings(link_settings(scene)) {}

  LinkResult link(ScenePoint receiver, ReceiverContext context = ReceiverContext::outdoor) const {
    const Frequency f = scene.nodes[0].sectors[0].frequency;
    const Receiver phone{.position = receiver, .context = context};
    return link_on(scene, trace_path(caster, 0, f, phone, settings), 0, settings);
  }

  ImportedSite imported;
  ImportReport report;
  Scene scene;
  RayCaster caster;
  LinkSettings settings;
};

/// empty_site() with one isotropic 28 GHz sector of 55 dBm, its node `height_m` over 0/0.
inline ImportedSite isotropic_site(double height_m = 6.0) {
  ImportedSite site = empty_site();
  site.nodes[0].place = {0.0, 0.0};
  site.nodes[0].height_agl_m = height_m;
  site.nodes[0].sectors = {{.id = "a",
                            .pattern = "isotropic",
                            .polarization = "vertical",
                            .frequency = Frequency::ghz(28.0),
                            .eirp = Dbm(55.0)}};
  return site;
}

/// A wall 30 m high across the way at x = 20 m, from y = -40 to 4; the node low and weak before it.
inline Street street_with_wall() {
  ImportedSite site = isotropic_site(3.0);
  site.nodes[0].sectors[0].eirp = Dbm(48.0);
  site.buildings.push_back(box_building("wall 7", 19.5, -40, 20.5, 4, 30));
  return Street(site);
}

}  // namespace sim::test
