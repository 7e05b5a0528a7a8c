#!/usr/bin/env bash
# What adding a core costs in a registry of a million samples: against an empty registry, and against git add + git commit on
# the same million. Both ratios in one run, pair by pair, medians of whole processes. Nothing is judged here.
#   tests/bench/run.sh [PAIRS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
. "$(dirname "$0")/large.bash"
pairs=${1:-15}

echo "making a registry of 100 holes x 100 cores x 100 samples, by import"
mkdir million empty
(cd million && rows_of 1001 100 100 100 && record_rows)
(cd empty && "$coretally" start 901 >/dev/null 2>&1 && "$coretally" hole add U1001A --returns seafloor >/dev/null)
git clone -q million/registry.git clone
git -C clone config core.fsync all

add_core() { # folder, number
    (cd "$1" && exec "$coretally" core add "U1001A-$2H" "$((($2 - 1) * 19))" +9.5 --datum seafloor --recovered 9 --sections 6x1.5)
}
git_commit() { # the same file as a core would be, added and committed by the git client
    cp clone/holes/U1001A/cores/0100.json "clone/holes/U1001A/cores/$1.json"
    git -C clone add "holes/U1001A/cores/$1.json"
    git -C clone commit -q -m "core $1"
}
: >times
for at in $(seq 1 "$pairs"); do
    number=$((200 + at))
    empty=$(time_of add_core empty $number)
    million=$(time_of add_core million $number)
    client=$(time_of git_commit $number)
    echo "$million $empty $client" >>times
done
[ "$(git --git-dir million/registry.git log --oneline --grep='^Act: core add' | wc -l)" = "$pairs" ] ||
    { echo "not every core was recorded" >&2; exit 1; }
echo "core add, median of $pairs: $(column 1) ms at a million samples, $(column 2) ms in an empty registry; git add + git commit $(column 3) ms"
echo "ratio, million / empty registry: $(ratio 1 2)   (asked: at most 1.5)"
echo "ratio, core add / git add + git commit on the million: $(ratio 1 3)   (asked: below 1)"
