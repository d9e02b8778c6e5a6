#!/bin/sh
# From a fresh Debian 12 machine to a first answer: installs, builds, runs the main job on the
# invented demo town, and says where to look. The result goes to demo/ in the build folder.
set -eu
cd "$(dirname "$0")/.."

tools/install_packages.sh
cmake --preset release -DKERBRAY_BENCHMARKS=OFF
cmake --build --preset release

program=build/release/kerbray
demo=build/demo
mkdir -p "$demo"
rm -rf "$demo/site"
"$program" sample demo_hill_town "$demo/site"
"$program" build "$demo/site" -o "$demo/scene" --overwrite
"$program" predict "$demo/site" -o "$demo/prediction" --overwrite
"$program" predict "$demo/site" --at "$demo/site/points.csv" -o "$demo/receivers" --overwrite
"$program" explain "$demo/site" -o "$demo/explained" --overwrite
"$program" plan "$demo/site" -o "$demo/walk" --controls --overwrite
"$program" fit "$demo/site" -o "$demo/fitted" --overwrite
"$program" compare "$demo/site" --by node -o "$demo/compared" --overwrite
"$program" report "$demo/site" --at "$demo/site/points.csv" -o "$demo/published" --overwrite

cat <<END

Done. The town is invented. Look at:
  $demo/published/report.html      one page of everything: map, street, reasons; opens from disk, for a browser
  $demo/prediction/coverage.png    the map: where the link should hold, and where it ends
  $demo/prediction/study.gpkg      the same in layers, for any GIS
  $demo/receivers/receivers.csv    the ledger of named points, item by item
  $demo/explained/explained.csv    each measured point, and a sentence on why
  $demo/fitted/fitted.toml         the site as the measurements have it, each value with its interval
  $demo/compared/compare.html      the nodes side by side, with what is too little to say
  $demo/walk/sheet.html            where to stand and in which order, to print and fill in
  $demo/scene/scene.glb            the 3D scene
And live, with nodes and lorries to move:  $program serve $demo/site

Predictions are estimates for planning a test, not a service guarantee. Mind traffic, test from the
footway, and never operate a phone while driving.
END
