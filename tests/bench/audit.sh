#!/usr/bin/env bash
# The history of a depth, the comparison of two states and the audit in a registry of a million samples, beside git's own walk over
# the same paths in the same run. Whole processes, medians. Nothing is judged here.
#   tests/bench/audit.sh [ROUNDS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
coretally=$(realpath "${CORETALLY:-$here/../../build-test/bin/coretally}")
rounds=${1:-5}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export GIT_AUTHOR_NAME=Bench GIT_AUTHOR_EMAIL=bench@example.invalid GIT_COMMITTER_NAME=Bench CORETALLY_STATION=bench
export GIT_COMMITTER_EMAIL=bench@example.invalid HOME="$work"

echo "making 100 holes x 100 cores x 100 samples, by import, then a correction of each hole"
awk 'BEGIN {
    print "site,hole,core,type,top_m,bottom_m,datum,recovered_m" > "cores.csv"
    print "site,hole,core,type,section,curated_m" > "sections.csv"
    print "site,hole,core,type,section,half,top_cm,bottom_cm,volume_cm3,purpose" > "samples.csv"
    for (hole = 1; hole <= 100; hole++)
        for (core = 1; core <= 100; core++) {
            id = "U" (1000 + hole) ",A," core ",H"
            print id "," (core - 1) * 9.5 "," core * 9.5 ",rig-floor,9" > "cores.csv"
            for (section = 1; section <= 6; section++) print id "," section ",1.5" > "sections.csv"
            for (at = 0; at < 100; at++)
                print id "," at % 6 + 1 ",W," int(at / 6) * 8 "," int(at / 6) * 8 + 2 ",10,isotopes" > "samples.csv"
        }
}'
"$coretally" start 901 >/dev/null 2>&1
for hole in $(seq 1001 1100); do "$coretally" hole add "U${hole}A" --returns seafloor --seafloor 0 --seafloor-by tagged >/dev/null; done
for table in cores sections samples; do "$coretally" import $table $table.csv >/dev/null 2>&1; done
git -C registry.git tag before
for hole in $(seq 1001 1100); do
    "$coretally" correction add "U${hole}A" tally +9.62 --top 0 --reason "joint missed" --brief >/dev/null 2>&1
done
git -C registry.git tag corrected
"$coretally" sample amend "U1050A-57H-5W, 40-42 cm" --mass 3 --reason "weighed" >/dev/null
echo "$(git -C registry.git rev-list --count HEAD) commits"

time_of() { # nanoseconds of a command
    local begin
    begin=$(date +%s%N)
    "$@" >/dev/null 2>&1
    echo $(($(date +%s%N) - begin))
}
median() { sort -n | awk '{ all[NR] = $1 } END { printf "%.0f ms\n", all[int((NR + 1) / 2)] / 1e6 }'; }
measure() { # words of the line, then the command
    local line=$1 round
    shift
    printf '%-58s ' "$line"
    for round in $(seq "$rounds"); do time_of "$@"; done | median
}
measure "history of a sample" "$coretally" history "U1050A-57H-3W, 40-42 cm"
measure "  git log over the same paths" git -C registry.git log --first-parent --format=%H -- holes/U1050A/hole.json \
    holes/U1050A/corrections holes/U1050A/cores/0057.json holes/U1050A/cores/0057.samples.json
measure "compare, one sample amended" "$coretally" compare corrected
measure "compare, one hole of 10 000 samples moved" "$coretally" compare before --hole U1050A
measure "compare, a million samples moved" "$coretally" compare before
measure "  the same, sample by sample" "$coretally" compare before --each --csv
measure "  git diff of the two states" git -C registry.git diff --stat before HEAD
measure "audit of one hole" "$coretally" audit U1050A --out one.html --replace
measure "audit of all" "$coretally" audit --from before --out all.html --replace
