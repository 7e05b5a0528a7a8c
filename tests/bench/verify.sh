#!/usr/bin/env bash
# A whole pass of verify over a million samples, against what git itself needs to read the same: git fsck, and git cat-file
# of every object, which parses nothing. Then verify of the last commit alone, as a hook asks it. One run, whole processes.
# Nothing is judged here.
#   tests/bench/verify.sh [PAIRS] [HOLES]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
coretally=$(realpath "${CORETALLY:-$here/../../build-test/bin/coretally}")
pairs=${1:-3}
holes=${2:-100}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export GIT_AUTHOR_NAME=Bench GIT_AUTHOR_EMAIL=bench@example.invalid GIT_COMMITTER_NAME=Bench CORETALLY_STATION=bench
export GIT_COMMITTER_EMAIL=bench@example.invalid HOME="$work"

echo "making $holes holes x 100 cores x 100 samples, by import"
awk -v holes="$holes" 'BEGIN {
    print "site,hole,core,type,top_m,bottom_m,datum,recovered_m" > "cores.csv"
    print "site,hole,core,type,section,curated_m" > "sections.csv"
    print "site,hole,core,type,section,half,top_cm,bottom_cm,volume_cm3,purpose" > "samples.csv"
    for (hole = 1; hole <= holes; hole++)
        for (core = 1; core <= 100; core++) {
            id = "U" (1000 + hole) ",A," core ",H"
            print id "," (core - 1) * 9.5 "," core * 9.5 ",seafloor,9" > "cores.csv"
            for (section = 1; section <= 6; section++) print id "," section ",1.5" > "sections.csv"
            for (at = 0; at < 100; at++)
                print id "," at % 6 + 1 ",W," int(at / 6) * 8 "," int(at / 6) * 8 + 2 ",10,isotopes" > "samples.csv"
        }
}'
"$coretally" start 901 >/dev/null 2>&1
for hole in $(seq 1001 $((1000 + holes))); do "$coretally" hole add "U${hole}A" --returns seafloor >/dev/null; done
for table in cores sections samples; do "$coretally" import $table $table.csv >/dev/null 2>&1; done
"$coretally" sample add 'U1001A-7H-1W,140-142' --volume 10 >/dev/null

time_of() { # nanoseconds of a command
    local begin
    begin=$(date +%s%N)
    "$@" >/dev/null 2>&1
    echo $(($(date +%s%N) - begin))
}
whole() { "$coretally" verify; }
quick() { "$coretally" verify --quick; }
last() { "$coretally" verify --since "$(git -C registry.git rev-parse main~1)"; }
fsck() { git -C registry.git fsck --strict --no-dangling; }
read_all() { git -C registry.git cat-file --batch --batch-all-objects --unordered; }
: >times
for pair in $(seq "$pairs"); do
    echo "$(time_of whole) $(time_of quick) $(time_of fsck) $(time_of read_all) $(time_of last)" >>times
done
median() { sort -n | awk '{ all[NR] = $1 } END { print all[int((NR + 1) / 2)] }'; }
column() { awk -v at="$1" '{ print $at / 1e6 }' times | median; }
ratio() { awk -v a="$1" -v b="$2" '{ print $a / $b }' times | median; }
echo "everything: $(column 1) ms; git fsck $(column 3) ms; ratio $(ratio 1 3); git cat-file of all $(column 4) ms; ratio $(ratio 1 4)"
echo "the state alone: $(column 2) ms; ratio to git fsck $(ratio 2 3)"
echo "the last commit, as a hook: $(column 5) ms; ratio to git fsck $(ratio 5 3)"
if [ -x /usr/bin/time ]; then
    /usr/bin/time -o memory -f "memory at most: %M kB" "$coretally" verify --quick >/dev/null 2>&1
    cat memory
else
    python3 -c 'import resource, subprocess, sys; subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL); print("memory at most:", resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss, "kB")' "$coretally" verify --quick
fi
