#!/usr/bin/env bash
# The Debian packages agonic needs, in one place, and their installation.
#
#   deploy/packages.sh build          install what compiling needs and is missing
#   deploy/packages.sh build test     several groups at once: build, page, run, test, lint
#   deploy/packages.sh --list run     print the names and do nothing
#
# Nothing is asked of apt when nothing is missing. Works as root or through sudo. With AGONIC_INSTALL=no it only says
# what is missing.
set -euo pipefail

# Compiling (SQLite and PostgreSQL's client keep the registry), and the test library: one configured tree then serves
# ./deploy/run.sh and ./tests/run.sh alike.
# The last three are named by the pkg-config file of cpp-httplib, which does not depend on them by itself.
build_packages=(g++ cmake ninja-build pkg-config libcpp-httplib-dev nlohmann-json3-dev libgeographiclib-dev
  libspdlog-dev libproj-dev proj-data libcli11-dev libhwy-dev libsimdjson-dev libeigen3-dev libgtest-dev libsqlite3-dev
  libpq-dev libexpat1-dev libcairo2-dev fonts-dejavu-core libssl-dev zlib1g-dev libbrotli-dev)
# What the two programs load when they run; pictures and pages are set in that font.
run_packages=(libcpp-httplib0.11 libhwy1 libsimdjson14 zlib1g libgeographiclib23 libspdlog1.10 libproj25 proj-data
  libsqlite3-0 libpq5 libexpat1 libssl3 libcairo2 fontconfig fonts-dejavu-core)
# The service behind its proxy, a registry in PostgreSQL, the unit file, the page in a browser, other people's readers of
# SVG and PDF, the lint of the API description.
test_packages=(curl nginx-light openssl postgresql systemd libxml2-utils poppler-utils chromium)
# The page: the model library compiled to WebAssembly, and what bundles its scripts.
page_packages=(clang-14 lld-14 wasi-libc libc++-14-dev-wasm32 libc++abi-14-dev-wasm32 libclang-rt-14-dev-wasm32)
lint_packages=(clang-format clang-tidy)

say() { printf 'agonic: %s\n' "$*" >&2; }
die() { say "$*"; exit 1; }

list_only=no
if [[ ${1:-} == --list ]]; then
  list_only=yes
  shift
fi
(($# > 0)) || die "name the groups wanted: build, page, run, test, lint"

wanted=()
# A Node.js from elsewhere stays as it is, if it is new enough.
add_node() {
  local major
  major=$(node --version 2>/dev/null | sed -n 's/^v\([0-9]*\)\..*/\1/p' || true)
  [[ ${major:-0} -ge 18 || " ${wanted[*]} " == *" nodejs "* ]] || wanted+=(nodejs)
  command -v npm >/dev/null || [[ " ${wanted[*]} " == *" npm "* ]] || wanted+=(npm)
}
for group in "$@"; do
  case $group in
    build) wanted+=("${build_packages[@]}") ;;
    run) wanted+=("${run_packages[@]}") ;;
    page)
      wanted+=("${page_packages[@]}")
      add_node
      ;;
    test)
      wanted+=("${test_packages[@]}")
      add_node
      ;;
    lint) wanted+=("${lint_packages[@]}") ;;
    *) die "no group of packages is called '$group': build, page, run, test, lint" ;;
  esac
done

if [[ $list_only == yes ]]; then
  printf '%s\n' "${wanted[@]}"
  exit 0
fi

command -v dpkg-query >/dev/null || die "this is no Debian system; install the like of: ${wanted[*]}"

installed=$(dpkg-query -W -f '${db:Status-Status} ${Package}\n' "${wanted[@]}" 2>/dev/null | sed -n 's/^installed //p' || true)
missing=()
for package in "${wanted[@]}"; do
  grep -qxF -- "$package" <<<"$installed" || missing+=("$package")
done

if ((${#missing[@]} == 0)); then
  say "packages ($*): all ${#wanted[@]} are installed"
  exit 0
fi

say "packages ($*): missing ${missing[*]}"
as_root=(env)
if [[ $(id -u) -ne 0 ]]; then
  command -v sudo >/dev/null ||
    die "neither root nor sudo: let an administrator run  apt-get install --no-install-recommends ${missing[*]}"
  as_root=(sudo)
fi
command_line=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get)
[[ ${AGONIC_INSTALL:-yes} != no ]] || die "not installed, because AGONIC_INSTALL=no"

say "packages: reading the package lists"
"${command_line[@]}" update -q
# Servers are wanted as programs for tests: where systemd runs they are kept from starting now and at boot.
still=()
for package in nginx-light:nginx postgresql:postgresql; do
  [[ " ${missing[*]} " == *" ${package%:*} "* && -d /run/systemd/system ]] || continue
  still+=("${package#*:}.service")
done
((${#still[@]} == 0)) || "${as_root[@]}" systemctl --runtime mask "${still[@]}"
say "packages: installing ${#missing[@]} with what they depend on"
"${command_line[@]}" install -q -y --no-install-recommends -o Dpkg::Use-Pty=0 "${missing[@]}"
if ((${#still[@]} > 0)); then
  "${as_root[@]}" systemctl --runtime unmask "${still[@]}"
  "${as_root[@]}" systemctl disable "${still[@]}"
fi
say "packages: installed"
