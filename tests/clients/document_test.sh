#!/bin/sh
# traverse, rotation and swing as a user meets them, here and through a service.
# Usage: document_test.sh AGONIC AGONICD SOURCE_FOLDER
agonic=$1
agonicd=$2
source=$3
. "$source/tests/clients/common.sh"
day=$source/tests/data/observatory-day.iaga

serve

# The inconsistent loop of the exercises (ques10 29409): holding BC, AB is 187.51.
cat >loop.csv <<'EOF'
from,to,fore,back
A,B,188°45',7°45'
B,C,118°15',298°15'
C,D,346°35',166°30'
D,E,337°05',158°10'
E,A,293°30',113°00'
EOF
run traverse loop.csv; exits 0; prints "187°51'"; prints 'B-C is held'; prints '+0°30'
run traverse loop.csv --tolerance 0.02; exits 0; prints 'Free of local attraction: B, C.'
run traverse loop.csv --json; exits 0; prints '"held_line":"B-C"'; says '"refused":0'
run traverse loop.csv -o out.csv; exits 0; holds grep -q "^A,B,188°45',7°45',-1.000," out.csv; says '5 lines'
run traverse loop.csv --to csv; exits 0; holds cmp -s out out.csv
run traverse loop.csv --place '46.5 7.25' --date 2026-06-15; exits 2; says '0 if nothing was set'
run traverse loop.csv --place '46.5 7.25' --date 2026-06-15 --set-declination 2; exits 2; says '2 E or 2 W'
run traverse loop.csv --place '46.5 7.25' --date 2026-06-15 --set-declination 2W; exits 0; prints 'Grid azimuths: UTM 32N'
printf 'from,to,fore,back\nA,B,10,190\nB,C,x,20\n' >bad.csv
run traverse bad.csv; exits 1; prints 'refused: line 3: fore'; says '2 lines, 1 refused: line 3'
run traverse bad.csv --json; exits 1
run traverse lacking.csv; exits 3
printf 'from,to\nA,B\n' >lacking.csv
run traverse lacking.csv; exits 2; says 'there is no column fore'; silent
run traverse loop.csv --tolerence 1; exits 2; says 'Did you mean --tolerance?'
run traverse loop.csv -o loop.csv; exits 2; says 'it is the file that is read'
run traverse; exits 2

printf "old,found\nS40°40'W,S54°35'W\n" >lines.csv
run rotation lines.csv --found-reference magnetic --found-declination 8.5E; exits 0; prints '22.42 E (+22.42)'
run rotation lines.csv --found-reference magnetic --found-declination 8.5; exits 2; says '8.5 E or 8.5 W'

run swing "$day" --time 2026-06-15T13:05Z --lat 46.5 --lon 7.25; exits 0; prints '0.13 W (-0.13)'; prints 'quiet'
run swing "$day" --time 2026-06-15T20:30Z; exits 0; prints 'storm'
run swing "$day" --time 2026-06-15T10:50Z; exits 1; says '1 reading, 1 refused: row 1'
cat >moments.csv <<'CSV'
id,date,lat,lon,azimuth,north_reference
a,2026-06-15T13:05Z,46.5,7.25,100,magnetic
CSV
run swing moments.csv --observatory "$day" -o reduced.csv; exits 0; says '1 reading'
run correct reduced.csv; exits 0; prints 'declination 3.1'; prints 'observed; wmm2025 gives 3.2'
run swing "$day" --observatory "$day"; exits 2; says "the observatory's itself"
run swing "$day"; exits 2; says 'time'
run swing --lat 46.5 --lon 7.25; exits 0; prints '0.20 degree'
run swing loop.csv --type text --time 2026-06-15T10:50Z; exits 2; says 'IAGA-2002'

# Through a service: the same bytes.
for words in "traverse loop.csv" "traverse loop.csv --to csv" "traverse loop.csv --place 46.5,7.25 --date 2026-06-15 --set-declination 2W" \
  "rotation lines.csv --found-reference true" "swing $day --time 2026-06-15T13:05Z" "swing --lat 46.5 --lon 7.25"; do
  # shellcheck disable=SC2086
  run $words; cp out local.out; local_code=$code
  # shellcheck disable=SC2086
  run $words --server "$url"; exits "$local_code"; holds cmp -s out local.out
done
run traverse bad.csv --server "$url"; exits 1; says '2 rows, 1 refused'
run traverse lacking.csv --server "$url"; exits 2; says 'there is no column fore'
run traverse loop.csv --server http://127.0.0.1:1; exits 3; says 'Is agonicd running there?'

for command in traverse rotation swing; do
  run "$command" --help; exits 0; prints "agonic $command"; prints 'Example'
done
finish
