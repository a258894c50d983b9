#!/usr/bin/env bash
# Runs the benchmarks and writes one table of ratios, with the processor's name: each rate over that of its peer, measured in
# one process and as medians, for absolute rates move with whatever else the machine does.
#
#   tests/bench/run.sh                       builds (Release, -DAGONIC_BENCH=ON) in build/bench and runs all
#   tests/bench/run.sh field                 only the benchmarks whose name begins so: field, csv, ndjson, http, rows
#   AGONIC_BENCH_DIR=DIR tests/bench/run.sh  uses a tree that is built already
#   AGONIC_BENCH_REPEATS=N                   N measurements each, 9 unless said
#
# Every executable of tests/bench that is named *_bench takes part. Its benchmarks are named room/what/case/who; those that
# differ in `who` only make one row, and `who` written with a capital letter is the peer the others are divided by.
set -euo pipefail
cd "$(dirname "$0")/../.."

filter=${1:-.}
repeats=${AGONIC_BENCH_REPEATS:-9}
dir=${AGONIC_BENCH_DIR:-}
if [[ -z $dir ]]; then
  dir=build/bench
  cmake -S . -B "$dir" -G Ninja -DCMAKE_BUILD_TYPE=Release -DAGONIC_BENCH=ON >&2
  targets=()
  for source in tests/bench/*_bench.cpp; do targets+=("$(basename "$source" .cpp)"); done
  targets+=(http_empty agonic agonicd)
  cmake --build "$dir" --target "${targets[@]}" >&2
fi

results=$(mktemp -d)
trap 'rm -rf "$results"' EXIT
for source in tests/bench/*_bench.cpp; do
  name=$(basename "$source" .cpp)
  "$dir/bin/$name" --benchmark_filter="^$filter" --benchmark_min_time=0.05 --benchmark_repetitions="$repeats" \
    --benchmark_enable_random_interleaving=true --benchmark_out="$results/$name.json" --benchmark_out_format=json >&2
done

python3 - "$results"/*.json <<'PYTHON'
import json, statistics, sys
processor = next((line.split(":", 1)[1].strip() for line in open("/proc/cpuinfo") if line.startswith("model name")), "unknown")
rows = {}
for path in sys.argv[1:]:
    with open(path) as file:
        for run in json.load(file)["benchmarks"]:
            if run["run_type"] != "iteration" or "items_per_second" not in run:
                continue
            row, who = run["run_name"].rsplit("/", 1)
            rows.setdefault(row, {}).setdefault(who, []).append(run["items_per_second"])

def rate(per_second):
    for unit, size in (("M", 1e6), ("k", 1e3)):
        if per_second >= size:
            return f"{per_second / size:.3g} {unit}/s"
    return f"{per_second:.3g} /s"

print(f"Processor: {processor}\n")
print("| what | who | rate | times the peer |\n|---|---|---|---|")
for row, rates in sorted(rows.items()):
    median = {who: statistics.median(values) for who, values in rates.items()}
    peer = next((who for who in median if who[0].isupper()), None)
    for who, value in sorted(median.items(), key=lambda item: (item[0] != peer, -item[1])):
        times = f"{value / median[peer]:.1f}" if peer and who != peer else ""
        print(f"| {row} | {who} | {rate(value)} | {times} |")
PYTHON

# Whole programs: over HTTP with wrk, and over files of many rows.
if [[ $filter == . || $filter == http ]] && command -v wrk >/dev/null; then
  echo
  tests/bench/http.sh "$dir/bin"
fi
if [[ $filter == . || $filter == rows ]]; then
  echo
  tests/bench/rows.sh "$dir/bin"
fi
