#!/usr/bin/env bash
# What adding a core costs in a registry of a million samples: against an empty registry, and against git add + git commit on
# the same million. Both ratios in one run, pair by pair, medians of whole processes. Nothing is judged here.
#   tests/bench/run.sh [PAIRS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
coretally=$(realpath "${CORETALLY:-$here/../../build-test/bin/coretally}")
pairs=${1:-15}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export GIT_AUTHOR_NAME=Bench GIT_AUTHOR_EMAIL=bench@example.invalid GIT_COMMITTER_NAME=Bench CORETALLY_STATION=bench
export GIT_COMMITTER_EMAIL=bench@example.invalid HOME="$work"

echo "making a registry of 100 holes x 100 cores x 100 samples, by import"
awk 'BEGIN {
    print "site,hole,core,type,top_m,bottom_m,datum,recovered_m" > "cores.csv"
    print "site,hole,core,type,section,curated_m" > "sections.csv"
    print "site,hole,core,type,section,half,top_cm,bottom_cm,volume_cm3,purpose" > "samples.csv"
    for (hole = 1; hole <= 100; hole++)
        for (core = 1; core <= 100; core++) {
            id = "U" (1000 + hole) ",A," core ",H"
            print id "," (core - 1) * 9.5 "," core * 9.5 ",seafloor,9" > "cores.csv"
            for (section = 1; section <= 6; section++) print id "," section ",1.5" > "sections.csv"
            for (at = 0; at < 100; at++)
                print id "," at % 6 + 1 ",W," int(at / 6) * 8 "," int(at / 6) * 8 + 2 ",10,isotopes" > "samples.csv"
        }
}'
mkdir million empty
start() {
    (cd "$1" && "$coretally" start 901 >/dev/null 2>&1 && "$coretally" hole add U1001A --returns seafloor >/dev/null)
}
start empty
start million
(
    cd million
    for hole in $(seq 1002 1100); do "$coretally" hole add "U${hole}A" --returns seafloor >/dev/null; done
    for table in cores sections samples; do
        "$coretally" import $table ../$table.csv
    done
)
git clone -q million/registry.git clone
git -C clone config core.fsync all

now() { date +%s%N; }
time_of() { # nanoseconds of a command
    local begin
    begin=$(now)
    "$@" >/dev/null 2>&1
    echo $(($(now) - begin))
}
add_core() { # folder, number
    (cd "$1" && exec "$coretally" core add "U1001A-$2H" "$((($2 - 1) * 19))" +9.5 --datum seafloor --recovered 9 --sections 6x1.5)
}
git_commit() { # the same file as a core would be, added and committed by the git client
    cp clone/holes/U1001A/cores/0100.json "clone/holes/U1001A/cores/$1.json"
    git -C clone add "holes/U1001A/cores/$1.json"
    git -C clone commit -q -m "core $1"
}
: >ratios
for at in $(seq 1 "$pairs"); do
    number=$((200 + at))
    empty=$(time_of add_core empty $number)
    million=$(time_of add_core million $number)
    client=$(time_of git_commit $number)
    echo "$million $empty $client" >>ratios
done
[ "$(git --git-dir million/registry.git log --oneline --grep='^Act: core add' | wc -l)" = "$pairs" ] ||
    { echo "not every core was recorded" >&2; exit 1; }
median() { sort -n | awk '{ value[NR] = $1 } END { print value[int((NR + 1) / 2)] }'; }
echo "core add, median of $pairs: $(awk '{ print $1 / 1e6 }' ratios | median) ms at a million samples, $(awk '{ print $2 / 1e6 }' ratios | median) ms in an empty registry; git add + git commit $(awk '{ print $3 / 1e6 }' ratios | median) ms"
echo "ratio, million / empty registry: $(awk '{ print $1 / $2 }' ratios | median)   (asked: at most 1.5)"
echo "ratio, core add / git add + git commit on the million: $(awk '{ print $1 / $3 }' ratios | median)   (asked: below 1)"
