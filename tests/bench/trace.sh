#!/usr/bin/env bash
# A table of a million measurements keyed by sample name traced to depth, against the same join in sqlite3 (both read the table
# and write one with depths; sqlite3 has the depths ready in a table, and its import counts), and a single trace against an
# indexed lookup by name. One run, whole processes. Nothing is judged here.
#   tests/bench/trace.sh [PAIRS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
. "$(dirname "$0")/large.bash"
pairs=${1:-5}

echo "making 100 holes x 100 cores x 100 samples, by import, and a table of a million measurements in any order"
rows_of 1001 100 100 100
awk 'BEGIN {
    srand(1)
    print "id,name,value" > "measured.csv"
    for (row = 1; row <= 1000000; row++) {
        at = int(rand() * 100)
        printf "%d,\"U%dA-%dH-%dW, %d-%d cm\",%.3f\n", row, 1001 + int(rand() * 100), 1 + int(rand() * 100), at % 6 + 1, int(at / 6) * 8, int(at / 6) * 8 + 2, rand() > "measured.csv"
    }
}'
record_rows
"$coretally" hole list --csv >/dev/null
(echo "name,top,bottom" && for hole in $(seq 1001 1100); do "$coretally" sample list "U${hole}A" --csv | tail -n +2; done |
    awk -F'"' '{ split($3, cell, ","); sub(/^901-/, "", $2); print "\"" $2 "\"," cell[3] "," cell[4] }') >depths.csv
sqlite3 ready.db ".mode csv" ".import depths.csv depths" "create index by_name on depths(name)"

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
echo "a million rows: $(column 1) ms; sqlite3 join, import and all: $(column 2) ms; ratio $(ratio 1 2); depths that differ: $wrong"
echo "a single trace: $(column 3) ms; sqlite3, indexed: $(column 4) ms; ratio $(ratio 3 4)"
