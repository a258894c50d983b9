#!/bin/sh
# The command as a user meets it: exit codes, messages, files. The promises are those of `agonic --help`.
# Usage: command_test.sh AGONIC SOURCE_FOLDER
agonic=$1
source=$2
. "$source/tests/clients/common.sh"
data=$source/tests/data

head='lat,lon,date,azimuth,north_reference,set_declination,note'
printf '%s\n46.5,7.25,2020-07-01,100,circle,0,a\n' "$head" >good.csv
printf '%s\n46.5,7.25,2020-07-01,100,circle,,a\n46.5,7.25,2020-07-01,100,circle,0,b\n' "$head" >one-bad.csv

# --- done: 0. The value of the first line is the published test value of the model (WMM2025, NOAA and BGS).
run declination 42.283 -71.35 --date 2028-07-04 --height 1000
exits 0
prints '13.69 W (-13.69) +/- 0.37  wmm2025'
run declination -- 42.283 -71.35; exits 2; says 'date is missing'
run declination -42.5 -.35 --date 2028-01-02; exits 0          # negative numbers are plain words
run declination -.5 -.35 --date 2028-01-02 --height -5; exits 0
run declination --date 2028-01-02 42.283 -71.35; exits 0
run declination "42°17'N 71°21'W" --date 2028-01-02; exits 0
run declination 42.283 -71.35 --date 2028-01-02 --json
exits 0
prints '"declination_deg":-13.'
run declination 42.283 -71.35 --date today; exits 0; says '2026-11-25'
run setting 42.283 -71.35 --date 2028-07-04; exits 0
run sun 39.742476 -105.1786 --time 2003-10-17T12:30:30-07:00; exits 0; prints 'true azimuth 194.34'; says 'Never look at the sun'
run sun 39.742476 -105.1786 --time 2003-10-17 --table --step 240; exits 0; prints 'rises'
run sun 39.742476 -105.1786 --time 2003-10-17T12:30:30Z --json; exits 0; prints '"delta_t_s":64.5'
run sun 39.742476 -105.1786 --time 2003-10-17T12:30:30; exits 2; says 'offset'; silent
run models; exits 0; prints 'wmm2025'
run models --json; exits 0; prints '"gufm1"'
run selftest; exits 0
run --version; exits 0; prints 'agonic '

# --- fit: the demo is invented; two rows of it are bad, four have a mistake
run fit "$data/sightings.csv" --place '46.5 7.25' --graduation 1
exits 1
prints 'azimuth index error  +0.90'
prints 'left out, wrong-end'
prints 'left out, mirror-figures'
prints 'refused: set_declination'
says 'never added'
run fit "$data/sightings.csv" --place '46.5 7.25' --json; exits 1; prints '"summary":{"sightings":33,"refused":2,"left_out":4}'
run fit "$data/sightings.csv" --place '46.5 7.25' --all; exits 1; prints '(s1) '
run fit "$data/sightings.csv" --set-declination 2; exits 2; says '2 E or 2 W'; silent
run fit "$data/sightings.csv" --date-order x; exits 2; silent
run fit nothing.csv; exits 3; silent
printf 'place,note\n1 2,a\n' >unread.csv
run fit unread.csv; exits 2; says 'no column of readings'; silent
run fit - ; exits 2; says '--type'

# --- explain: every code has its page; a misspelt one its neighbour
run explain setting-stale; exits 0; prints 'difference 0.5 degree (judgement)'; prints 'raised by'
run explain Setting-Stale needle-caution; exits 0; prints 'needle-caution'
run explain; exits 0; prints 'Readings, row by row'; prints 'fore-back-differ'
run explain setting-stale --json; exits 0; prints '"code":"setting-stale"'
run explain --json; exits 0; prints '{"checks":[{'
run explain seting-stale; exits 2; silent; says 'Did you mean setting-stale?'
run explain nonsense; exits 2; silent; says 'agonic explain lists them all'
run declination 32N 461344 5481745 --date today; exits 0; says '[datum-not-stated]'
run declination 91 0 --date today; exits 2; says '[place-swapped]'

# --- help: every command has examples
for command in declination setting sun fit correct explain models selftest; do
  run "$command" --help
  exits 0
  prints "agonic $command"
  prints 'Example'
done
run --help; exits 0; prints 'Exit: 0 done'

