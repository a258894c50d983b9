#!/bin/sh
# route as a user meets it, here and through a service.
# Usage: route_test.sh AGONIC AGONICD SOURCE_FOLDER
agonic=$1
agonicd=$2
source=$3
. "$source/tests/clients/common.sh"
stops=$source/tests/data/route.csv

serve
run route "$stops"; exits 0; prints 'One setting for all'; prints 'Ice edge'; prints 'Only the stops were looked at'
run route "$stops" --legs; exits 0; prints 'all along the way'; prints 'km '
run route "$stops" --legs --json; exits 0; prints '"settings":['; says '"refused":0'
run route "$stops" --legs -o out.csv; exits 0; says '4 stops'; holds grep -q '^name,lat,lon,date,km,declination,' out.csv
run route "$stops" --legs -o profile.svg; exits 0; holds grep -q '<svg' profile.svg
cat >track.gpx <<'EOF'
<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>
<trkpt lat="61.2" lon="-45.4"><time>2026-06-20T08:00:00Z</time></trkpt>
<trkpt lat="61.5" lon="-44.8"></trkpt></trkseg></trk></gpx>
EOF
run route track.gpx; exits 1; prints 'refused: line 3: date'; says '2 stops, 1 refused: line 3'
run route track.gpx --date 2026-06-21; exits 0; prints '2026-06-21'
printf '<!DOCTYPE gpx [<!ENTITY a "b">]><gpx/>' >bomb.gpx
run route bomb.gpx; exits 2; says 'document type'; silent
run route "$stops" --tolerance 0.1; exits 2; says 'half'
run route "$stops" --tolerence 1; exits 2; says 'Did you mean --tolerance?'
run route "$stops" -o "$stops"; exits 2; says 'it is the file that is read'
run route notes.unknown; exits 2; says '--type'
run route lacking.csv; exits 3

# Through a service: the same bytes.
for words in "$stops --legs" "$stops --to csv" "$stops --json --legs" "track.gpx --date 2026-06-21" "$stops --to svg"; do
  # shellcheck disable=SC2086
  run route $words; mv out here
  # shellcheck disable=SC2086
  run route $words --server "$url"; exits 0; holds cmp -s out here
done
run card --route "$stops" --legs --server "$url" -o there.pdf; exits 0; holds grep -q '^%PDF' there.pdf
run card 46.5 7.25 --date 2026-06-15 -o here.html; exits 0
run card 46.5 7.25 --date 2026-06-15 --server "$url" -o there.html; exits 0
holds test "$(sed 's/computed on [0-9-]*//' here.html)" = "$(sed 's/computed on [0-9-]*//' there.html)"
curl -sS -o gpx.json -H 'Content-Type: application/gpx+xml' --data-binary @track.gpx "$url/v1/route?date=2026-06-21"
holds grep -q '"refused":0' gpx.json
! grep -q '61\.5' "$work/server.log" || { echo 'a coordinate in the log'; failures=$((failures + 1)); }
finish
