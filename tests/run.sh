#!/usr/bin/env bash
# Every test of the house: installs what is missing, builds, runs, and ends with one line that says PASS or FAIL.
#
#   tests/run.sh                       the release preset
#   tests/run.sh --preset asan+ubsan   another preset of CMakePresets.json
#   tests/run.sh -- -R units           what follows -- goes to ctest
set -uo pipefail
cd "$(dirname "$0")/.."

say() { printf 'agonic: %s\n' "$*" >&2; }
usage() { say "usage: tests/run.sh [--preset NAME] [-- ctest options]"; exit 2; }

preset=release
while (($# > 0)); do
  case $1 in
    --preset) [[ $# -ge 2 ]] || usage; preset=$2; shift 2 ;;
    --preset=*) preset=${1#*=}; shift ;;
    --) shift; break ;;
    *) usage ;;
  esac
done

started=$SECONDS
failed=()
verdict() {
  local took=$((SECONDS - started))
  if ((${#failed[@]} == 0)); then
    echo "agonic: PASS, preset $preset, $took s"
    exit 0
  fi
  echo "agonic: FAIL, preset $preset, $took s: ${failed[*]}"
  exit 1
}

deploy/packages.sh build page test || { failed+=(packages); verdict; }
deploy/build.sh "$preset" || { failed+=(build); verdict; }

# The lint of the API description brings its own tools, pinned by a lock file; they are fetched when the lock changes.
lint=tests/server/openapi
if [[ -f $lint/package-lock.json ]]; then
  lock=$(sha256sum "$lint/package-lock.json" | cut -d' ' -f1)
  stamp=$lint/node_modules/.lock-installed
  if [[ $(cat "$stamp" 2>/dev/null) != "$lock" ]]; then
    say "installing the linter of the API description ($lint)"
    if npm ci --prefix "$lint" --ignore-scripts --no-audit --no-fund >&2; then
      echo "$lock" >"$stamp"
    else
      failed+=(npm-ci)
    fi
  fi
fi

say "running the tests of build/$preset"
ctest --preset "$preset" --parallel "$(nproc)" "$@" || failed+=(ctest)

if [[ -f $lint/package.json && -d $lint/node_modules ]] && (($# == 0)); then
  say "linting the API description"
  REDOCLY_TELEMETRY=off REDOCLY_SUPPRESS_UPDATE_NOTICE=true npm test --silent --prefix "$lint" || failed+=(openapi-lint)
fi
verdict
