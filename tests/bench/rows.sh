#!/usr/bin/env bash
# The whole command over files of 1,000 to 10 million rows, on one thread and on all: rows a second, peak memory.
#
#   tests/bench/rows.sh BIN [MOST]    BIN holds agonic; up to 10000000 rows unless said (the file takes 86 bytes a row in TMPDIR)
set -euo pipefail
bin=$1 most=${2:-10000000}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# An invented notebook: six readings a station, twelve stations a day.
notebook() {
  awk -v rows="$1" 'BEGIN {
    srand(3)
    print "id,station,lat,lon,height_m,date,azimuth,dip,plunge,plane_convention,north_reference,set_declination,note"
    for (i = 0; i < rows; ++i) {
      if (i % 6 == 0) { lat = 58 + rand(); lon = -129.9 + rand(); h = int(300 + 1500 * rand()) }
      if (i % 72 == 0) { years = int(20 * rand()); date = sprintf("%d-%02d-%02d", 2003 + years, 6 + int(3 * rand()), 2 + int(27 * rand())) }
      kind = int(4 * rand())
      printf "K%06d,ST-%04d,%.5f,%.5f,%d,%s,%03d,%s,%s,%s,circle,%.1f,%s\n", i, i / 6, lat, lon, h, date, 360 * rand(),
        kind < 2 ? int(11 + 78 * rand()) : "", kind == 2 ? int(89 * rand()) : "", kind < 2 ? "right_hand" : "",
        22.9 - 0.22 * years, kind == 0 ? "\"bedding, upright\"" : "joint"
    }
  }'
}
notebook "$most" >"$work/all.csv"
cores=$(nproc)
echo "| rows | threads | rows a second | peak memory |"
echo "|---|---|---|---|"
for ((rows = 1000; rows <= most; rows *= 10)); do
  head -n $((rows + 1)) "$work/all.csv" >"$work/part.csv"
  for threads in 1 "$cores"; do
    begin=$(date +%s%N)
    "$bin/agonic" correct "$work/part.csv" --threads "$threads" -o /dev/null 2>"$work/said" &
    child=$! peak=0
    while kill -0 $child 2>/dev/null; do
      now=$(sed -n 's/^VmHWM:[^0-9]*\([0-9]*\).*/\1/p' /proc/$child/status 2>/dev/null || true)
      ((${now:-0} > peak)) && peak=$now
      sleep 0.002
    done
    wait $child
    awk -v rows=$rows -v threads="$threads" -v ns=$(($(date +%s%N) - begin)) -v peak=$peak \
      'BEGIN { printf "| %d | %d | %.3g M | %.0f MiB |\n", rows, threads, rows / ns * 1e3, peak / 1024 }'
  done
done
