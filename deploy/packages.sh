#!/bin/sh
# packages.sh SECTION...: installs what is missing of those sections of packages.txt, and nothing
# when nothing is missing (then it needs neither root nor network). A failed install is a failure.
set -eu

here=$(cd "$(dirname "$0")" && pwd)

wanted=$(awk -v sections=" $* " '
    { sub(/#.*/, ""); gsub(/[ \t]/, "") }
    /:$/ { inside = index(sections, " " substr($0, 1, length($0) - 1) " "); next }
    inside && length { print }' "$here/packages.txt" | sort -u)
if [ -z "$wanted" ]; then
    echo "packages.sh: no section of packages.txt named: $*" >&2
    exit 2
fi
if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
    echo "packages.sh: this is no Debian; install by yourself: $(echo "$wanted" | tr '\n' ' ')" >&2
    exit 1
fi

missing=
for package in $wanted; do
    state=$(dpkg-query -W -f '${Status}' "$package" 2>/dev/null || true)
    [ "$state" = "install ok installed" ] || missing="$missing $package"
done
[ -n "$missing" ] || exit 0

root=
if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null; then
        echo "packages.sh: missing, and only root can install:$missing" >&2
        exit 1
    fi
    root="sudo"
fi
echo "installing:$missing"
export DEBIAN_FRONTEND=noninteractive
$root apt-get -qq -o Acquire::Retries=3 update
# The words are package names: they are meant to be split.
# shellcheck disable=SC2086
$root env DEBIAN_FRONTEND=noninteractive \
    apt-get -qq -y -o Acquire::Retries=3 -o Dpkg::Use-Pty=0 install --no-install-recommends $missing
