#!/usr/bin/env bash
# check.sh [quick]: everything that must hold before a change is taken, from a bare Debian 12 on.
#
#   quick   dev build and the tests labelled quick: under a minute
#   (full)  dev with all tests; release with purity and end to end; clang; asan with all tests;
#           formatting; each fuzz target for FUZZ_SECONDS (60). This is what CI runs.
#
# Stages go on after a failed one, so that one run shows all. The last line is
# "check: N passed, N failed": ctest's tests over all stages and the fuzz targets; a build that
# fails is one more that failed.
# Exit 0 only when nothing failed. No network but apt-get's, and that only when a package is missing.
set -euo pipefail

cd "$(dirname "$0")/.."
mode=${1:-full}
case $mode in
quick | full) ;;
*)
    echo "usage: deploy/check.sh [quick]" >&2
    exit 2
    ;;
esac

jobs=${JOBS:-2}
fuzz_seconds=${FUZZ_SECONDS:-60}
passed=0
failed=0
failures=
logs=$(mktemp -d)
trap 'rm -rf "$logs"' EXIT

# fail NAME: one more that failed, named again at the end.
fail() {
    failed=$((failed + 1))
    failures="$failures $1"
}

# build PRESET [TARGET...]: configures and builds; counts when it fails.
build() {
    local preset=$1
    shift
    if cmake --preset "$preset" -DBARBEL_TESTS=ON >"$logs/configure" 2>&1 &&
        cmake --build "build/$preset" --parallel "$jobs" ${1+--target "$@"} >"$logs/build" 2>&1; then
        return 0
    fi
    tail -n 60 "$logs/configure"
    [ ! -e "$logs/build" ] || grep -v '^\[[0-9]*/[0-9]*\] \(Building\|Linking\)' "$logs/build" | tail -n 200
    fail "$preset:build"
    return 1
}

# run_tests PRESET CTEST-ARGUMENTS...: counts each test by what ctest's closing lines say.
run_tests() {
    local preset=$1 closing bad all
    shift
    ctest --test-dir "build/$preset" --parallel "$jobs" --output-on-failure --no-tests=error "$@" \
        2>&1 | tee "$logs/ctest" || true
    closing=$(grep -E '^[0-9]+% tests passed, [0-9]+ tests? failed out of [0-9]+' "$logs/ctest" || true)
    if [ -z "$closing" ]; then
        fail "$preset:ctest"
        return
    fi
    bad=$(echo "$closing" | sed -E 's/^.*, ([0-9]+) tests? failed.*$/\1/')
    all=$(echo "$closing" | sed -E 's/^.*out of ([0-9]+).*$/\1/')
    passed=$((passed + all - bad))
    failed=$((failed + bad))
    if [ "$bad" -gt 0 ]; then
        failures="$failures $(sed -nE "s/^[[:space:]]+[0-9]+ - ([^ ]+) \(.*\).*$/$preset:\1/p" \
            "$logs/ctest" | tr '\n' ' ')"
    fi
}

# fuzz_one NAME: a seed corpus is read, never written; what is found new lives in the build folder.
fuzz_one() {
    local name=$1 program seeds
    program=$(find build/fuzz -type f -perm -u+x -name "$name" | head -n 1)
    seeds=tests/fuzz/seeds/${name%_fuzz}
    [ -d "$seeds" ] || seeds=
    mkdir -p "build/fuzz/found/$name"
    "$program" -max_total_time="$fuzz_seconds" -timeout=10 -rss_limit_mb=1024 -print_final_stats=1 \
        -artifact_prefix="build/fuzz/found/$name-" "build/fuzz/found/$name" ${seeds:+"$seeds"} \
        >"$logs/$name" 2>&1
}

fuzz() {
    local targets name pids=() names=() i=0
    targets=$(find tests/fuzz -name '*_fuzz.c' 2>/dev/null | sed 's,.*/,,; s,\.c$,,' | sort)
    if [ -z "$targets" ]; then
        echo "tests/fuzz holds no *_fuzz.c"
        fail fuzz:none
        return
    fi
    # The words are names of targets: they are meant to be split.
    # shellcheck disable=SC2086
    build fuzz $targets || return 0
    collect() { # the oldest one still running
        if wait "${pids[$i]}"; then
            passed=$((passed + 1))
            echo "fuzz ${names[$i]}: $(grep -m1 'number_of_executed_units' "$logs/${names[$i]}" | tr -dc 0-9) texts"
        else
            tail -n 60 "$logs/${names[$i]}"
            fail "fuzz:${names[$i]}"
        fi
        i=$((i + 1))
    }
    for name in $targets; do
        [ $((${#pids[@]} - i)) -lt "$jobs" ] || collect
        fuzz_one "$name" &
        pids+=($!)
        names+=("$name")
    done
    while [ "$i" -lt "${#pids[@]}" ]; do collect; done
}

# stage NAME COMMAND...
stage() {
    local name=$1 begun=$SECONDS
    shift
    echo "== $name"
    rm -f "$logs/configure" "$logs/build"
    "$@"
    echo "== $name: $((SECONDS - begun)) s"
}

stage_packages() {
    deploy/packages.sh build test || {
        echo "check: 0 passed, 1 failed"
        exit 1
    }
}
stage_quick() { if build dev; then run_tests dev -L quick; fi; }
stage_dev() { if build dev; then run_tests dev -LE format; fi; }
stage_release() { if build release; then run_tests release -L 'architecture|e2e'; fi; }
stage_clang() { build clang || true; }
stage_asan() { if build asan; then run_tests asan -LE format; fi; }
stage_format() { run_tests dev -L format; }

stage packages stage_packages
if [ "$mode" = quick ]; then
    stage quick stage_quick
else
    stage dev stage_dev
    stage release stage_release
    stage clang stage_clang
    stage asan stage_asan
    stage format stage_format
    stage fuzz fuzz
fi

echo "took $SECONDS s"
[ -z "$failures" ] || echo "failed:$failures"
echo "check: $passed passed, $failed failed"
[ "$failed" -eq 0 ]
