#!/usr/bin/env bash
# A PostgreSQL of its own for the tests: in a temporary folder, on a socket there, without a port. Nothing of another
# PostgreSQL on the machine is touched.
#
#   postgres.sh start FILE   writes the address into FILE (and the folder into FILE.folder)
#   postgres.sh stop FILE    ends it at once and removes the folder
#   postgres.sh pause FILE   stops its processes where they are; resume FILE lets them go on
set -uo pipefail
action=${1:-} file=${2:-}
[[ -n $action && -n $file ]] || { echo "usage: postgres.sh start|stop|pause|resume FILE"; exit 2; }

folder_of() { cat "$file.folder" 2>/dev/null; }
server_pid() { head -n 1 "$(folder_of)/data/postmaster.pid" 2>/dev/null; }
# PostgreSQL does not run as root; Debian's package brings an account for it.
as_owner() {
  if [[ $(id -u) -eq 0 ]]; then setpriv --reuid=postgres --regid=postgres --clear-groups -- "$@"; else "$@"; fi
}
programs=$(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -V | tail -n 1)

case $action in
  start)
    [[ -x $programs/initdb ]] || { echo "PostgreSQL is not installed: deploy/packages.sh test"; exit 1; }
    "$0" stop "$file"
    folder=$(mktemp -d /tmp/agonic-postgres.XXXXXX) || exit 1
    echo "$folder" >"$file.folder"
    [[ $(id -u) -ne 0 ]] || chown postgres:postgres "$folder"
    cd "$folder" || exit 1
    # What a test writes need not outlive the machine.
    as_owner "$programs/initdb" --pgdata "$folder/data" --auth trust --username agonic --encoding UTF8 --locale C \
      --no-sync >"$folder.log" 2>&1 &&
      as_owner "$programs/pg_ctl" --pgdata "$folder/data" --wait --timeout 60 --log "$folder/server.log" \
        --options "-k $folder -c listen_addresses='' -c fsync=off -c max_connections=50" start >>"$folder.log" 2>&1 ||
      { cat "$folder.log" "$folder/server.log" 2>/dev/null; exit 1; }
    rm -f "$folder.log"
    echo "postgresql://agonic@/postgres?host=$folder" >"$file"
    ;;
  stop)
    folder=$(folder_of)
    [[ -n $folder ]] || exit 0
    "$0" resume "$file"
    if [[ -f $folder/data/postmaster.pid ]]; then
      cd "$folder" && as_owner "$programs/pg_ctl" --pgdata "$folder/data" --mode immediate --wait stop >/dev/null 2>&1
    fi
    case $folder in /tmp/agonic-postgres.*) rm -rf "$folder" "$folder.log" ;; esac
    rm -f "$file" "$file.folder"
    ;;
  pause | resume)
    signal=-CONT
    [[ $action == resume ]] || signal=-STOP
    pid=$(server_pid)
    [[ -n $pid ]] || exit 0
    for child in $pid $(cat "/proc/$pid/task/$pid/children" 2>/dev/null); do kill "$signal" "$child" 2>/dev/null; done
    exit 0
    ;;
  *) exit 2 ;;
esac
