#!/usr/bin/env bash
# The history of a depth, the comparison of two states and the audit in a registry of a million samples, beside git's own walk over
# the same paths in the same run. Whole processes, medians. Nothing is judged here.
#   tests/bench/audit.sh [ROUNDS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
. "$(dirname "$0")/large.bash"
rounds=${1:-5}

echo "making 100 holes x 100 cores x 100 samples, by import, then a correction of each hole"
rows_of 1001 100 100 100 0
record_rows --seafloor 0 --seafloor-by tagged
git -C registry.git tag before
for hole in $(seq 1001 1100); do
    "$coretally" correction add "U${hole}A" tally +9.62 --top 1 --reason "joint missed" --brief >/dev/null 2>&1
done
git -C registry.git tag corrected
"$coretally" sample amend "U1050A-57H-5W, 40-42 cm" --mass 3 --reason "weighed" >/dev/null
echo "$(git -C registry.git rev-list --count HEAD) commits"

measure() { # words of the line, then the command
    local line=$1 round
    shift
    printf '%-58s ' "$line"
    for round in $(seq "$rounds"); do time_of "$@"; done | median | awk '{ printf "%.0f ms\n", $1 / 1e6 }'
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
