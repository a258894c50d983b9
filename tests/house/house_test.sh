#!/usr/bin/env bash
# Holds the tree to the structure of the house: who may include whom, what the model must never do, how long a file may be.
#
#   house_test.sh [ROOT]        checks the tree
#   house_test.sh --self-test   breaks every rule once in a tree of its own and expects to be told so by name
#
# Comments do not count: a rule may be named in prose.
set -uo pipefail

# A room of the model, and the rooms it may include besides itself.
declare -A rooms=(
  [units]=""
  [paper]="units"
  [paper_raster]="units paper"
  [chart]="units field paper paper_raster"
  [field]="units"
  [geodesy]="units"
  [instrument]="units"
  [reading]="units field geodesy instrument"
  [survey]="units field geodesy instrument reading"
  [lookup]="units field geodesy instrument survey"
  [exchange]="units field geodesy instrument reading lookup"
  [sightings]="units field geodesy instrument reading survey exchange"
  [desk]="units field geodesy instrument reading survey lookup exchange"
  [card]="units paper paper_raster field geodesy instrument survey lookup"
  [route]="units paper field geodesy instrument reading lookup exchange desk card"
  [checks]="units field instrument reading survey sightings review"
  [review]="units field geodesy instrument reading survey exchange paper"
)
max_lines=500

failures=0
broken() { # rule, then lines naming where
  echo "FAIL $1:"
  sed 's/^/    /' <<<"$2"
  failures=$((failures + 1))
}

