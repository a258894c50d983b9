#!/bin/sh
# review as a user meets it, here and through a service.
# Usage: review_test.sh AGONIC AGONICD SOURCE_FOLDER
agonic=$1
agonicd=$2
source=$3
. "$source/tests/clients/common.sh"
notes=$source/tests/data/notes.csv

serve

run review "$notes"; exits 1; prints 'settings-missing, row 7 (line 8)'; prints 'Nothing was changed.'
holds cmp -s "$notes" "$source/tests/data/notes.csv"
run review "$notes" --html page.html; exits 1; holds grep -q '<svg' page.html
run review "$notes" --json; exits 1; prints '"code":"settings-sign"'
run review "$notes" --html "$notes"; exits 2; says 'is the file that is read'
run review "$notes" --group-by observer; exits 1
run review "$notes" --group-by tent; exits 2; says 'no row has anything'
run review "$notes" --set-declination 5; exits 2; says '5 E or 5 W'
run review nothing.csv; exits 3
run review notes.xyz; exits 2; says '--type'
printf 'place,date,azimuth\n58.42 -129.60,2016-08-09,10\n' >clean.csv
run review clean.csv --north-reference magnetic; exits 0; prints 'Nothing to ask.'
gzip -k clean.csv
cp out plain; run review clean.csv.gz --north-reference magnetic; exits 0; holds cmp -s out plain
"$agonic" review - --type csv --north-reference magnetic <clean.csv >out 2>err; code=$?; last='review -'
exits 0; holds cmp -s out plain
run review --help; exits 0; prints 'Example'

# Through a service: the same bytes.
for words in "review $notes" "review $notes --json" "review $notes --group-by observer"; do
  # shellcheck disable=SC2086
  run $words; cp out local.out; local_code=$code
  # shellcheck disable=SC2086
  run $words --server "$url"; exits "$local_code"; holds cmp -s out local.out
done
run review "$notes" --html page2.html --server "$url"; exits 1; holds cmp -s page.html page2.html
run review "$notes" --group-by tent --server "$url"; exits 2; says 'no row has anything'
if grep -q '58\.4' server.log; then fail 'no coordinate in the log'; fi
finish
