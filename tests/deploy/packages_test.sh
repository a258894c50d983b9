#!/usr/bin/env bash
# deploy/packages.sh with dpkg-query and apt-get replaced by stand-ins that note what they are asked: apt is left alone
# when nothing is missing, and asked for exactly what is.
#
#   packages_test.sh ROOT
set -uo pipefail
script="$1/deploy/packages.sh"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
failures=0
expect() {
  local what=$1
  shift
  "$@" || { echo "FAIL $what"; failures=$((failures + 1)); }
}

cat >"$work/apt-get" <<'STAND_IN'
#!/bin/sh
echo "$*" >>"$NOTES"
STAND_IN
cat >"$work/dpkg-query" <<'STAND_IN'
#!/bin/sh
shift 3
for name in "$@"; do [ "$name" = "$ABSENT" ] || echo "installed $name"; done
STAND_IN
printf '#!/bin/sh\nexec "$@"\n' >"$work/sudo"
printf '#!/bin/sh\nexit 0\n' >"$work/systemctl"
chmod +x "$work"/*
export NOTES="$work/notes" ABSENT=none PATH="$work:$PATH"

"$script" build run test lint 2>"$work/said"
expect "nothing missing: it succeeds" [ $? = 0 ]
expect "nothing missing: apt is not asked" [ ! -e "$NOTES" ]
expect "nothing missing: it says so" grep -q 'are installed' "$work/said"

ABSENT=cmake "$script" build 2>"$work/said"
expect "one missing: it succeeds" [ $? = 0 ]
expect "one missing: it is named" grep -q 'missing cmake$' "$work/said"
expect "one missing: the lists are read first" grep -q '^update' <(head -n 1 "$NOTES")
expect "one missing: it alone is installed" grep -Eq '^install .*--no-install-recommends.* Dpkg::Use-Pty=0 cmake$' "$NOTES"

rm -f "$NOTES"
AGONIC_INSTALL=no ABSENT=cmake "$script" build 2>"$work/said"
expect "not allowed to install: it fails" [ $? = 1 ]
expect "not allowed to install: apt is not asked" [ ! -e "$NOTES" ]
"$script" bild 2>"$work/said"
expect "a wrong group is refused" [ $? = 1 ]

((failures == 0)) && echo "packages.sh: asks apt for what is missing and for nothing else"
exit $((failures > 0))
