#!/usr/bin/env bash
# The unit file is well formed, and shuts the service in: systemd's own measure of exposure stays at 1.5 of 10 or less.
#
#   systemd_test.sh ROOT AGONICD      exit 77: no systemd-analyze here
set -uo pipefail
root=$1 agonicd=$2
command -v systemd-analyze >/dev/null || { echo "systemd-analyze is not installed"; exit 77; }

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
unit="$root/deploy/agonicd.service"

if ! systemd-analyze security --no-pager --offline=true --threshold=15 "$unit" >"$work/said" 2>&1; then
  grep -v '✓' "$work/said"
  echo "FAIL the unit is more exposed than 1.5"
  exit 1
fi
# Proof that the measure bites: the same unit with its rights given back is refused.
grep -vE '^(CapabilityBoundingSet|SystemCallFilter|PrivateUsers|RestrictNamespaces)=' "$unit" >"$work/loose.service"
if systemd-analyze security --no-pager --offline=true --threshold=15 "$work/loose.service" >/dev/null 2>&1; then
  echo "FAIL a loosened unit passes as well"
  exit 1
fi

sed "s#/usr/local/bin/agonicd#$agonicd#" "$unit" >"$work/agonicd.service"
said=$(systemd-analyze verify --recursive-errors=no "$work/agonicd.service" 2>&1)
if (($? != 0)) || grep -q 'agonicd.service:.*\(Unknown\|Failed\|ignoring\)' <<<"$said"; then
  echo "$said"
  echo "FAIL the unit is not well formed"
  exit 1
fi
grep 'Overall exposure' "$work/said"
