#!/bin/sh
# card as a user meets it: files of three kinds, one page each, also when a browser prints the HTML.
# Usage: card_test.sh AGONIC SOURCE_FOLDER
agonic=$1
source=$2
. "$source/tests/clients/common.sh"
place='42.283 -71.35 --date 2028-07-04 --height 1000'

one_page() { # a PDF
  command -v pdfinfo >/dev/null || { echo 'pdfinfo is not here: pages not counted'; return; }
  holds test "$(pdfinfo "$1" | sed -n 's/^Pages: *//p')" = 1
  pdfinfo "$1" | grep -q 'Page size: *59[45]\.[0-9]* x 84[12]\.*[0-9]* pts' || fail "$1 is not A4: $(pdfinfo "$1" | grep 'Page size')"
}

# shellcheck disable=SC2086
run card $place --name 'North ridge' -o card.pdf; exits 0; one_page card.pdf
if command -v pdftotext >/dev/null; then
  pdftotext -layout card.pdf card.txt
  # The published value: WMM2025 there and then, D -13.6891 (documentation of a general numerical package).
  holds grep -q '13.69° W (-13.69)' card.txt
  holds grep -q 'If it reads 014, it is set backwards' card.txt
fi
# shellcheck disable=SC2086
run card $place -o card.png; exits 0; holds test "$(head -c 4 card.png | tail -c 3)" = PNG
# shellcheck disable=SC2086
run card $place; exits 0; prints '<!DOCTYPE html>'; prints 'not to scale'
# shellcheck disable=SC2086
run card $place -o card.html; exits 0
run card --route "$source/tests/data/route.csv" --legs -o route.pdf; exits 0; one_page route.pdf
run card --route "$source/tests/data/route.csv" --legs -o route.html; exits 0; holds grep -q 'Set anew' route.html
run card 85.8 139 --date 2026-06-15; exits 1; says 'below 2000'; silent
run card 42.283 -71.35; exits 2; says 'date'
# shellcheck disable=SC2086
run card $place -o card.docx; exits 2; says 'html, pdf or png'
# shellcheck disable=SC2086
run card $place --route x.csv; exits 2; says 'a place and a route are both given'
# shellcheck disable=SC2086
run card $place --instrument BR-07; exits 2; says '--instruments'

# In a browser's print: one page as well. Its profile stays in the scratch folder.
if command -v chromium >/dev/null && command -v pdfinfo >/dev/null; then
  for page in card route; do
    timeout 120 chromium --headless --no-sandbox --disable-gpu --user-data-dir="$work/profile" --no-pdf-header-footer \
      --print-to-pdf="$work/$page-printed.pdf" "file://$work/$page.html" >/dev/null 2>&1
    last="chromium prints $page.html"
    if [ -s "$page-printed.pdf" ]; then one_page "$page-printed.pdf"; else fail 'it printed nothing'; fi
  done
else
  echo 'chromium or pdfinfo is not here: printing from a browser is not tried'
fi
finish
