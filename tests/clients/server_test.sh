#!/bin/sh
# --server: the same work through a service gives the same bytes, words and exit codes.
# Usage: server_test.sh AGONIC AGONICD SOURCE_FOLDER
agonic=$1
agonicd=$2
source=$3
. "$source/tests/clients/common.sh"
data=$source/tests/data

serve

for file in notes.csv season-2009.csv season-2016.csv season-2026.ndjson; do
  run correct "$data/$file"
  cp out local.out
  cp err local.err
  run correct "$data/$file" --server "$url"
  exits 1
  holds cmp -s out local.out
  # The summary comes back in a header of bounded length: the counts always, the lines as far as they fit.
  holds test "$(cut -d: -f1 err)" = "$(cut -d: -f1 local.err)"
done
run correct "$data/notes.csv" --server "$url" -o far.ndjson; exits 1; holds test "$(wc -l <far.ndjson)" -eq 14
run correct "$data/notes.csv" --server "$url" --set-declination=-3 -o far.csv; exits 1
run correct "$data/notes.csv" --set-declination=-3 -o near.csv
holds cmp -s far.csv near.csv
printf 'lat,lon,date\n1,2,2020\n' >lacking.csv
run correct lacking.csv --server "$url" -o never.csv; exits 2; says 'there is no column azimuth'; holds test ! -e never.csv

run declination 42.283 -71.35 --date 2028-07-04 --height 1000 --server "$url"
exits 0
prints '13.69 W (-13.69) +/- 0.37  wmm2025'
run setting 42.283 -71.35 --date 2028-07-04; cp out local.out
run setting 42.283 -71.35 --date 2028-07-04 --server "$url"; exits 0; holds cmp -s out local.out
run sun 42.283 -71.35 --time 2028-07-04T08:15-04:00; cp out local.out; cp err local.err
run sun 42.283 -71.35 --time 2028-07-04T08:15-04:00 --server "$url"; exits 0; holds cmp -s out local.out; holds cmp -s err local.err
for how in '' --all --json; do
  run fit "$data/sightings.csv" --place '46.5 7.25' --graduation 1 $how; cp out local.out
  run fit "$data/sightings.csv" --place '46.5 7.25' --graduation 1 $how --server "$url"; exits 1; holds cmp -s out local.out
done
run fit "$data/sightings.csv" --set-declination 2 --server "$url"; exits 2; says '2 E or 2 W'
run declination 42.283 -71.35 --date 2028-13-04 --server "$url"; exits 2; says 'there is no month 13'
run models --server "$url" --json; exits 0; prints 'gufm1'
run declination 42.283 -71.35 --date 2028 --server http://127.0.0.1:1; exits 3; says 'Is agonicd running there?'
run correct "$data/notes.csv" --server http://127.0.0.1:1 -o never.csv; exits 3; holds test ! -e never.csv
finish
