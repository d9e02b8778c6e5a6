#!/bin/sh
# Installs what kerbray needs from Debian 12: to build and run, and with "tests" also what its tests
# and checks need. As root, or through sudo.
set -eu

build="g++ cmake ninja-build ccache pkg-config git ca-certificates fonts-dejavu-core
  libopen3d-dev libembree-dev libgdal-dev libgeos-dev libosmium2-dev libexpat1-dev libicu-dev libproj-dev libeigen3-dev libceres-dev libcgal-dev libtbb-dev libboost-dev
  libcairo2-dev libtomlplusplus-dev libcli11-dev nlohmann-json3-dev libcpp-httplib-dev libtinygltf-dev libfmt-dev"
tests="libgtest-dev libgmock-dev libbenchmark-dev gdal-bin
  clang clang-format clang-tidy libclang-rt-14-dev
  chromium poppler-utils"

# The page of the report is built with node and npm. A node that is there already, whoever installed
# it, is kept: Debian's would not go beside it.
command -v node >/dev/null || build="$build nodejs"
command -v npm >/dev/null || build="$build npm"

packages=$build
[ "${1:-}" = tests ] && packages="$build $tests"

missing=""
for package in $packages; do
  dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' ||
    missing="$missing $package"
done
[ -z "$missing" ] && exit 0

as_root=""
if [ "$(id -u)" -ne 0 ]; then
  command -v sudo >/dev/null || {
    echo "install_packages.sh: run me as root, or install sudo; missing:$missing" >&2
    exit 2
  }
  as_root=sudo
fi
$as_root apt-get update -q
# shellcheck disable=SC2086  # a list of names, meant to split
$as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends $missing
