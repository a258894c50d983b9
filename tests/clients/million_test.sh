#!/bin/sh
# One million rows: all of them, in order, in flat memory and in reasonable time.
# Usage: million_test.sh AGONIC
agonic=$1
. "$(dirname "$0")/common.sh"
limit_kib=65536       # the window and the models; a file of 80 MB would not fit
limit_seconds=60      # about 2 s on one idle core; a busy machine or a build with sanitizers gets its time

awk 'BEGIN {
  print "id,lat,lon,date,azimuth,north_reference,set_declination,note"
  for (i = 1; i <= 1000000; ++i)
    printf "R%d,%.4f,%.4f,20%02d-%02d-%02d,%.1f,circle,%s,\"n, %d\"\n", i, 40 + (i % 1000) / 100, -70 - (i % 777) / 100,
      10 + i % 14, 1 + i % 12, 2 + i % 26, (i * 7) % 3600 / 10, i % 1000 ? "0" : "", i
}' >in.csv

last='agonic correct, a million rows'
begin=$(date +%s)
"$agonic" correct in.csv -o out.csv >out 2>err &
child=$!
peak=0
while kill -0 $child 2>/dev/null; do
  now=$(sed -n 's/^VmHWM:[^0-9]*\([0-9]*\).*/\1/p' /proc/$child/status 2>/dev/null)
  [ -n "$now" ] && [ "$now" -gt "$peak" ] && peak=$now
  sleep 0.1
done
wait $child
code=$?
seconds=$(($(date +%s) - begin))
exits 1
says '999000 corrected, 1000 refused: lines 1001, 2001, '
echo "$seconds s, $peak KiB"
holds test "$peak" -gt 0
holds test "$peak" -lt "${AGONIC_TEST_MEMORY_KIB:-$limit_kib}"   # sanitizers need more
holds test "$seconds" -le $limit_seconds
awk -F, 'NR > 1 && $1 != "R" (NR - 1) { exit 1 } END { exit NR != 1000001 }' out.csv || fail 'all rows in order'
awk 'NR == FNR { line[NR % 5000] = $0; if (NR == 5000) nextfile; next } index($0, line[FNR % 5000]) != 1 { exit 1 }
  FNR == 5000 { exit 0 }' in.csv out.csv || fail 'the cells as they came'
finish
