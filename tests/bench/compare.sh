#!/bin/sh
# Runs the benchmarks of this tree and of another revision: tests/bench/compare.sh BASE
set -eu
base=${1:?usage: tests/bench/compare.sh BASE}
top=$(git rev-parse --show-toplevel)
old=$(mktemp -d)
trap 'git -C "$top" worktree remove --force "$old"' EXIT
git -C "$top" worktree add --detach --quiet "$old" "$base"
for tree in "$old" "$top"; do
  (cd "$tree" && cmake --preset release >/dev/null && cmake --build --preset release --target bench_cast >/dev/null)
  echo "== $(git -C "$tree" describe --always --dirty)"
  (cd "$tree" && build/release/bench_cast --benchmark_repetitions=5 \
    --benchmark_report_aggregates_only=true)
done
