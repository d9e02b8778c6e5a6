#!/bin/sh
# Installs, builds with asserts and warnings as errors, and passes the tests. Arguments go to ctest.
set -eu
cd "$(dirname "$0")/.."

tools/install_packages.sh tests
cmake --preset dev
cmake --build --preset dev
ctest --preset dev -j2 "$@"
