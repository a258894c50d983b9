#!/usr/bin/env bash
# From a clean clone to a running service: installs what is missing, builds, serves on this machine only.
#
#   ./deploy/run.sh                    http://127.0.0.1:8080/
#   AGONIC_PORT=8081 ./deploy/run.sh   another port
#   ./deploy/run.sh --coefficients DIR further options go to agonicd
#
# Ctrl-C stops the service once the requests under way are answered.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(dirname "$here")
port=${AGONIC_PORT:-8080}

say() { printf 'agonic: %s\n' "$*" >&2; }
die() { say "$*"; exit 1; }

[[ $port =~ ^[0-9]{1,5}$ && $((10#$port)) -ge 1 && $((10#$port)) -le 65535 ]] ||
  die "AGONIC_PORT '$port' is no port: give a number from 1 to 65535"

refuse_taken_port() {
  if (exec 3<>"/dev/tcp/127.0.0.1/$port") 2>/dev/null; then
    die "port $port is taken by another program. Choose another:  AGONIC_PORT=$((port + 1)) $0"
  fi
}

refuse_taken_port
"$here/packages.sh" build page
"$here/build.sh" release agonic agonicd
refuse_taken_port

cat >&2 <<TEXT

agonic: serving on http://127.0.0.1:$port/  (this machine only; Ctrl-C stops it)

  Try, in another terminal:
    curl 'http://127.0.0.1:$port/v1/declination?lat=42.283&lon=-71.35&date=2028-07-04&height_m=1000'
    curl -H 'Content-Type: text/csv' --data-binary @tests/data/notes.csv http://127.0.0.1:$port/v1/correct
    build/release/bin/agonic declination 42.283 -71.35 --date 2028-07-04 --height 1000

TEXT
cd "$root"
exec build/release/bin/agonicd --port "$port" "$@"
