#!/usr/bin/env bash
# A pump log of ten million one-second rows and 100 000 bags of cuttings through it, in one run beside reading the same
# files with general tools: wc -l, an awk that adds up strokes, sqlite3's own import. Then single questions at three
# lengths of log, which must not grow with it. Prints seconds, ratios and peak memory; nothing is judged here.
#   tests/bench/lag.sh [ROWS] [BAGS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
. "$(dirname "$0")/large.bash"
rows=${1:-10000000}
bags=${2:-100000}

# Drilling at 20 m/h in stands of 28 m with connections of 5 minutes, two pumps and the booster; a stop of 6 h every 5 days.
echo "making a pump log of $rows rows and $bags bags"
awk -v rows="$rows" 'BEGIN {
    OFS = ","; print "time,bit_m,hole_m,strokes_1,strokes_2,strokes_B"
    hole = 2600
    for (at = 0; at < rows; at++) {
        cycle = at % 5340; stop = at % 432000 >= 410400
        if (cycle < 5040 && !stop) {
            one += 1; two += (at % 10 < 9); if (hole < 11000) hole += 0.00085
        }
        if (!stop && at % 10 < 7) three++
        day = int(at / 86400); second = at % 86400
        if (second == 0) date = strftime("%Y-%m-%d", 1767225600 + at, 1)
        printf "%sT%02d:%02d:%02dZ,%.3f,%.3f,%d,%d,%d\n", date, second / 3600, second / 60 % 60, second % 60, hole, hole, one, two, three
    }
}' >log.csv
awk -v rows="$rows" -v bags="$bags" 'BEGIN {
    print "hole,number,from,to"
    for (at = 1; at <= bags; at++) {
        from = 1767225600 + 86400 + int((rows - 90000) * at / (bags + 1))
        print "U0013A," at "," strftime("%Y-%m-%dT%H:%M:%SZ", from, 1) "," strftime("%Y-%m-%dT%H:%M:%SZ", from + 30, 1)
    }
}' >bags.csv
ls -l log.csv bags.csv | awk '{ print "  " $NF ": " int($5 / 1e6) " MB" }'

seconds=0
timed() { # what, command...: sets seconds; prints time and peak memory
    local what=$1
    shift
    /usr/bin/env time -f '%e %M' -o time.txt "$@" >out.txt 2>talk.txt || { cat talk.txt >&2; exit 1; }
    seconds=$(cut -d' ' -f1 time.txt)
    printf '%-52s %8.2f s  %7.0f MB\n' "$what" "$seconds" "$(awk '{ print $2 / 1024 }' time.txt)"
}
held() { awk -v a="$1" -v b="$2" -v what="$3" 'BEGIN { printf "  ratio %s: %.2f\n", what, a / b }'; }

setup() {
    "$coretally" start 901 >/dev/null 2>&1
    "$coretally" hole add U0013A --returns ship --seafloor 1000 --seafloor-by tagged --zone Z >/dev/null
    for pump in 1 2; do
        "$coretally" pump add U0013A $pump --from 2026-01-01T00:00:00Z --kind triplex --bore 6in --stroke 12in \
            --efficiency 97 --tolerance 2 >/dev/null
    done
    "$coretally" pump add U0013A B --from 2026-01-01T00:00:00Z --line booster --kind triplex --bore 6in --stroke 12in \
        --efficiency 97 >/dev/null
    "$coretally" well add U0013A --from 2026-01-01T00:00:00Z --inlet 1000 --shaker-delay 3min \
        --bores 'riser,0,1000,19.5in; casing,1000,2500,12.3in; open,2500,,12.25in,5,3mm' \
        --string 'collars,200,8in,2.81in; drill pipe,,5in,4.276in' >/dev/null
}
setup

timed "wc -l log.csv" wc -l log.csv
wc_s=$seconds
timed "awk, strokes added up" awk -F, '{ sum += $4 - last; last = $4 } END { print sum }' log.csv
awk_s=$seconds
timed "sqlite3, .import log.csv" sqlite3 log.db '.mode csv' '.import log.csv log'
sqlite_s=$seconds
timed "coretally log add" "$coretally" log add U0013A log.csv
held "$seconds" "$wc_s" "log add / wc -l"
held "$seconds" "$awk_s" "log add / awk"
held "$seconds" "$sqlite_s" "log add / sqlite3 import"
du -sm registry.git | awk '{ print "  registry: " $1 " MB" }'
timed "coretally log add, the same again" "$coretally" log add U0013A log.csv
timed "coretally import bags" "$coretally" import bags bags.csv --set 'doubtful = keep'
timed "coretally bag list, all $bags with bounds" "$coretally" bag list U0013A --csv
awk -F, 'NR > 1 && $4 == "" { missing++ } END { print "  rows " NR - 1 ", without a depth " missing + 0 }' out.txt
held "$seconds" "$sqlite_s" "bag list / sqlite3 import of the log alone"

# One question, 21 times, at the end of logs of a hundredth, a tenth and all of the rows.
for part in 100 10 1; do
    mkdir "part$part"
    (
        cd "part$part"
        setup
        head -n $((rows / part + 1)) ../log.csv >log.csv
        "$coretally" log add U0013A log.csv >/dev/null 2>&1
        last=$(tail -n 1 log.csv | cut -d, -f1)
        "$coretally" bag add U0013A "$last" --sure >/dev/null 2>&1
        for _ in $(seq 21); do
            begin=$(date +%s%N)
            "$coretally" lag at U0013A "$last" >/dev/null 2>&1
            echo $(($(date +%s%N) - begin))
        done | sort -n | awk -v rows=$((rows / part)) 'NR == 11 { printf "lag at, log of %d rows: median %.1f ms\n", rows, $1 / 1e6 }'
    )
done
