#!/bin/sh
# agonic chart as a user meets it, here and through a service.
# Usage: chart_test.sh AGONIC AGONICD SOURCE_FOLDER
agonic=$1
agonicd=$2
source=$3
. "$source/tests/clients/common.sh"

serve

run chart --date 2026 -o world.svg; exits 0; silent; says '2026 taken as mid-year'; holds xmllint --noout --nonet world.svg
holds grep -q 'agonic line, D = 0' world.svg
run chart --date 2026-07-01 --bbox 5,45,11,48 -o alps.png --width 400; exits 0; silent
holds sh -c 'head -c 8 alps.png | od -An -tx1 | grep -q "89 50 4e 47 0d 0a 1a 0a"'
run chart --date 2026-07-01 --bbox -125,32,-114,42; exits 0; prints '"type":"FeatureCollection"'; prints '"agonic":false'
run chart --date 1600-01-02 --bbox 160,-50,-170,-30 --type csv --step 10; exits 0; prints '-30,-170,'; prints 'gufm1'
run chart --date 2026-07-01 --bbox 5,45,11,48 -o grid.covjson; exits 0; holds grep -q '"domainType":"Grid"' grid.covjson
run chart --date 2026-07-01 --quantity horizontal --bbox -180,60,180,90 -o h.geojson; exits 0
holds grep -q '"needle":"unusable"' h.geojson

run chart -o x.svg; exits 2; says 'the date is missing'; holds test ! -e x.svg
run chart --date 2026 -o x.gif; exits 2; says 'the ending does not tell the type'
run chart --date 2026 --type gif; exits 2; says 'geojson, coveragejson, csv, svg or png'
run chart --date 2026 --bbox 5,45,11; exits 2; says 'bbox'; says 'four numbers'
run chart --date 2026 --bbox 5,48,11,45; exits 2; says 'Exchange the two latitudes'
run chart --date 2026 --interval 0.1; exits 2; says 'larger interval'
run chart --date 2026 --step 0.1; exits 2; says 'nodes'; says 'larger step'
run chart --date 1500; exits 2; says 'date'
run chart --date 2026 --quantity deklination; exits 2; says 'declination_change'
run chart --date 2026 --intervall 1; exits 2; says 'Did you mean --interval?'

# Through a service: the same bytes, and no log that names the box.
for words in "--date 2026-07-01 --type svg" "--date 1750-03-04 --bbox 5.25,45,11,48" "--date 2026-07-01 --type png --width 300" \
  "--date 2026-07-01 --bbox 170,-10,-170,10 --type coveragejson" "--date 2026-07-01 --type csv --step 20"; do
  # shellcheck disable=SC2086
  run chart $words; exits 0; cp out local.out
  # shellcheck disable=SC2086
  run chart $words --server "$url"; exits 0; holds cmp -s out local.out
done
run chart --date 2026 --bbox 5,48,11,45 --server "$url"; exits 2; says 'Exchange the two latitudes'
run chart --date 2026 --server http://127.0.0.1:1; exits 3; says 'Is agonicd running there?'
holds test "$(grep -c '5\.25' "$work/server.log")" -eq 0
run chart --help; exits 0; prints 'agonic chart'; prints 'Example'
finish