# --- wrong use: 2, with a remedy
run; exits 2; says 'no command is given'; silent
run declinaton 42 -71; exits 2; says 'Did you mean declination?'; silent
run declination 42.283 -71.35 --dat 2028; exits 2; says 'Did you mean --date?'; silent
run correct good.csv --set-declinaton=0; exits 2; says 'Did you mean --set-declination?'; silent
run declination 42.283 -71.35 --date 2028-13-04; exits 2; says 'there is no month 13'; silent
run declination 42.283 -71.35 --date 03/04/2025; exits 2; says '--date-order'
run declination 42.283 -71.35 --date; exits 2; says '--date'
run declination 95 -71.35 --date 2028; exits 2; silent
run declination 42.283 -71.35W --date 2028; exits 2; says 'a sign and a letter'
run declination 42.283 -71.35 --date 1500; exits 2; says '1590'
run correct; exits 2; says 'input'
run correct good.csv other.csv; exits 2; says 'other.csv'
run correct good.csv --set-declination 22; exits 2; says '22 E or 22 W'
run correct good.csv --model nonsense; exits 2; silent
run correct good.csv --type xml; exits 2; says 'ndjson'
run correct - ; exits 2; says '--type'
run declination 42.283 -71.35 --date nonsense --json; exits 2; says '{"code":"date-unreadable"'; silent
run correct good.csv --bogus --json; exits 2; says '{"code":"unknown-name","field":"--bogus"'
printf 'lat,lon,date\n1,2,2020\n' >lacking.csv
run correct lacking.csv; exits 2; says 'there is no column azimuth'; silent
AGONIC_TODAY=tomorrow; run declination 42 -71 --date 2028; exits 2; says 'AGONIC_TODAY'; AGONIC_TODAY=2026-11-25

# --- refused rows: 1, and the summary line on standard error
run correct good.csv; exits 0; says '1 corrected, 0 refused'
run correct one-bad.csv -o result.csv
exits 1
[ "$(cat err)" = '1 corrected, 1 refused: line 2' ] || fail 'the summary line alone'
silent
holds test "$(wc -l <result.csv)" -eq 3
holds grep -q 'set-declination-unknown' result.csv
run correct one-bad.csv --json; exits 1; says '{"rows":2,"corrected":1,"unchanged":0,"refused":1'
run correct one-bad.csv --set-declination -1.5 -o result.csv; exits 0     # a default, negative as a plain word
run correct one-bad.csv --set-declination=1.5W -o result2.csv; exits 0
holds cmp -s result.csv result2.csv
{ echo "$head"
  awk 'BEGIN { for (i = 2; i <= 416; ++i) print "46.5,7.25,2020-07-01,100,circle," (i == 7 || i == 19 || i == 40 ? "" : 0) "," }'
} >many.csv
run correct many.csv; exits 1; says '412 corrected, 3 refused: lines 7, 19, 40'

# --- standard input and types
"$agonic" correct - --type csv <one-bad.csv >out 2>err; code=$?; last='agonic correct -'
exits 1
run correct one-bad.csv; cp out direct.csv
"$agonic" correct - --type csv <one-bad.csv >out 2>err
holds cmp -s out direct.csv
cat one-bad.csv | "$agonic" correct - --type csv -o - 2>err | cmp -s - direct.csv || fail 'the same from a pipe'
run correct good.csv -o result.json; exits 0; holds grep -q '"summary":{"rows":1' result.json
run correct good.csv -o result.ndjson; exits 0; holds test "$(wc -l <result.ndjson)" -eq 1
run correct good.csv --to ndjson; exits 0; prints '{"lat":"46.5"'
run correct result.ndjson; exits 2; says 'corrected before'
run correct result.ndjson --again; exits 0; prints 'earlier_azimuth_true'
run correct result.json --to csv; exits 2; says 'without loss'

# --- files: 3; nothing half done is left
run correct missing.csv; exits 3; says 'missing.csv'
run correct missing.csv --json; exits 3; says '{"code":"failed"'
run correct "$work" --type csv; exits 3; says 'folder'
run correct good.csv -o nowhere/out.csv; exits 3; says 'nowhere/out.csv'
run correct good.csv -o "$work"; exits 3; says 'folder'
cp good.csv same.csv
run correct same.csv -o ./same.csv; exits 2; says 'a name of its own'; holds cmp -s good.csv same.csv
ln -s same.csv link.csv
run correct same.csv -o link.csv; exits 2; holds cmp -s good.csv same.csv
{ cat many.csv many.csv many.csv; head -c 2000000 /dev/zero | tr '\0' x; } >breaks.csv
echo before >kept.csv
run correct breaks.csv -o kept.csv; exits 2; says 'longer than 1 MiB'; holds test "$(cat kept.csv)" = before
run correct breaks.csv -o never.csv; exits 2; holds test ! -e never.csv
printf '{"readings": [' >cut.json
run correct cut.json -o never.json; exits 2; silent; says '[file-malformed]'
: >empty.csv
run correct empty.csv; exits 2; silent; says '[columns-missing]'