sources() { # folders: their C++ files, whatever is generated left out
  local folders=()
  for folder in "$@"; do [[ -d $folder ]] && folders+=("$folder"); done
  ((${#folders[@]} == 0)) || find "${folders[@]}" -name node_modules -prune -o -name '*.[ch]pp' -print | LC_ALL=C sort
}

# forbid RULE REGEX FILES...: no line of the files, comments taken off, matches.
forbid() {
  local rule=$1 pattern=$2 found
  shift 2
  (($# > 0)) || return 0
  found=$(awk -v pattern="$pattern" '
    { line = $0
      if (line ~ /^[ \t]*\/\//) next
      sub(/[ \t]\/\/.*$/, "", line)
      if (line ~ pattern) print FILENAME ":" FNR ": " $0 }' "$@")
  [[ -z $found ]] || broken "$rule" "$found"
}

check_tree() {
  failures=0
  local -a model server clients tests
  mapfile -t model < <(sources model)
  mapfile -t server < <(sources server)
  mapfile -t clients < <(sources clients)
  mapfile -t tests < <(sources tests)
  ((${#model[@]} > 0)) || broken "there is a model to look at" "model/ holds no C++ file"

  # The arrows between the houses.
  forbid "model includes neither server nor clients nor tests" '#include ["<](server|clients|tests)/' "${model[@]}"
  forbid "server includes neither clients nor tests" '#include ["<](clients|tests)/' "${server[@]}"
  forbid "clients include neither server nor tests" '#include ["<](server|tests)/' "${clients[@]}"
  # An include that climbs would pass every rule above.
  forbid "includes start at the root of the repository" '#include "[^"]*\.\./' \
    "${model[@]}" "${server[@]}" "${clients[@]}" "${tests[@]}"

  # The arrows between the rooms of the model.
  local room folder allowed
  for folder in model/*/; do
    room=$(basename "$folder")
    local -a files
    mapfile -t files < <(sources "model/$room")
    if [[ ! -v rooms[$room] ]]; then
      broken "every room of the model is known" "model/$room: add it to the table in house_test.sh"
      continue
    fi
    allowed=" $room ${rooms[$room]} "
    local forbidden='' other
    for other in "${!rooms[@]}"; do
      [[ $allowed == *" $other "* ]] || forbidden+="${forbidden:+|}$other"
    done
    [[ -z $forbidden ]] || forbid "model/$room includes only what it may" "#include [\"<]model/($forbidden)/" "${files[@]}"
  done

  # The model is pure: no files, environment, clock, network, logging.
  forbid "model opens no files" '#include <(fstream|filesystem|fcntl\.h|dirent\.h|sys/stat\.h)>|(^|[^A-Za-z0-9_])(fopen|freopen|tmpfile)[ ]*\(' "${model[@]}"
  forbid "model reads no environment" '(^|[^A-Za-z0-9_])(secure_)?getenv[ ]*\(|(^|[^A-Za-z0-9_])environ([^A-Za-z0-9_]|$)' "${model[@]}"
  forbid "model reads no clock" '(system|steady|high_resolution|utc)_clock::now|(^|[^A-Za-z0-9_])(gettimeofday|clock_gettime|localtime|localtime_r)[ ]*\(|std::time[ ]*\(' "${model[@]}"
  forbid "model does not log or print" '#include [<"]spdlog|#include <iostream>|std::(cout|cerr|clog)|(^|[^A-Za-z0-9_])(printf|fprintf|puts|perror)[ ]*\(' "${model[@]}"
  forbid "model knows no network" '#include [<"](httplib\.h|sys/socket\.h|netinet/|arpa/|netdb\.h)' "${model[@]}"
  forbid "model sets no locale" '(^|[^A-Za-z0-9_])setlocale[ ]*\(|std::locale::global' "${model[@]}"

  # The HTTP library stays behind one file of the service.
  local -a not_http=()
  for file in "${server[@]}"; do [[ $file == server/http/http_server.cpp ]] || not_http+=("$file"); done
  forbid "server includes httplib.h in server/http/http_server.cpp only" '#include [<"]httplib\.h' "${not_http[@]}"
  local -a client_headers=()
  for file in "${clients[@]}"; do [[ $file == *.hpp ]] && client_headers+=("$file"); done
  forbid "no header of the clients includes httplib.h" '#include [<"]httplib\.h' "${client_headers[@]}"

  # So does the library that draws pixels and pages.
  local -a not_raster=()
  for file in "${model[@]}" "${server[@]}" "${clients[@]}"; do
    [[ $file == model/paper_raster/raster.cpp ]] || not_raster+=("$file")
  done
  forbid "cairo is included in model/paper_raster/raster.cpp only" '#include [<"]cairo' "${not_raster[@]}"

  # Files stay readable.
  local file lines
  for file in "${model[@]}" "${server[@]}" "${clients[@]}" "${tests[@]}"; do
    lines=$(wc -l <"$file")
    ((lines <= max_lines)) || broken "no source is longer than $max_lines lines" "$file: $lines lines"
    if [[ $file == *.hpp ]] && ! grep -qx '#pragma once' "$file"; then
      broken "every header guards itself with #pragma once" "$file"
    fi
  done

  # A shell test that CTest does not know is never run.
  local script
  while read -r script; do
    grep -rqsF --include=CMakeLists.txt -- "$(basename "$script")" tests ||
      broken "every shell test is registered with CTest" "$script"
  done < <([[ -d tests ]] && find tests -name node_modules -prune -o -name '*_test.sh' -print | LC_ALL=C sort)

  ((failures == 0))
}

self_test() {
  local bad=0 said
  tree=$(mktemp -d)  # not local: the trap outlives the function
  trap 'rm -rf "$tree"' EXIT

  plant_clean_tree() {
    rm -rf "${tree:?}"/*
    local room
    for room in "${!rooms[@]}"; do
      mkdir -p "$tree/model/$room"
      printf '#pragma once\n// getenv( and httplib.h in prose are no sin\n#include "model/units/angle.hpp"\n' >"$tree/model/$room/a.hpp"
    done
    mkdir -p "$tree/server/http" "$tree/clients/cli" "$tree/tests/model"
    printf '#include <httplib.h>\n#include "model/units/a.hpp"\n' >"$tree/server/http/http_server.cpp"
    printf '#include <httplib.h>\n#include "model/units/a.hpp"\nint f(char* b) { return snprintf(b, 2, "a"); }\n' >"$tree/clients/cli/main.cpp"
    printf 'add_test(NAME known COMMAND known_test.sh)\n' >"$tree/tests/CMakeLists.txt"
    touch "$tree/tests/known_test.sh"
  }
  # plant FILE TEXT RULE: with FILE added the check must fail, and for this rule alone.
  plant() {
    plant_clean_tree
    mkdir -p "$(dirname "$tree/$1")"
    printf '%b\n' "$2" >"$tree/$1"
    said=$(cd "$tree" && check_tree 2>&1)
    if (($? == 0)) || [[ $(grep -c '^FAIL ' <<<"$said") != 1 || $said != "FAIL $3:"* ]]; then
      echo "self-test: '$2' in $1 should break the rule '$3' alone; it said: ${said:-nothing}"
      bad=1
    fi
  }

  plant_clean_tree
  (cd "$tree" && check_tree) || { echo "self-test: a clean tree was refused"; bad=1; }

  plant model/field/b.cpp '#include "server/engine.hpp"' "model includes neither server nor clients nor tests"
  plant model/field/b.cpp '#include "clients/cli/a.hpp"' "model includes neither server nor clients nor tests"
  plant server/b.cpp '#include "clients/cli/a.hpp"' "server includes neither clients nor tests"
  plant clients/cli/b.cpp '#include "server/engine.hpp"' "clients include neither server nor tests"
  plant clients/cli/b.cpp '#include "../server.hpp"' "includes start at the root of the repository"
  # All that a room may not include, in one file: each line has to be told.
  local room other forbidden
  for room in "${!rooms[@]}"; do
    forbidden=''
    for other in "${!rooms[@]}"; do
      [[ " $room ${rooms[$room]} " == *" $other "* ]] || forbidden+="#include \"model/$other/a.hpp\"\n"
    done
    [[ -n $forbidden ]] || continue
    plant "model/$room/b.cpp" "$forbidden" "model/$room includes only what it may"
    for other in "${!rooms[@]}"; do
      [[ " $room ${rooms[$room]} " == *" $other "* || $said == *"\"model/$other/a.hpp\""* ]] ||
        { echo "self-test: model/$room including model/$other is not told"; bad=1; }
    done
  done
  plant model/cellar/b.cpp 'int a;' "every room of the model is known"
  plant model/units/b.cpp '#include <fstream>' "model opens no files"
  plant model/units/b.cpp '#include <filesystem>' "model opens no files"
  plant model/units/b.cpp 'auto f = std::fopen("a", "r");' "model opens no files"
  plant model/units/b.cpp 'auto e = std::getenv("A");' "model reads no environment"
  plant model/units/b.cpp 'auto t = std::chrono::system_clock::now();' "model reads no clock"
  plant model/units/b.cpp '#include <spdlog/spdlog.h>' "model does not log or print"
  plant model/units/b.cpp 'void f() { std::printf("a"); }' "model does not log or print"
  plant model/units/b.cpp '#include <sys/socket.h>' "model knows no network"
  plant model/units/b.cpp '#include <httplib.h>' "model knows no network"
  plant model/units/b.cpp 'void f() { std::setlocale(0, ""); }' "model sets no locale"
  plant server/http/b.cpp '#include <httplib.h>' "server includes httplib.h in server/http/http_server.cpp only"
  plant clients/cli/b.hpp '#pragma once\n#include <httplib.h>' "no header of the clients includes httplib.h"
  plant model/paper/b.cpp '#include <cairo.h>' "cairo is included in model/paper_raster/raster.cpp only"
  plant model/units/b.cpp "$(yes 'int a();' | head -n $((max_lines + 1)))" "no source is longer than $max_lines lines"
  plant model/units/b.hpp 'int a();' "every header guards itself with #pragma once"
  plant tests/forgotten_test.sh 'true' "every shell test is registered with CTest"

  ((bad == 0)) && echo "self-test: every rule is noticed when broken"
  return $bad
}

if [[ ${1:-} == --self-test ]]; then
  self_test
  exit
fi
cd "${1:-$(dirname "$0")/../..}" || exit 2
check_tree && echo "house: the structure holds"
