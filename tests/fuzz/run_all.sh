#!/bin/sh
# Runs every fuzz target of the fuzz build for so many seconds, two at a time, on a copy of its corpus.
# A finding is left in build/fuzz/findings and printed.
set -eu
seconds=${1:-60}
cd "$(dirname "$0")/../.."
findings=build/fuzz/findings
mkdir -p "$findings"
one() {
  name=$(basename "$1")
  work=build/fuzz/corpus_$name
  mkdir -p "$work"
  cp tests/fuzz/corpus/"${name#fuzz_}"/* "$work"/
  if "$1" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=4096 -max_len=4096 \
    -artifact_prefix="$findings/$name-" "$work" >"build/fuzz/$name.log" 2>&1; then
    printf '%-14s %s\n' "${name#fuzz_}" "$(grep -a -E '^Done' "build/fuzz/$name.log")"
  else
    echo "FINDING in $name:"
    tail -n 40 "build/fuzz/$name.log"
    return 1
  fi
}
if [ $# -ge 2 ]; then
  one "$2"
else
  # The sanitizers' allocator keeps GDAL's caches at exit; only what grows is a leak.
  ASAN_OPTIONS=detect_leaks=0 find build/fuzz -maxdepth 1 -name 'fuzz_*' -type f -perm -u+x -print0 |
    sort -z | ASAN_OPTIONS=detect_leaks=0 xargs -0 -P 2 -n 1 "$0" "$seconds"
fi
