#!/bin/bash
# SPDX-License-Identifier: MIT
# Builds coretally and replays an invented expedition into example-expedition/out/.
#   bash example-expedition/run.sh                              builds first
#   CORETALLY=/path/to/coretally bash example-expedition/run.sh uses a ready program
set -eu

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
top=$(dirname "$here")
out=$here/out
packages="build-essential cmake pkg-config libgit2-dev libcjson-dev libpopt-dev libcsv-dev libpango1.0-dev libcairo2-dev \
libzint-dev zlib1g-dev libunistring-dev fonts-dejavu-core git"

say() { printf '== %s\n' "$*"; }
fail() {
    printf 'run.sh: %s\n' "$*" >&2
    exit 1
}

missing_packages() { # of the names given
    local name
    for name in "$@"; do
        [ "$(dpkg-query -W -f '${db:Status-Status}' "$name" 2>/dev/null)" = installed ] || printf ' %s' "$name"
    done
}

install_packages() {
    local missing
    if ! command -v dpkg-query >/dev/null; then
        say "this is not a Debian system; the packages are called there: $packages"
        return
    fi
    # shellcheck disable=SC2086
    missing=$(missing_packages "$@")
    [ -n "$missing" ] || return 0
    if [ "$(id -u)" -ne 0 ]; then
        fail "these packages are missing; type:  sudo apt-get install$missing"
    fi
    say "installing$missing"
    # shellcheck disable=SC2086
    DEBIAN_FRONTEND=noninteractive apt-get install -y -q $missing >/dev/null 2>&1 ||
        { apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -y -q $missing; } ||
        fail "could not install$missing; look at the lines above"
}

build() { # log
    say "building into build/ (about half a minute the first time)"
    if cmake -S "$top" -B "$top/build" >"$1" 2>&1 && cmake --build "$top/build" -j"$(nproc)" >>"$1" 2>&1; then
        return
    fi
    tail -n 30 "$1" >&2
    fail "the build failed; its last lines stand above"
}

if [ -n "${CORETALLY:-}" ]; then
    program=$(cd "$(dirname "$CORETALLY")" && pwd)/$(basename "$CORETALLY")
    [ -x "$program" ] || fail "CORETALLY=$CORETALLY is not a program that can be run"
    install_packages git
else
    # shellcheck disable=SC2086
    install_packages $packages
    log=$(mktemp)
    trap 'rm -f "$log"' EXIT
    build "$log"
    program=$(find "$top/build" -type f -name coretally -perm -u+x | head -n 1)
    [ -n "$program" ] || fail "the build made no program called coretally"
fi
say "program: $("$program" --version 2>/dev/null | head -n 1 || true) at $program"

say "replaying the expedition into example-expedition/out/ (wiped first)"
rm -rf "$out" 2>/dev/null || fail "could not empty $out; was it made by another user?"
mkdir "$out" || fail "could not make $out; is the folder writable?"

# The user's own git settings, registry and language must not colour the example.
cd "$out"
unset CORETALLY_REGISTRY GIT_DIR GIT_WORK_TREE GIT_INDEX_FILE
export CORETALLY=$program GIT_CONFIG_GLOBAL=/dev/null GIT_CONFIG_NOSYSTEM=1 TZ=UTC LC_ALL=C.UTF-8 NO_COLOR=1
if ! bash "$here/story.sh" >session.txt 2>&1; then
    tail -n 15 session.txt >&2
    fail "the story stopped; all that it said is in example-expedition/out/session.txt"
fi

say "done: $(git --git-dir=registry.git rev-list --count HEAD) commits. To read:"
cat <<END
   example-expedition/out/reports/audit.html    the audit: open it in a browser, or print it
   example-expedition/out/labels/               labels as they were printed; scan one with a telephone
   example-expedition/out/session.txt           every command as typed, and what it said
   example-expedition/out/reports/              cores, samples, recovery, cuttings, corrections, stale labels: text and CSV
   example-expedition/out/registry.git          the registry: git -C example-expedition/out/registry.git log --stat
== next, from this folder:
   export CORETALLY_REGISTRY='$out/registry.git'
   '$program' trace 'U0012A-6X-2W, 10-12 cm'          what is known of a sample, and whether its label still holds
   '$program' explain U0013A-BAG3                     a bag of cuttings, step by step through the lag
   '$program' history 'U0012A-6X-2W, 10-12 cm'        what became of one depth, act by act
   '$program' label print U0012A --stale              labels to print anew
   '$program' verify                                  is everything as it was recorded?
END
