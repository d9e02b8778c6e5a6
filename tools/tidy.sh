#!/bin/sh
# clang-tidy over the sources that changed since a commit (default: all of them), two at a time.
set -eu
cd "$(dirname "$0")/.."
if [ $# -gt 0 ]; then
  files=$(git diff --diff-filter=d --name-only "$1" -- 'sim/*.cpp' 'tools/*.cpp')
else
  files=$(git ls-files 'sim/*.cpp' 'tools/*.cpp')
fi
[ -z "$files" ] && exit 0
echo "$files" | xargs -P 2 -n 4 clang-tidy -p build/dev --quiet --warnings-as-errors='*' 2>/dev/null
