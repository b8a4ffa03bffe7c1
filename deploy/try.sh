#!/usr/bin/env bash
# try.sh: from a bare Debian 12 to a text answered, in one command. Root, or sudo, for packages.
#
#   1. installs the packages that are missing and builds build/release
#   2. plays a first spawn against a fresh farm, both sides shown
#   3. starts the daemon with a store of its own in a temporary folder, and a provider for it, both
#      on free ports of 127.0.0.1; sends a signed text over HTTP and shows the answer arriving
#   4. at a terminal: leaves you at a phone of that farm; otherwise stops what it started
#
# Exit 0: all of it worked. Nothing stays behind but build/release.
set -euo pipefail

cd "$(dirname "$0")/.."
owner=+447700900001
host=+447700900000 # the number that is texted
wait_s=20          # for anything that must happen
folder=
daemon=
provider=

say() { printf '\n== %s\n' "$*"; }

# stop PID: asks, waits 10 s at most, then ends it.
stop() {
    local i
    kill "$1" 2>/dev/null || return 0
    for ((i = 0; i < 100; i++)); do
        kill -0 "$1" 2>/dev/null || break
        sleep 0.1
    done
    kill -KILL "$1" 2>/dev/null || true
    wait "$1" 2>/dev/null || true
}

finish() {
    local status=$?
    trap - EXIT
    [ -z "$daemon" ] || stop "$daemon"
    [ -z "$provider" ] || stop "$provider"
    if [ "$status" -ne 0 ] && [ -n "$folder" ]; then
        echo "did not work. What the daemon and the provider said:" >&2
        cat "$folder/daemon.log" "$folder/provider.log" >&2 2>/dev/null || true
    fi
    [ -z "$folder" ] || rm -rf "$folder"
    exit "$status"
}
trap finish EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

# wait_for FILE PATTERN PID: prints the first line of FILE that matches, while PID lives.
wait_for() {
    local i
    for ((i = 0; i < wait_s * 10; i++)); do
        grep -m1 -E "$2" "$1" 2>/dev/null && return 0
        kill -0 "$3" 2>/dev/null || break
        sleep 0.1
    done
    echo "no line '$2' in $(basename "$1")" >&2
    return 1
}

secret() { (umask 077 && printf '%s\n' "$2" >"$1"); }
random_base64() { head -c 32 /dev/urandom | base64 -w 0; }

say "packages"
deploy/packages.sh build try

say "build"
cmake --preset release -DBARBEL_TESTS=OFF >/dev/null
cmake --build build/release --parallel

say "a first spawn, rehearsed: > comes in, < goes out"
build/release/barbel rehearse tests/rehearsals/first-spawn

say "the daemon, and a provider for it"
folder=$(mktemp -d)
mkdir -p "$folder/profiles/secrets"
secret "$folder/profiles/secrets/json-send" "$(random_base64)"
secret "$folder/profiles/secrets/json-in" "whsec_$(random_base64)"

/usr/bin/python3 -B tests/tools/provider.py --port 0 --record "$folder/taken" --seconds 3600 >"$folder/provider.log" 2>&1 &
provider=$!
provider_port=$(wait_for "$folder/provider.log" '^port [0-9]+' "$provider" | sed -E 's/port ([0-9]+)/\1/')

sed -E "s,http://127\.0\.0\.1:[0-9]+/,http://127.0.0.1:$provider_port/," deploy/profiles/json.conf \
    >"$folder/profiles/json.conf"
cat >"$folder/settings.conf" <<END
store = "$folder/barbel.db";
listen = { address = "127.0.0.1"; port = 0; };
host = { address = "127.0.0.1"; port = 0; };
grammar = "$PWD/build/release/grammar";
profiles = ( "$folder/profiles/json.conf" );
country = "GB";
zone = "UTC";
language = "en";
countries = ( "GB" );
END
cat fixtures/farm.conf >>"$folder/settings.conf"
build/release/barbel check --settings "$folder/settings.conf"
build/release/barbel serve --settings "$folder/settings.conf" 2>"$folder/daemon.log" &
daemon=$!
listening=$(wait_for "$folder/daemon.log" 'event=listening' "$daemon")
port=$(echo "$listening" | sed -E 's/.* port=([0-9]+).*/\1/')
echo "barbel listens on 127.0.0.1:$port, the provider on 127.0.0.1:$provider_port"

text="inject f3 1.2kg t24"
say "a text over HTTP: $owner > $text"
/usr/bin/python3 -B tests/tools/source.py --url "http://127.0.0.1:$port/in/json" \
    --secret-file "$folder/profiles/secrets/json-in" --from "$owner" --to "$host" --text "$text"
echo "the answer, as the provider took it:"
wait_for "$folder/taken" 'F3' "$daemon" | sed -E 's/.*"text": "([^"]*)".*/< \1/'

if [ -t 0 ] && [ -t 1 ]; then
    say "your turn: you are $owner. HELP lists what you can text; end with Ctrl-D"
    build/release/barbel phone --settings "$folder/settings.conf" --as "$owner"
fi
say "done"
