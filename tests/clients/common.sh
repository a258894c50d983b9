# Shared by the tests of the command: a scratch folder, a fixed day, and checks that say what went wrong.
set -u
export AGONIC_TODAY=2026-11-25 LC_ALL=C
unset AGONIC_COEFFICIENTS || true
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
failures=0

# serve OPTIONS...: an agonicd of the test's own, with its state in the scratch folder; leaves $url and $server.
serve() {
  rm -f "$work/port"
  "$agonicd" --port 0 --state-dir "$work/state" --port-file "$work/port" "$@" >>"$work/server.log" 2>&1 &
  server=$!
  trap 'kill $server 2>/dev/null; wait $server 2>/dev/null; rm -rf "$work"' EXIT
  tries=0
  while [ ! -s "$work/port" ] && [ $tries -lt 100 ]; do sleep 0.1; tries=$((tries + 1)); done
  [ -s "$work/port" ] || { echo 'agonicd did not start'; cat "$work/server.log"; exit 1; }
  url=http://127.0.0.1:$(cat "$work/port")
}

# run WORDS...: the command as a user gives it; leaves $code, out and err.
run() {
  "$agonic" "$@" >out 2>err </dev/null
  code=$?
  last="agonic $*"
}
fail() {
  echo "FAILED: $last: $1"
  echo "  exit $code"
  sed 's/^/  out: /' out | head -5
  sed 's/^/  err: /' err | head -5
  failures=$((failures + 1))
}
exits() { [ "$code" -eq "$1" ] || fail "exit $1 expected"; }
says() { grep -qF -e "$1" err || fail "'$1' expected on standard error"; }
prints() { grep -qF -e "$1" out || fail "'$1' expected on standard output"; }
silent() { [ ! -s out ] || fail "nothing expected on standard output"; }
holds() { "$@" || fail "expected: $*"; }
finish() {
  [ "$failures" -eq 0 ] || { echo "$failures failed"; exit 1; }
  echo "all passed"
}