# --- a result is what its name says, or it is not written
run correct good.csv -o out.xlsx; exits 2; says 'no result is written as .xlsx'; says '--to csv'; holds test ! -e out.xlsx
run correct good.csv -o out.xlsx --to csv; exits 0; holds test -s out.xlsx
run correct good.csv -o out.txt; exits 0; holds test -s out.txt
run traverse "$data/traverse.csv" -o out.xlsx; exits 2; says 'no result is written as .xlsx'; says '.txt, .csv or .json'

# --- remedies name what can be typed here
cp result.json corrected.json
run correct result.json -o never.json; exits 2; says 'say --again'; holds test ! -e never.json
run setting 85.8 139.3 --date 2026-05-01; exits 1; says '--force-unusable answers all the same'
run declination 42 -71 --date 03/04/2005; exits 2; says 'Declare --date-order'
# --- the closing line counts what was asked
{ echo "$head"; for set in 9E 3.5W 2.5E 3.4E; do echo "46,8,2026-05-01,100,circle,$set,a"; done; echo '46,8,,100,circle,0,a'; } >asked.csv
run correct asked.csv -o asked-out.csv; exits 1
says '4 corrected, 1 refused: line 6; to look at: setting-stale 2, declination-differs 1, declination-sign 1'
run correct good.csv -o asked-out.csv; exits 0; says '1 corrected, 0 refused'
run correct lacking.csv -o never.csv; exits 2; holds test ! -e never.csv
holds test -z "$(find . -name '*.part')"
mkfifo pipe
cat pipe >through.csv & reader=$!
run correct one-bad.csv -o pipe; exits 1
wait $reader
holds test -p pipe                                            # a pipe or device is never replaced by a file
holds cmp -s through.csv direct.csv
echo old >target.csv; ln -s target.csv alias.csv
run correct one-bad.csv -o alias.csv; exits 1; holds test -L alias.csv; holds cmp -s target.csv direct.csv

# --- an interrupt takes the unfinished file away
mkfifo slow
"$agonic" correct slow --type csv -o interrupted.csv >out 2>err & child=$!
exec 8>slow
cat many.csv >&8
tries=0
while [ -z "$(find . -name 'interrupted.csv.*.part')" ] && [ $tries -lt 100 ]; do sleep 0.1; tries=$((tries + 1)); done
kill -TERM $child
wait $child
code=$?
last='agonic correct, terminated'
exec 8>&-
[ $code -ne 0 ] || fail 'not 0'
holds test $tries -lt 100
holds test -z "$(find . -name 'interrupted*')"

# --- a standard output that takes nothing more
if [ -c /dev/full ]; then
  "$agonic" correct good.csv >/dev/full 2>err; code=$?; last='agonic correct >/dev/full'
  exits 3; says 'standard output'
  "$agonic" declination 42 -71 --date 2028 >/dev/full 2>err; code=$?; exits 3
fi
{ echo "$head"; awk 'BEGIN { for (i = 0; i < 20000; ++i) print "46.5,7.25,2020-07-01,100,circle,0," }'; } >long.csv
{ "$agonic" correct long.csv 2>err; echo $? >code; } | head -1 >out
code=$(cat code); last='agonic correct | head -1'
exits 3; says 'standard output'; holds test "$(wc -l <out)" -eq 1

# --- models of one's own: a bad file is named with its line, and nothing is computed
mkdir models
printf '    2025.0            TEST-1     01/01/2025\n  1  0  -29000.0  0.0  10.0  0.0\n  nonsense\n' >models/test.cof
run declination 42.283 -71.35 --date 2028 --coefficients models
exits 3; silent; says 'test.cof'
grep -Eq 'test\.cof[^0-9]*(line )?3' err || fail 'file and line expected'
run models --coefficients nowhere; exits 3; says 'nowhere'

# --- the demo: the rows its README tells of, in every way they can be read
for file in notes.csv season-2009.csv season-2016.csv season-2026.ndjson; do
  run correct "$data/$file"
  exits 1
  case $file in
    notes.csv) says '11 corrected, 1 unchanged, 2 refused: lines 8, 12' ;;
    season-2009.csv) says '16 corrected, 1 unchanged, 9 refused' ;;
    season-2016.csv) says '15 corrected, 1 unchanged, 9 refused' ;;
    season-2026.ndjson) says '14 corrected, 1 unchanged, 9 refused' ;;
  esac
  holds test "$(wc -l <out)" -eq "$(wc -l <"$data/$file")"
  # README: | row | id | refused, `code`...
  awk -v file="## $file" 'index($0, "## ") == 1 { here = index($0, file) == 1 } here && /refused, `/ { print }' \
    "$data/README.md" >told
  while IFS='|' read -r _ row id told; do
    id=$(echo $id)
    word=$(echo "$told" | sed 's/^[^`]*`\([^`]*\)`.*/\1/')
    grep -w "$id" out | grep refused | grep -qF "$word" || fail "row $row ($id): $word expected"
  done <told
  holds test "$(wc -l <told)" -ge 2
done
finish
