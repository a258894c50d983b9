#!/usr/bin/env bash
# compile_fail_test.sh COMPILER ROOT FILE: FILE holds one line that must not compile and, under AGONIC_CORRECTED, its
# right form. The right form must compile, or the other proves nothing; the wrong one must be refused at that very line.
set -uo pipefail
compiler=$1 root=$2 file=$3
compile=("$compiler" -std=c++20 -fsyntax-only -Wall -Wextra -Wpedantic -Werror -I "$root")

line=$(grep -n '// must not compile$' "$file" | cut -d: -f1)
[[ $line =~ ^[0-9]+$ ]] || { echo "$file marks no single line with '// must not compile'"; exit 1; }

if ! said=$("${compile[@]}" -DAGONIC_CORRECTED "$file" 2>&1); then
  printf 'the corrected form does not compile:\n%s\n' "$said"
  exit 1
fi
if said=$(LC_ALL=C "${compile[@]}" "$file" 2>&1); then
  echo "$file:$line compiles and must not"
  exit 1
fi
if ! grep -q "$(basename "$file"):$line:[0-9]*: error:" <<<"$said" ||
  grep 'error:' <<<"$said" | grep -qv "$(basename "$file"):$line:"; then
  printf 'refused, but not at line %s alone:\n%s\n' "$line" "$said"
  exit 1
fi
echo "refused as it must be: $(grep -m1 'error:' <<<"$said")"
