#!/usr/bin/env bash
# Labels: what printing and looking through them costs, in a registry of 100 000 samples and in one of 100; and whether the
# labels of a hole of 10 000 samples still show their depth, against git reading the same files. One run, whole processes.
# Nothing is judged here.
#   tests/bench/label.sh [PAIRS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
coretally=$(realpath "${CORETALLY:-$here/../../build-test/bin/coretally}")
pairs=${1:-7}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export GIT_AUTHOR_NAME=Bench GIT_AUTHOR_EMAIL=bench@example.invalid GIT_COMMITTER_NAME=Bench CORETALLY_STATION=bench
export GIT_COMMITTER_EMAIL=bench@example.invalid HOME="$work"

make_registry() { # folder, holes, cores a hole
    mkdir "$1"
    awk -v holes="$2" -v cores="$3" -v folder="$1/" 'BEGIN {
        print "site,hole,core,type,top_m,bottom_m,datum,recovered_m" > folder "cores.csv"
        print "site,hole,core,type,section,curated_m" > folder "sections.csv"
        print "site,hole,core,type,section,half,top_cm,bottom_cm,volume_cm3,purpose" > folder "samples.csv"
        for (hole = 1; hole <= holes; hole++)
            for (core = 1; core <= cores; core++) {
                id = "U" (1000 + hole) ",A," core ",H"
                print id "," (core - 1) * 9.5 "," core * 9.5 ",seafloor,9" > folder "cores.csv"
                for (section = 1; section <= 6; section++) print id "," section ",1.5" > folder "sections.csv"
                for (at = 0; at < 100; at++)
                    print id "," at % 6 + 1 ",W," int(at / 6) * 8 "," int(at / 6) * 8 + 2 ",10,isotopes" > folder "samples.csv"
            }
    }'
    (
        cd "$1"
        "$coretally" start 901 >/dev/null 2>&1
        for hole in $(seq 1001 $((1000 + $2))); do "$coretally" hole add "U${hole}A" --returns seafloor >/dev/null; done
        for table in cores sections samples; do "$coretally" import $table $table.csv >/dev/null 2>&1; done
    )
}
echo "making 10 holes x 100 cores x 100 samples, and one core of 100"
make_registry large 10 100
make_registry small 1 1

time_of() { # nanoseconds of a command
    local begin
    begin=$(date +%s%N)
    "$@" >/dev/null 2>&1
    echo $(($(date +%s%N) - begin))
}
print_new() { (cd large && "$coretally" label print U1001A --new --what sample --out new.pdf); }
echo "printing 10 000 labels, one a page: $(($(time_of print_new) / 1000000)) ms"
print_core() { (cd "$1" && "$coretally" label print U1001A-1H --replace --out core.pdf); }
stale_core() { (cd "$1" && "$coretally" label list U1001A-1H --stale); }
stale_hole() { (cd large && "$coretally" label list U1001A --stale); }
read_files() {
    git -C large/registry.git ls-tree -r HEAD:holes/U1001A/cores | awk '{ print $3 }' |
        git -C large/registry.git cat-file --batch
}
trace_one() { (cd "$1" && "$coretally" trace 'U1001A-1H-1W, 0-2 cm'); }
: >times
for pair in $(seq "$pairs"); do
    echo "$(time_of print_core large) $(time_of print_core small) $(time_of stale_core large) $(time_of stale_core small)" \
        "$(time_of stale_hole) $(time_of read_files) $(time_of trace_one large) $(time_of trace_one small)" >>times
done
median() { sort -n | awk '{ all[NR] = $1 } END { print all[int((NR + 1) / 2)] }'; }
column() { awk -v at="$1" '{ print $at / 1e6 }' times | median; }
ratio() { awk -v a="$1" -v b="$2" '{ print $a / $b }' times | median; }
echo "one label printed: $(column 1) ms, in the small registry $(column 2) ms; ratio $(ratio 1 2)"
echo "stale labels of one core: $(column 3) ms, small $(column 4) ms; ratio $(ratio 3 4)"
echo "stale labels of a hole of 10 000: $(column 5) ms; git reading the same files $(column 6) ms; ratio $(ratio 5 6)"
echo "one labelled sample traced: $(column 7) ms, small $(column 8) ms; ratio $(ratio 7 8)"
