#!/bin/sh
# agonic instrument and agonic key against an agonicd of their own, as users type them.
# Usage: instrument_test.sh AGONIC AGONICD SOURCE_FOLDER
agonic=$1
agonicd=$2
source=$3
. "$source/tests/clients/common.sh"
unset AGONIC_KEY AGONIC_KEY_FILE || true

serve

run instrument list --server "$url"; exits 0; prints 'No instruments are recorded for team local.'
run instrument add 'BR 07/a' --why new --server "$url"; exits 2; says "without '/'"
run instrument add 'BR 07' --graduation 0.5 --note 'pocket, black' --why 'new in the set' --server "$url"; exits 0
prints 'BR 07, team local, version 1'; prints 'local, '; prints 'new in the set'
run instrument add 'BR 07' --why again --server "$url"; exits 2; says 'your team has an instrument of this id'
run instrument index-error 'BR 07' -0.4 --sigma 0.2 --from 2026-03-01 --how 'known line' --sightings 8 --why spring --server "$url"
exits 0; prints 'azimuth  -0.40 +/- 0.20  from 2026-03-01, known line, 8 sightings'
run instrument index-error 'BR 07' 0.4x --sigma 0.2 --from 2026-03-01 --why spring --server "$url"; exits 2; says "'0.4x': this is no number"
run instrument index-error 'BR 07' 0.4 --from 2026-03-01 --why spring --server "$url"; exits 2; says 'how well the index error is known is missing'
run instrument setting 'BR 07' 13.5 --from 2026-04-01 --why set --server "$url"; exits 2; says 'Write 13.5E or 13.5W'
run instrument setting 'BR 07' 13.5W --from 2026-04-01 --why set --server "$url"; exits 0; prints '13.50 W (-13.50)  from 2026-04-01'
run instrument change 'BR 07' --graduation 1 --why 'was mistyped' --server "$url"; exits 0
prints 'version 4   graduation 1,'; prints 'pocket, black'
run instrument show 'BR 07' --history --date 2026-05-01 --server "$url"; exits 0
prints 'version 1   graduation 0.5'; prints 'On 2026-05-01'; prints 'azimuth     -0.40 +/- 0.20'
run instrument show 'BR 08' --server "$url"; exits 2; says 'there is no instrument of this id'; silent
run instrument show 'BR 07' --server "$url" --json; exits 0; prints '"version":4'
run instrument report --server "$url" --date 2026-06-01; exits 0; prints 'in order'; prints '0 of 1 need service on 2026-06-01'
run instrument report --server "$url" --date 2029-01-01; exits 0; prints 'stale-fit'; prints '1 of 1 need service'

# A batch takes them as they stood on each day, here and from a dump; a fit adds a version.
cat >notes.csv <<'CSV'
id,lat,lon,date,azimuth,north_reference,instrument
1,46.5,7.25,2026-05-01,100,circle,BR 07
2,46.5,7.25,2026-02-01,100,circle,BR 07
3,46.5,7.25,2026-05-01,100,circle,BR 08
CSV
run correct notes.csv --server "$url"; exits 1; says '1 corrected, 2 refused: lines 3, 4'
prints 'BR 07 as recorded: azimuth version 2, setting version 3'; prints '100.000 read + 13.500 (13.500 W set on the circle taken off) + 0.400'
prints "no azimuth index error is recorded for 2026-02-01; the next begins on 2026-03-01"; prints "no instrument of this id is recorded"
cp out online.csv
run instrument dump -o carried.json --server "$url"; exits 0
run correct notes.csv --instruments carried.json; exits 1; holds cmp -s out online.csv
run correct notes.csv --instruments none.json; exits 3
run correct notes.csv --instruments notes.csv; exits 2; says 'notes.csv'
run correct notes.csv --instruments carried.json --server "$url"; exits 2; says 'in its own registry'
run instrument add K7 --why new --server "$url"; exits 0
run fit "$source/tests/data/sightings.csv" --place '46.5 7.25' --graduation 1 --time-sigma 10 --store K7 --why check --server "$url"; exits 1
prints 'Kept in the record of K7.'
run instrument show K7 --server "$url"; exits 0; prints 'version 2   azimuth  +0.90'; prints 'version 3   vertical +0.25'; prints ': check'
run fit "$source/tests/data/sightings.csv" --place '46.5 7.25' --store K17 --server "$url"; exits 2; says 'the sightings are not of this instrument'
run fit "$source/tests/data/sightings.csv" --place '46.5 7.25' --store K7; exits 2; says 'Say where with --server'

run instrument dump -o dump.json --server "$url"; exits 0; holds grep -q '"agonic_instruments":1' dump.json
run instrument import dump.json --server "$url"; exits 1; prints '0 imported, 2 refused'; says 'is recorded already'
run instrument import none.json --server "$url"; exits 3; says 'cannot be read'
run instrument backup kept.sqlite --server "$url"; exits 0; says 'verified'
holds test "$(stat -c %a kept.sqlite)" = 600
holds test "$(head -c 15 kept.sqlite)" = 'SQLite format 3'

# From the first key on every call needs one.
run key add --team survey --name 'field notebook' --server "$url"; exits 0; says 'It is shown this once'
cp out survey.key
run instrument list --server "$url"; exits 2; says 'a key is needed here'
run instrument list --server "$url" --key-file survey.key; exits 0; prints 'No instruments are recorded for team survey.'
run instrument import dump.json --server "$url" --key-file survey.key; exits 0; prints '2 imported, 0 refused'
AGONIC_KEY=$(cat survey.key); export AGONIC_KEY
run instrument show 'BR 07' --server "$url"; exits 0; prints 'team survey'; prints 'from local of 2'
run key list --server "$url"; exits 2; says "keys and backups are the operator's"
unset AGONIC_KEY
AGONIC_KEY_FILE=$work/state/operator.key; export AGONIC_KEY_FILE
run key list --server "$url"; exits 0; prints 'field notebook'; prints 'live'
id=$(sed -n 's/^\(k_[0-9a-f]*\) .*/\1/p' out)
run key revoke k_00000000 --server "$url"; exits 2; says 'there is no live key of this id'
run key revoke "$id" --server "$url"; exits 0; prints "$id is revoked"
run instrument list --server "$url"; exits 2; says "the operator's key opens no team's instruments"
unset AGONIC_KEY_FILE
run instrument list --server "$url" --key-file survey.key; exits 2; says 'a key is needed here'
run instrument list --server http://agonic.example --key-file survey.key; exits 2; says 'would go over the network unencrypted'
run instrument list --server "$url" --key-file none.key; exits 3; says 'there is no key to be read'
run instrument list --server http://127.0.0.1:1; exits 3; says 'Is agonicd running there?'
run instrument; exits 2; says 'what to do is not said'
run instrument lst; exits 2; says 'Did you mean list?'
run instrument show --server "$url"; exits 2; says 'See agonic instrument show --help'

# The backup goes back in place.
kill $server; wait $server
serve --restore kept.sqlite
run instrument list --server "$url"; exits 0; prints 'BR 07'
run key list --server "$url"; exits 0; prints 'No keys have been made.'
holds test -f state/registry.sqlite.before-restore
finish
