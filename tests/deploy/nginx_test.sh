#!/usr/bin/env bash
# The site of deploy/nginx, as shipped, in front of a real agonicd: only addresses and paths are put in their places.
# Everything listens on loopback or on sockets in a folder of its own, and ends by its own process id.
#
#   nginx_test.sh ROOT AGONICD        exit 77: no nginx here
set -uo pipefail
root=$1 agonicd=$2

nginx=$(command -v nginx || command -v /usr/sbin/nginx) || { echo "nginx is not installed"; exit 77; }
for tool in curl openssl; do command -v "$tool" >/dev/null || { echo "$tool is not installed"; exit 77; }; done

work=$(mktemp -d)
nginx_pid='' agonicd_pid=''
finish() {
  [[ -z $nginx_pid ]] || { kill -QUIT "$nginx_pid" 2>/dev/null && wait "$nginx_pid" 2>/dev/null; }
  [[ -z $agonicd_pid ]] || { kill -TERM "$agonicd_pid" 2>/dev/null && wait "$agonicd_pid" 2>/dev/null; }
  rm -rf "$work"
}
trap finish EXIT

failures=0
expect() { # what, condition as a command
  local what=$1
  shift
  if ! "$@"; then
    echo "FAIL $what"
    failures=$((failures + 1))
  fi
}
give_up() {
  echo "FAIL $1"
  tail -n 20 "$work"/*.log "$work"/agonicd.* 2>/dev/null
  exit 1
}
wait_for() { # file
  for ((i = 0; i < 300; ++i)); do
    [[ -s $1 || -S $1 ]] && return 0
    sleep 0.1
  done
  return 1
}

"$agonicd" --port 0 --state-dir "$work/state" --port-file "$work/port" >"$work/agonicd.out" 2>"$work/agonicd.err" &
agonicd_pid=$!
wait_for "$work/port" || give_up "agonicd wrote no port"
port=$(<"$work/port")

openssl req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=localhost \
  -keyout "$work/key.pem" -out "$work/chain.pem" 2>/dev/null || give_up "no certificate for the test"

sed -e "s#127\.0\.0\.1:8080#127.0.0.1:$port#" \
  -e "s#listen 443 #listen unix:$work/tls.sock #" -e "s#listen 80;#listen unix:$work/plain.sock;#" \
  -e "s#/etc/agonic/tls/#$work/#; s#/var/log/nginx/agonic.log#$work/access.log#" \
  "$root/deploy/nginx/agonic.conf" >"$work/site.conf"
cat >"$work/nginx.conf" <<CONF
daemon off;
pid $work/nginx.pid;
error_log $work/error.log info;
worker_processes 1;
events { worker_connections 256; }
http {
  client_body_temp_path $work/body;
  proxy_temp_path $work/proxy;
  fastcgi_temp_path $work/fastcgi;
  uwsgi_temp_path $work/uwsgi;
  scgi_temp_path $work/scgi;
  include $work/site.conf;
}
CONF
[[ $(id -u) -ne 0 ]] || sed -i "1i user $(id -un) $(id -gn);" "$work/nginx.conf"
"$nginx" -t -q -c "$work/nginx.conf" -e "$work/error.log" || give_up "nginx refuses the site"
"$nginx" -c "$work/nginx.conf" -e "$work/error.log" 2>"$work/nginx.log" &
nginx_pid=$!
wait_for "$work/tls.sock" || give_up "nginx did not start"

ask() { # curl options and a path: body to $work/body.txt, headers to $work/head.txt, the status printed
  curl -sS -k --max-time 30 --unix-socket "$work/tls.sock" -o "$work/body.txt" -D "$work/head.txt" -w '%{http_code}' "$@"
}
header() { grep -i "^$1:" "$work/head.txt" | tr -d '\r' | sed 's/^[^:]*: *//'; }
is_problem() { # status
  [[ $(header content-type) == application/problem+json* ]] && grep -q "\"status\": *$1\b" "$work/body.txt" &&
    grep -q '"title"' "$work/body.txt"
}
site=https://localhost

# A lookup passes. The value is the documentation example of the WMM2025 release: D is -13.69 on 4 July 2028.
expect "a lookup through the proxy is 200" \
  [ "$(ask "$site/v1/declination?lat=42.28300&lon=-71.35&date=2028-07-04&height_m=1000")" = 200 ]
expect "the lookup gives D -13.689" grep -q '"declination_deg": *-13\.689' "$work/body.txt"

# A batch passes, by length and in chunks, and gives the bytes the service gives without a proxy.
batch="$root/tests/data/notes.csv"
curl -sS --max-time 30 -H 'Content-Type: text/csv' --data-binary "@$batch" -o "$work/direct.csv" "http://127.0.0.1:$port/v1/correct"
expect "a batch through the proxy is 200" [ "$(ask -H 'Content-Type: text/csv' --data-binary "@$batch" "$site/v1/correct")" = 200 ]
expect "a batch through the proxy has the same bytes as without" cmp -s "$work/direct.csv" "$work/body.txt"
expect "a batch in chunks is 200" \
  [ "$(ask -H 'Content-Type: text/csv' -H 'Transfer-Encoding: chunked' -T "$batch" -X POST "$site/v1/correct")" = 200 ]
expect "a batch in chunks has the same bytes" cmp -s "$work/direct.csv" "$work/body.txt"
head -c 3000000 /dev/zero | tr '\0' ' ' >"$work/large"
expect "a batch may be larger than other bodies" [ "$(ask -H 'Content-Type: text/csv' --data-binary "@$work/large" "$site/v1/correct")" != 413 ]

# A document worked whole passes as well, and may be larger than other bodies.
day="$root/tests/data/observatory-day.iaga"
expect "an observatory's day through the proxy is 200" \
  [ "$(ask -H 'Content-Type: text/plain' --data-binary "@$day" "$site/v1/swing?time=2026-06-15T13:05Z")" = 200 ]
expect "a document may be larger than other bodies" \
  [ "$(ask -H 'Content-Type: text/plain' --data-binary "@$work/large" "$site/v1/swing?time=2026-06-15T13:05Z")" = 400 ]

# Errors of the service and of the proxy are both problem+json.
status=$(ask "$site/v1/declination?lat=95&lon=-71.35&date=2028-07-04")
expect "latitude 95 is the caller's fault" [ "${status:0:1}" = 4 ]
expect "latitude 95 is a problem" is_problem "$status"
expect "a body too large is 413" [ "$(ask --data-binary "@$work/large" "$site/v1/declination")" = 413 ]
expect "413 is a problem" is_problem 413
expect "a target too long is 414" [ "$(ask "$site/v1/declination?lat=42.28300&place=$(head -c 9000 /dev/zero | tr '\0' x)" --http1.1)" = 414 ]
expect "414 is a problem" is_problem 414
expect "header fields too large are 431" [ "$(ask --http1.1 -H "X-A: $(head -c 9000 /dev/zero | tr '\0' x)" "$site/")" = 431 ]
expect "431 is a problem" is_problem 431
expect "metrics are hidden" [ "$(ask "$site/metrics")" = 404 ]
expect "404 is a problem" is_problem 404

# The registry is closed to the proxy until a key has been made, and then opens to the key.
expect "without a key the registry is closed" [ "$(ask "$site/v1/instruments")" = 403 ]
key=$(curl -sS --max-time 30 -H "Authorization: Bearer $(<"$work/state/operator.key")" -H 'Content-Type: application/json' \
  -d '{"team":"survey","name":"test"}' "http://127.0.0.1:$port/v1/keys" | sed -n 's/.*"key":"\([^"]*\)".*/\1/p')
expect "a key is made" [ "${#key}" = 50 ]
expect "without it the registry asks for it" [ "$(ask "$site/v1/instruments")" = 401 ]
expect "with it the registry is open" [ "$(ask -H "Authorization: Bearer $key" "$site/v1/instruments")" = 200 ]

# Plain HTTP is sent on, without the arguments.
curl -sS --max-time 30 --unix-socket "$work/plain.sock" -o /dev/null -D "$work/head.txt" "http://localhost/v1/declination?lat=42.28300&lon=-71.35"
expect "plain HTTP is sent on to TLS without arguments" [ "$(header location)" = https://localhost/v1/declination ]

# More than a fair share is 429, with a time to come back.
for ((i = 0; i < 300; ++i)); do echo "url = \"$site/healthz?lat=42.28300&lon=-71.35\""; echo 'output = /dev/null'; done >"$work/many"
curl -sS -k --max-time 60 --unix-socket "$work/tls.sock" --parallel --parallel-max 20 -K "$work/many" -w '%{http_code} %{content_type}\n' >"$work/codes" 2>/dev/null
expect "a flood is partly refused with 429, as a problem" grep -q '^429 application/problem+json' "$work/codes"
expect "a flood is partly served" grep -q '^200 ' "$work/codes"
sleep 1

# With the service gone the proxy says so, as a problem.
kill -TERM "$agonicd_pid"
wait "$agonicd_pid"
expect "agonicd ends well" [ $? = 0 ]
agonicd_pid=''
expect "without the service it is 502" [ "$(ask "$site/v1/declination?lat=42.28300&lon=-71.35&date=2028-07-04")" = 502 ]
expect "502 is a problem" is_problem 502
expect "502 says when to try again" [ "$(header retry-after)" = 5 ]

kill -QUIT "$nginx_pid"
wait "$nginx_pid"
nginx_pid=''

# Nothing written by anyone names a place: not in the arguments of good calls, of refused ones, of failed ones.
expect "the access log names the call" grep -q '"path":"/v1/declination"' "$work/access.log"
expect "the access log counts the refused" grep -q '"status":429' "$work/access.log"
expect "no log holds a key" [ -z "$(grep -l 'agonic_[A-Za-z0-9_-]\{20,\}' "$work"/*.log "$work"/agonicd.* 2>/dev/null)" ]
expect "no log holds a coordinate" [ -z "$(grep -lE '42\.28300|-71\.35|lat=|lon=' "$work"/*.log "$work"/agonicd.* 2>/dev/null)" ]

((failures == 0)) && echo "nginx: lookup, batch, errors and logs are as promised"
exit $((failures > 0))
