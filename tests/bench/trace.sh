#!/usr/bin/env bash
# A table of a million measurements keyed by sample name traced to depth, against the same join in sqlite3 (both read the table
# and write one with depths; sqlite3 has the depths ready in a table, and its import counts), and a single trace against an
# indexed lookup by name. One run, whole processes. Nothing is judged here.
#   tests/bench/trace.sh [PAIRS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
coretally=$(realpath "${CORETALLY:-$here/../../build-test/bin/coretally}")
pairs=${1:-5}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export GIT_AUTHOR_NAME=Bench GIT_AUTHOR_EMAIL=bench@example.invalid GIT_COMMITTER_NAME=Bench CORETALLY_STATION=bench
export GIT_COMMITTER_EMAIL=bench@example.invalid HOME="$work"

echo "making 100 holes x 100 cores x 100 samples, by import, and a table of a million measurements in any order"
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
    srand(1)
    print "id,name,value" > "measured.csv"
    for (row = 1; row <= 1000000; row++) {
        at = int(rand() * 100)
        printf "%d,\"U%dA-%dH-%dW, %d-%d cm\",%.3f\n", row, 1001 + int(rand() * 100), 1 + int(rand() * 100), at % 6 + 1, int(at / 6) * 8, int(at / 6) * 8 + 2, rand() > "measured.csv"
    }
}'
"$coretally" start 901 >/dev/null 2>&1
for hole in $(seq 1001 1100); do "$coretally" hole add "U${hole}A" --returns seafloor >/dev/null; done
for table in cores sections samples; do "$coretally" import $table $table.csv >/dev/null 2>&1; done
"$coretally" hole list --csv >/dev/null
(echo "name,top,bottom" && for hole in $(seq 1001 1100); do "$coretally" sample list "U${hole}A" --csv | tail -n +2; done |
    awk -F'"' '{ split($3, cell, ","); sub(/^901-/, "", $2); print "\"" $2 "\"," cell[3] "," cell[4] }') >depths.csv
sqlite3 ready.db ".mode csv" ".import depths.csv depths" "create index by_name on depths(name)"

time_of() { # nanoseconds of a command
    local begin
    begin=$(date +%s%N)
    "$@" >/dev/null 2>&1
    echo $(($(date +%s%N) - begin))
}
many() { "$coretally" trace --file measured.csv --scale CSF-A >traced.csv; }
join_many() {
    rm -f join.db
    sqlite3 join.db ".mode csv" ".import depths.csv depths" ".import measured.csv measured" \
        "create index by_name on depths(name)" ".headers on" \
        "select m.*, d.top, d.bottom from measured m left join depths d on d.name = m.name order by m.rowid" >joined.csv
}
single() { "$coretally" trace "U1050A-57H-3W, 40-42 cm"; }
lookup() { sqlite3 ready.db "select * from depths where name = 'U1050A-57H-3W, 40-42 cm'"; }
: >times
for pair in $(seq "$pairs"); do
    echo "$(time_of many) $(time_of join_many) $(time_of single) $(time_of lookup)" >>times
done
wrong=$(paste -d, <(tail -n +2 traced.csv | awk -F'"' '{ split($5, cell, ","); print cell[2] }') <(tail -n +2 joined.csv | awk -F, '{ print $(NF - 1) }') | awk -F, '$1 != $2' | wc -l)
median() { sort -n | awk '{ all[NR] = $1 } END { print all[int((NR + 1) / 2)] }'; }
column() { awk -v at="$1" '{ print $at / 1e6 }' times | median; }
ratio() { awk -v a="$1" -v b="$2" '{ print $a / $b }' times | median; }
echo "a million rows: $(column 1) ms; sqlite3 join, import and all: $(column 2) ms; ratio $(ratio 1 2); depths that differ: $wrong"
echo "a single trace: $(column 3) ms; sqlite3, indexed: $(column 4) ms; ratio $(ratio 3 4)"
