#!/usr/bin/env bash
# The Containerfile: its promises are read off the file always, and the image is built where buildah is installed and
# AGONIC_TEST_CONTAINER=yes allows the minutes and the network it takes.
#
#   container_test.sh ROOT AGONICD
set -uo pipefail
root=$1 agonicd=$2
file="$root/deploy/Containerfile"
failures=0
expect() {
  local what=$1
  shift
  "$@" || { echo "FAIL $what"; failures=$((failures + 1)); }
}

expect "two stages" [ "$(grep -c '^FROM ' "$file")" = 2 ]
expect "it runs as a number that is not root" grep -Eq '^USER [1-9][0-9]*:[1-9][0-9]*$' "$file"
expect "the registry has a volume of its own" grep -q '^VOLUME /var/lib/agonic$' "$file"
expect "its health is asked" grep -q '^HEALTHCHECK ' "$file"
expect "it carries labels" grep -q '^LABEL org.opencontainers.image.title=' "$file"
# What is copied exists: a renamed folder would be noticed only at the next release otherwise.
for source in $(sed -n '/--from=/d; s/^COPY \(.*\) [^ ]*$/\1/p' "$file"); do
  expect "COPY $source exists" [ -e "$root/$source" ]
done
# The health check is a command in JSON form; as such it is taken out of the file and run against a service and against none.
check=$(sed -n '/^HEALTHCHECK/,/\]$/p' "$file" | sed -n 's/^ *"\(exec .*\)"\]$/\1/p' | sed 's/\\\\/\\/g; s/\\"/"/g')
expect "the health check is found" [ -n "$check" ]
bash -c "${check//8080/1}" 2>/dev/null
expect "the health check fails where nobody serves" [ $? != 0 ]

work=$(mktemp -d)
"$agonicd" --port 0 --state-dir "$work/state" --port-file "$work/port" >"$work/log" 2>&1 &
agonicd_pid=$!
trap 'kill -TERM "$agonicd_pid" 2>/dev/null; wait "$agonicd_pid" 2>/dev/null; rm -rf "$work"' EXIT
for ((i = 0; i < 300; ++i)); do
  [[ -s $work/port ]] && break
  sleep 0.1
done
port=$(cat "$work/port")
health=fails
for ((i = 0; i < 100; ++i)); do
  bash -c "${check//8080/$port}" && { health=passes; break; }
  sleep 0.1
done
expect "the health check passes where agonicd serves" [ $health = passes ]

((failures == 0)) || exit 1
if ! command -v buildah >/dev/null || [[ ${AGONIC_TEST_CONTAINER:-no} != yes ]]; then
  echo "Containerfile: read and in order; not built (needs buildah and AGONIC_TEST_CONTAINER=yes)"
  exit 0
fi
buildah bud --isolation chroot --format docker -f "$file" -t agonic-test "$root" || { echo "FAIL the image is not built"; exit 1; }
container=$(buildah from agonic-test) || exit 1
trap 'buildah rm "$container" >/dev/null; kill -TERM "$agonicd_pid"; wait "$agonicd_pid"; rm -rf "$work"' EXIT
# The documentation example of the WMM2025 release.
expect "the command in the image answers" grep -q '^13\.69 W (-13\.69)' \
  <(buildah run --isolation chroot "$container" -- agonic declination 42.283 -71.35 --date 2028-07-04 --height 1000)
exit $((failures > 0))
