#!/usr/bin/env bash
# deploy/run.sh as a newcomer starts it: it says what it does, serves, answers the example it prints, and stops on a signal.
#
#   run_test.sh ROOT AGONICD
set -uo pipefail
root=$1
command -v curl >/dev/null || { echo "curl is not installed"; exit 77; }

work=$(mktemp -d)
run_pid=''
finish() {
  [[ -z $run_pid ]] || { kill -TERM "$run_pid" 2>/dev/null && wait "$run_pid" 2>/dev/null; }
  rm -rf "$work"
}
trap finish EXIT
export AGONIC_STATE_DIR="$work/state"  # not the folder of whoever runs the tests
failures=0
expect() {
  local what=$1
  shift
  "$@" || { echo "FAIL $what"; failures=$((failures + 1)); }
}

# A port that nobody answers on. Should another program take it in between, run.sh says so and the next one is tried.
for ((try = 0; try < 5; ++try)); do
  port=$((20000 + (RANDOM + BASHPID) % 12000))
  (exec 3<>"/dev/tcp/127.0.0.1/$port") 2>/dev/null && continue
  AGONIC_INSTALL=no AGONIC_PORT=$port "$root/deploy/run.sh" >"$work/out" 2>"$work/err" &
  run_pid=$!
  for ((i = 0; i < 1800; ++i)); do
    kill -0 "$run_pid" 2>/dev/null || break
    grep -q "serving on http://127.0.0.1:$port/" "$work/err" && curl -sf -o /dev/null "http://127.0.0.1:$port/healthz" && break 2
    sleep 0.1
  done
  grep -q 'is taken' "$work/err" || break
done
if ! kill -0 "$run_pid" 2>/dev/null; then
  cat "$work/err"
  echo "FAIL run.sh did not serve"
  exit 1
fi

expect "it says what it installs" grep -q 'packages (build page): all' "$work/err"
expect "it says what it configures" grep -q 'configuring build/release' "$work/err"
expect "it says what it builds" grep -q 'building build/release (agonic agonicd)' "$work/err"
example=$(sed -n "s/^ *\(curl 'http.*\)$/\1/p" "$work/err" | head -n 1)
expect "it prints an example" [ -n "$example" ]
# The documentation example of the WMM2025 release: D is -13.69.
expect "the example it prints works" grep -q '"declination_deg": *-13\.689' <(bash -c "${example/curl/curl -sS --max-time 30}")
example=$(sed -n "s/^ *\(curl -H .*\)$/\1/p" "$work/err" | head -n 1)
expect "the batch it prints works" grep -q '^id,.*azimuth_true' <(cd "$root" && bash -c "${example/curl/curl -sS --max-time 30}")

AGONIC_INSTALL=no AGONIC_PORT=$port "$root/deploy/run.sh" >/dev/null 2>"$work/second"
expect "a second one fails" [ $? = 1 ]
expect "a second one names the way out" grep -q "port $port is taken.*AGONIC_PORT=$((port + 1))" "$work/second"
AGONIC_PORT=70000 "$root/deploy/run.sh" >/dev/null 2>"$work/wrong"
expect "a wrong port is refused" [ $? = 1 ]
expect "a wrong port is named" grep -q "AGONIC_PORT '70000' is no port" "$work/wrong"

kill -TERM "$run_pid"
wait "$run_pid"
expect "it stops well" [ $? = 0 ]
run_pid=''
((failures == 0)) && echo "run.sh: builds, serves, answers its own examples and stops"
exit $((failures > 0))
