#!/bin/sh
# Rates of this tree over those of another revision, on this machine in the same run:
#   tests/bench/compare.sh BASE [FILTER]
# The two take turns, so that a slow spell of the machine hits both; prints the ratio of the medians and
# the spread of the single turns.
set -eu
base=${1:?usage: tests/bench/compare.sh BASE [FILTER]}
filter=${2:-.}
turns=5
top=$(git rev-parse --show-toplevel)
work=$(mktemp -d)
old=$(dirname "$top")/.kerbray_base_$$ # beside this tree: the open data is found from there too
trap 'git -C "$top" worktree remove --force "$old"; rm -rf "$work"' EXIT
git -C "$top" worktree add --detach --quiet "$old" "$base"
for tree in "$old" "$top"; do
  (cd "$tree" && cmake --preset release >/dev/null && cmake --build --preset release >/dev/null)
done
run() { # TREE LABEL
  for bench in "$1"/build/release/bench_*; do
    [ -x "$bench" ] && "$bench" --benchmark_filter="$filter" --benchmark_format=csv 2>/dev/null |
      awk -F, -v tree="$2" '
        $1 == "name" { for (i = 1; i <= NF; ++i) column[$i] = i; next }
        NF > 5 {
          rate = ""
          if ("\"rays_per_s\"" in column) rate = $(column["\"rays_per_s\""])
          if (rate == "") rate = $(column["items_per_second"])
          if (rate + 0 > 0) { gsub(/"/, "", $1); print tree, $1, rate }
        }'
  done
}
turn=0
while [ "$turn" -lt "$turns" ]; do
  run "$old" base
  run "$top" here
  turn=$((turn + 1))
done >"$work/rates"
sort -k2,2 -k1,1 -k3,3g "$work/rates" | awk '
  { rates[$1 " " $2] = rates[$1 " " $2] " " $3; names[$2] = 1 }
  END {
    printf "%-36s %14s %8s %17s\n", "benchmark", "rate here", "ratio", "spread of here"
    for (name in names) {
      n = split(rates["here " name], here, " "); m = split(rates["base " name], base, " ")
      if (n == 0 || m == 0) continue
      middle = here[int((n + 1) / 2)]
      printf "%-36s %14.4g %8.3f %8.2f..%.2f\n", name, middle, middle / base[int((m + 1) / 2)], here[1] / middle, here[n] / middle
    }
  }'
