#!/usr/bin/env bash
# Lookups over HTTP against an empty handler of the same library, with wrk: rates at 16, 64 and 256 connections, and how
# long lookups wait while two batches run. Every lookup has a place and date of its own.
#
#   tests/bench/http.sh BIN [ROUNDS]    BIN holds agonicd and http_empty; 5 rounds of 2 s each unless said
set -euo pipefail
bin=$1 rounds=${2:-5}
work=$(mktemp -d)
children=()
trap 'kill "${children[@]}" 2>/dev/null || true; rm -rf "$work"' EXIT

start() {  # NAME COMMAND...: its port goes into $work/NAME
  local name=$1
  shift
  "$@" 2>"$work/$name.log" &
  children+=($!)
  for _ in $(seq 100); do
    [[ -s $work/$name ]] && return
    sleep 0.05
  done
  echo "http.sh: $name does not start" >&2
  exit 1
}
start agonicd "$bin/agonicd" --registry none --port 0 --port-file "$work/agonicd"
start empty "$bin/http_empty" "$work/empty"

cat >"$work/lookups.lua" <<'LUA'
local n = 0
request = function()
  n = n + 1
  return wrk.format("GET", string.format("/v1/declination?lat=%.4f&lon=%.4f&date=%d-%02d-%02d",
    math.random() * 120 - 60, math.random() * 360 - 180, 1950 + n % 75, 1 + n % 12, 1 + n % 28))
end
LUA
{ cat "$work/lookups.lua"; echo 'delay = function() return 5 end'; } >"$work/unhurried.lua"  # ms before each request
load() {  # NAME CONNECTIONS [SCRIPT]: requests a second, and the 99th percentile as wrk writes it
  wrk -t1 -c"$2" -d"${4:-2}" --latency -s "$work/${3:-lookups}.lua" "http://127.0.0.1:$(<"$work/$1")" |
    awk '/99%/ { slow = $2 } /Requests\/sec/ { rate = $2 } END { print rate, slow }'
}
median() { sort -g | awk '{ v[NR] = $1 } END { print v[int((NR + 1) / 2)] }'; }

for connections in ${AGONIC_BENCH_CONNECTIONS:-16 64 256}; do
  for _ in $(seq "$rounds"); do
    read -r ours _ < <(load agonicd "$connections")
    read -r theirs _ < <(load empty "$connections")
    echo "$ours $theirs $(awk "BEGIN { print $ours / $theirs }")" >>"$work/rates.$connections"
  done
  printf 'http/lookup/%s connections: %s of the empty handler (%s/s against %s/s)\n' "$connections" \
    "$(cut -d' ' -f3 "$work/rates.$connections" | median)" "$(cut -d' ' -f1 "$work/rates.$connections" | median)" \
    "$(cut -d' ' -f2 "$work/rates.$connections" | median)"
done

awk 'BEGIN { print "id,lat,lon,date,azimuth,north_reference,set_declination"
  for (i = 1; i <= 300000; ++i) printf "R%d,%.4f,%.4f,20%02d-%02d-%02d,%.1f,circle,0\n", i, 40 + i % 1000 / 100, -70 - i % 777 / 100,
    10 + i % 14, 1 + i % 12, 2 + i % 26, i * 7 % 3600 / 10 }' >"$work/rows.csv"
calm=$(load agonicd 8 unhurried 4 | cut -d' ' -f2)
batch() {
  while [[ ! -e $work/enough ]]; do
    curl -s -o /dev/null -H 'Content-Type: text/csv' --data-binary "@$work/rows.csv" "http://127.0.0.1:$(<"$work/agonicd")/v1/correct"
  done
}
batch & one=$!
batch & two=$!
sleep 0.5
busy=$(load agonicd 8 unhurried 4 | cut -d' ' -f2)
touch "$work/enough"
wait $one $two
echo "http/lookup/99th percentile, 8 connections a request each 5 ms: $calm at rest, $busy while two batches run"
