#!/usr/bin/env bash
# What a correction costs in a hole of a million samples: its preview, against git printing the same files and doing nothing
# with them; recording it with, against adding a core to the same hole and against the same correction in a small hole. What
# amending the seafloor of that hole and a section of it costs, which tell what they move. Nothing is judged here.
#   tests/bench/correction.sh [PAIRS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
coretally=$(realpath "${CORETALLY:-$here/../../build-test/bin/coretally}")
pairs=${1:-7}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export GIT_AUTHOR_NAME=Bench GIT_AUTHOR_EMAIL=bench@example.invalid GIT_COMMITTER_NAME=Bench CORETALLY_STATION=bench
export GIT_COMMITTER_EMAIL=bench@example.invalid HOME="$work"

echo "making a hole of 1000 cores x 1000 samples, and one of 10 x 10, by import"
awk 'function hole(id, cores, samples,    core, section, at) {
    for (core = 1; core <= cores; core++) {
        print id "," core ",H," 1000 + (core - 1) * 9.5 "," 1000 + core * 9.5 ",rig-floor,9" > "cores.csv"
        for (section = 1; section <= 6; section++) print id "," core ",H," section ",1.5" > "sections.csv"
        for (at = 0; at < samples; at++)
            print id "," core ",H," at % 6 + 1 ",W," int(at / 6) * 0.8 "," int(at / 6) * 0.8 + 0.5 ",10,isotopes" > "samples.csv"
    }
}
BEGIN {
    print "site,hole,core,type,top_m,bottom_m,datum,recovered_m" > "cores.csv"
    print "site,hole,core,type,section,curated_m" > "sections.csv"
    print "site,hole,core,type,section,half,top_cm,bottom_cm,volume_cm3,purpose" > "samples.csv"
    hole("U1001,A", 1000, 1000)
    hole("U1002,A", 10, 10)
}'
"$coretally" start 901 >/dev/null 2>&1
for hole in U1001A U1002A; do
    "$coretally" hole add $hole --returns seafloor --seafloor 1000 --seafloor-by tagged >/dev/null
done
for table in cores sections samples; do "$coretally" import $table $table.csv >/dev/null 2>&1; done
git -C registry.git gc -q

time_of() { # nanoseconds of a command
    local begin
    begin=$(date +%s%N)
    "$@" >/dev/null 2>&1
    echo $(($(date +%s%N) - begin))
}
print_all() {
    git -C registry.git ls-tree -r main holes/U1001A | awk '{ print $3 }' | git -C registry.git cat-file --batch
}
correct() { # hole, amount, further options
    "$coretally" correction add "$1" tally "+$2" --top 1001 --reason bench --supersedes standing "${@:3}"
}
add_core() {
    "$coretally" core add "U1001A-$1H" $((12000 + $1 * 10)) +9.5 --recovered 9 --sections 6x1.5 --sure
}
amend_hole() { # seafloor, further options: the whole hole moves
    "$coretally" hole amend U1001A --seafloor "$1" --reason bench --sure "${@:2}"
}
amend_section() { # core, length
    "$coretally" section amend "U1001A-$1H-2" --curated "$2" --reason bench --sure
}
: >times
for pair in $(seq "$pairs"); do
    echo "$(time_of correct U1001A "1.$pair" --dry-run) $(time_of print_all) $(time_of correct U1001A "2.$pair" --brief)" \
        "$(time_of add_core $((1000 + pair))) $(time_of correct U1002A "3.$pair" --brief)" \
        "$(time_of amend_hole "999.$pair" --dry-run) $(time_of amend_section $((100 + pair)) 1.4)" >>times
done
median() { sort -n | awk '{ all[NR] = $1 } END { print all[int((NR + 1) / 2)] }'; }
column() { awk -v at="$1" '{ print $at / 1e6 }' times | median; }
ratio() { awk -v a="$1" -v b="$2" '{ print $a / $b }' times | median; }
echo "preview, a million samples: $(column 1) ms; git cat-file --batch: $(column 2) ms; ratio $(ratio 1 2)"
echo "recording, --brief: $(column 3) ms; adding a core: $(column 4) ms; ratio $(ratio 3 4)"
echo "recording in a hole of 100 samples: $(column 5) ms; ratio $(ratio 3 5)"
echo "amending the seafloor, a million samples told to move: $(column 6) ms; against the preview of a correction: $(ratio 6 1)"
echo "amending a section of 1000 samples: $(column 7) ms; against adding a core: $(ratio 7 4)"
