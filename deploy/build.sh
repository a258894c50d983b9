#!/usr/bin/env bash
# Configures and builds one preset: deploy/build.sh PRESET [target...]   (all targets if none is named)
#
# Every caller shares the tree build/PRESET and its configuration, so that none makes another compile again.
# AGONIC_WERROR=ON turns warnings into errors, and the tree remembers it.
set -euo pipefail
cd "$(dirname "$0")/.."

say() { printf 'agonic: %s\n' "$*" >&2; }

preset=${1:-release}
(($# > 0)) && shift
options=()
[[ -z ${AGONIC_WERROR:-} ]] || options+=("-DAGONIC_WERROR=$AGONIC_WERROR")
# Through the environment, which counts for a new tree only: an old one is not made to compile all over again.
if command -v ccache >/dev/null; then
  export CMAKE_CXX_COMPILER_LAUNCHER=ccache
fi

say "configuring build/$preset"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
cmake --preset "$preset" "${options[@]}" >"$log" 2>&1 || {
  cat "$log" >&2
  say "the configuration of build/$preset failed"
  exit 1
}

targets=()
(($# == 0)) || targets=(--target "$@")
say "building build/$preset (${*:-everything}) on $(nproc) processors"
cmake --build --preset "$preset" --parallel "$(nproc)" "${targets[@]}" >&2
