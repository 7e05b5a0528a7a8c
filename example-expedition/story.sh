#!/bin/bash
# SPDX-License-Identifier: MIT
# Expedition 901 as its stations typed it. Vessel, site, hole and people are invented.
# run.sh runs this in example-expedition/out/; each act has its own pinned clock, so that every commit is the same
# on every machine. A command is printed before it runs. "refused" marks the ones that the program must not accept.
set -eu

program=${CORETALLY:?set CORETALLY to the program}
tables=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)

awk -v day=9 -f "$tables/pump_log.awk" > pump-log-9-march.csv
awk -v day=10 -f "$tables/pump_log.awk" > pump-log-10-march.las

quoted() {
    local word
    for word in "$@"; do
        case $word in
        *[!A-Za-z0-9_.,:+/=-]* | '') printf " '%s'" "${word//\'/\'\\\'\'}" ;;
        *) printf ' %s' "$word" ;;
        esac
    done
}

coretally() {
    printf '$ coretally%s\n' "$(quoted "$@")"
    "$program" "$@" 2>&1
}

git_does() {
    printf '$ git%s\n' "$(quoted "$@")"
    git "$@" 2>&1
}

refused() {
    local code=0
    "$@" || code=$?
    if [ "$code" -eq 0 ]; then
        echo "story.sh: this should have been refused" >&2
        exit 1
    fi
    echo "[exit $code]"
}

# What a scanner reads off a label of a thing: name, copy.
scanned() {
    "$program" label list "$1" --every --json 2>/dev/null | grep "\"copy\":$2," | sed 's/.*"symbol":"//; s/".*//'
}

act() { printf '\n# %s\n' "$*"; }
at() { export CORETALLY_CLOCK=$1; }

station() { # who, mail, station
    export GIT_AUTHOR_NAME=$1 GIT_AUTHOR_EMAIL=$2 CORETALLY_STATION=$3
    export GIT_COMMITTER_NAME=$1 GIT_COMMITTER_EMAIL=$2
}
bridge() { station "Ines Okonjo" ines@ship.example "operations office"; }
table() { station "Mira Tamm" mira@ship.example "core table"; }
cutting() { station "Jonas Varga" jonas@ship.example "sample table"; }

act "28 February: the operations office starts the registry and the first hole"
bridge
at 2026-02-28T17:00:00Z
coretally start 901 --title "Slope fans of the northern basin"
at 2026-02-28T22:10:00Z
coretally hole add U0012A --returns seafloor --rig-floor 11.2 --seafloor 3021.4 --seafloor-by tagged --zone +05:30 \
    --tolerance 0.5 --heave 0.3

act "1 March: piston cores; one line a core as it lands"
table
at 2026-02-28T22:45:00Z
coretally core add U0012A-1H 3021.4 +6.2 --recovered 6.25 --sections 4x1.5,0.25 --on-deck '2026-03-01 04:12'
at 2026-02-28T23:40:00Z
coretally core add U0012A-2H 3027.6 +9.5 --recovered 9.43 --sections 6x1.5,0.20,cc:0.23 --on-deck '2026-03-01 05:06'
at 2026-03-01T00:35:00Z
coretally core add U0012A-3H 3037.1 +9.5 --recovered 10.02 --sections 6x1.5,0.77,cc:0.25 --on-deck '2026-03-01 06:01' \
    --remark "gas in the liner, ends pushed out"
at 2026-03-01T01:30:00Z
coretally core add U0012A-4H 3046.6 +9.5 --empty --on-deck '2026-03-01 06:58'

act "04:00 happens: feet typed as metres, a bottom above its top"
at 2026-03-01T02:20:00Z
refused coretally core add U0012A-5H 3056.1 3087.3 --recovered 9.1
refused coretally core add U0012A-5H 3056.1 3046.6 --recovered 9.1
coretally core add U0012A-5H 3056.1 +9.5 --recovered 9.10 --sections 6x1.5,cc:0.10 --on-deck '2026-03-01 07:50'

act "a hard layer: extended barrel, then a stretch drilled without coring"
at 2026-03-01T04:05:00Z
coretally core add U0012A-6X 3065.6 +9.7 --recovered 3.42 --sections 2x1.5,cc:0.42 --on-deck '2026-03-01 09:30'
at 2026-03-01T05:15:00Z
coretally core add U0012A-7X 3075.3 +9.7 --recovered 0.18 --sections cc:0.18 --on-deck '2026-03-01 10:44'
bridge
at 2026-03-01T07:00:00Z
coretally drilled add U0012A 3085.0 3120.0 --remark "bit change; washed down through the hard layer"

act "a wash core and two rotary cores; the second in rock, with pieces and spacers"
table
at 2026-03-01T08:20:00Z
coretally core add U0012A-8W 3085.0 3120.0 --recovered 1.7 --sections 1.5,0.2
at 2026-03-01T10:40:00Z
coretally core add U0012A-9R 3120.0 +9.6 --recovered 5.61 --sections 3x1.5,0.93,cc:0.18 --on-deck '2026-03-01 16:02'
at 2026-03-01T14:05:00Z
coretally core add U0012A-10R 3129.6 +4.1 --recovered 1.305 --on-deck '2026-03-01 19:28'
coretally section add U0012A-10R-1 --pieces '1,12.5,1; 2,38,1.5; 3,45.5,2'
coretally section add U0012A-10R-2 --pieces '1,34.5,1'
coretally section show U0012A-10R-1

act "before splitting: a whole round for pore water, a void seen, one void pushed shut"
at 2026-03-01T15:00:00Z
coretally section amend U0012A-2H-3 --whole-rounds '140,150,pore water,Okonjo' --voids '30,34' \
    --reason "taken at the core table before splitting"
coretally section amend U0012A-3H-5 --liner 1.56 --voids '60,66,yes' --reason "void pushed shut before cutting"

act "labels for everything that has arrived: a page a label, for the label printer; strips for the halves of a core"
mkdir labels
table
at 2026-03-01T17:30:00Z
coretally label print --new --what core --layout large --out labels/1-march-cores.pdf
coretally label print --new --what section --layout strip --out labels/1-march-sections.pdf
refused coretally label print U0012A-4H

act "2 March: samples"
cutting
at 2026-03-02T03:10:00Z
coretally sample add 'U0012A-2H-3W, 45-47 cm' --volume 10 --purpose isotopes --requester Okonjo
coretally sample add 'U0012A-2H-3W, 46-48 cm' --volume 5 --purpose nannofossils --requester Varga
coretally sample add --of 'U0012A-2H-3W, 45-47 cm' 45-46 --volume 2 --purpose "oxygen isotopes, split"
coretally sample add 'U0012A-3H-6W, 100-102 cm' --volume 10 --purpose isotopes --requester Okonjo
coretally sample add 'U0012A-3H-CCW, 5-10 cm' --volume 20 --purpose foraminifers --used-up yes
coretally sample add U0012A-10R-1W,5-8 --piece 2 --mass 41 --purpose "thin section"
refused coretally sample add 'U0012A-2H-3W, 142-144 cm' --purpose isotopes
refused coretally sample add 'U0012A-3H-CCW, 6-8 cm'
refused coretally sample add U0012A-2H-3W,160-162

act "the samples of the day on a sheet, of which four labels are used up; a proof of the small ones first"
at 2026-03-02T11:00:00Z
coretally label print 'U0012A-2H-3W, 45-47 cm' --proof --out labels/proof.png
coretally label print U0012A --new --layout a4 --start 5 --out labels/2-march-samples.pdf
coretally label print --new

act "3 March: a depth was misread, and a sample was written down for the wrong core"
bridge
at 2026-03-03T09:00:00Z
coretally core amend U0012A-6X --recovered 3.40 --reason "length read at the wrong end of the tape; sheet 14" --dry-run
coretally core amend U0012A-6X --recovered 3.40 --reason "length read at the wrong end of the tape; sheet 14"
cutting
at 2026-03-03T09:30:00Z
coretally sample add U0012A-5H-2W,10-12 --volume 10 --purpose isotopes
coretally sample withdraw U0012A-5H-2W,10-12 --reason "taken from 6X, written down for 5H"
coretally sample add U0012A-6X-2W,10-12 --volume 10 --purpose isotopes

coretally label print --new --layout small --out labels/3-march-sample.png

act "5 March: hole B comes in from three tables"
bridge
at 2026-03-05T08:00:00Z
coretally hole add U0012B --returns seafloor --rig-floor 11.2 --seafloor 3021.9 --seafloor-by inherited \
    --seafloor-note "Hole U0012A, moved 20 m downslope" --zone +05:30 --tolerance 0.5
mkdir from-hole-b corrections
cp "$tables"/{cores,sections,samples}.* from-hole-b/
cp "$tables"/{tally-sheet-7,tide,offsets,splice,survey}.csv corrections/
coretally import cores from-hole-b/cores.csv --map from-hole-b/cores.map
coretally import sections from-hole-b/sections.csv --map from-hole-b/sections.map
coretally import samples from-hole-b/samples.csv --map from-hole-b/samples.map
coretally import samples from-hole-b/samples.csv --map from-hole-b/samples.map

coretally label print U0012B --new --what sample --layout letter --out labels/5-march-hole-b.pdf
coretally label print 'U0012B-2H-6W,148-150' --layout vial --out labels/vial-matrix.svg

act "what the registry knows now"
coretally expedition show
coretally core list U0012A
coretally depth 'U0012A-2H-3W, 45-47 cm' 'U0012A-3H-6W, 100-102 cm' U0012A-7X-CC U0012B-2H-6W,148-150
coretally explain 'U0012A-3H-6W, 100-102 cm'
coretally recovery U0012A --by type
coretally core show U0012A-6X --history

act "a copy by plain git is a whole registry: here it answers by itself"
git clone --quiet registry.git shore-copy
coretally depth --registry shore-copy U0012B-4H-CC

act "8 March: a riser hole; its well and its pumps, before the bit turns"
logging() { station "Aino Brandt" aino@ship.example "mud laboratory"; }
bridge
at 2026-03-08T15:00:00Z
coretally hole add U0013A --returns ship --rig-floor 28.5 --seafloor 1000 --seafloor-by tagged --zone +05:30 --tolerance 0.3 \
    --plan '3000,3260,10; 3260,,5'
logging
at 2026-03-08T16:00:00Z
coretally pump add U0013A 1 --from 2026-03-08T18:00:00Z --kind triplex --bore 6in --stroke 12in --efficiency 97 --tolerance 2
coretally pump add U0013A 2 --from 2026-03-08T18:00:00Z --kind triplex --bore 6in --stroke 12in --efficiency 97 --tolerance 2
coretally pump add U0013A B --from 2026-03-08T18:00:00Z --line booster --kind measured --output 0.1bbl/stk --tolerance 3
refused coretally well add U0013A --from 2026-03-08T18:00:00Z --inlet 1000 \
    --bores 'riser,0,1000,19.5in; casing,1000,2500,12.3in; open,2500,,12.25' \
    --string 'collars,200,8in,2.81in; drill pipe,,5in,4.276in'
coretally well add U0013A --from 2026-03-08T18:00:00Z --inlet 1000 --flowline 4m3 --supply 20bbl --shaker-delay 3min \
    --bores 'riser,0,1000,19.5in; casing,1000,2500,12.3in; open,2500,,12.25in,4,3mm' \
    --string 'collars,200,8in,2.81in; drill pipe,,5in,4.276in'
coretally well show U0013A --bit 3000 --flow 1.94m3/min --booster 0.67m3/min

act "9 March: the day's pump log, cuttings as they come, and what a stop does to them"
at 2026-03-10T00:05:00Z
coretally log add U0013A pump-log-9-march.csv --set 'time = Time; bit = Bit depth | m; hole = Hole depth | m;
    strokes 1 = Strokes 1; strokes 2 = Strokes 2; strokes B = Booster strokes'
coretally lag of U0013A 3010 3050 3110 3120
coretally bag add U0013A-BAG1 '2026-03-09 12:20' '2026-03-09 12:30' --lithology "silty clay" --fraction "1-4 mm" --washed yes
coretally bag add U0013A '2026-03-09 15:00' '2026-03-09 15:10' --lithology "silty clay, some sand" --fraction "1-4 mm" \
    --washed yes
coretally bag add U0013A '2026-03-09 19:40' '2026-03-09 19:50' --lithology "sand" --contaminants cavings
coretally bag add U0013A '2026-03-09 19:45' --kind gas --remark "flowline trap"
coretally lag schedule U0013A --count 5

act "tags for the wet bags"
coretally label print U0013A --new --layout bag --out labels/9-march-bags.pdf

act "a lag check with carbide: shown with and without, then recorded"
coretally check add U0013A '2026-03-09 21:00' '2026-03-09 23:53' --tracer carbide --dry-run
coretally check add U0013A '2026-03-09 21:00' '2026-03-09 23:53' --tracer carbide
coretally bag add U0013A '2026-03-10 02:00' '2026-03-10 02:10' --lithology "sandy silt"

act "10 March: casing is set; the log comes as LAS, and its counters were set to 0 at midnight"
at 2026-03-11T00:05:00Z
coretally well add U0013A --from 2026-03-10T09:30:00Z --cemented 2026-03-10T08:00:00Z \
    --bores 'riser,0,1000,19.5in; casing,1000,3280,8.681in; open,3280,,8.5in,3,2mm' \
    --string 'collars,150,6.5in,2.81in; drill pipe,,5in,4.276in'
refused coretally log add U0013A pump-log-10-march.las --set 'time = TIME | s | 2026-03-10T00:00:00Z; bit = BIT; hole = HOLE;
    strokes 1 = STROKES_1; strokes 2 = STROKES_2; strokes B = STROKES_B'
coretally log add U0013A pump-log-10-march.las --set 'time = TIME | s | 2026-03-10T00:00:00Z; bit = BIT; hole = HOLE;
    strokes 1 = STROKES_1; strokes 2 = STROKES_2; strokes B = STROKES_B' --bridge reset --reason "counters set to 0 at midnight, tour sheet 10"
refused coretally bag add U0013A '2026-03-10 12:00' '2026-03-10 12:10' --lithology "clay"
coretally bag add U0013A '2026-03-10 18:30' '2026-03-10 18:40' --lithology "cement and clay" --contaminants cement
coretally bag add U0013A '2026-03-11 02:00' '2026-03-11 02:05' --lithology "claystone"
coretally check add U0013A 2026-03-10T17:00:00Z 2026-03-10T19:05:36Z --tracer carbide
coretally check list U0013A
coretally bag list U0013A
coretally explain U0013A-BAG3

act "14 March: counting the pipe rack, a joint is missing from the tally; the wrong sign is refused"
bridge
at 2026-03-14T09:00:00Z
refused coretally correction add U0012A tally -9.62 --top 3060 --reason "joint 306 missing from the tally"
coretally correction add U0012A tally +9.62 --top 3060 --reason "joint 306 missing from the tally" \
    --evidence "tally sheet 7" --evidence-file corrections/tally-sheet-7.csv --watch 'U0012A-6X-2W, 10-12 cm' --dry-run
coretally correction add U0012A tally +9.62 --top 3060 --reason "joint 306 missing from the tally" \
    --evidence "tally sheet 7" --evidence-file corrections/tally-sheet-7.csv
refused coretally correction add U0012A tally +9.6 --top 3060 --reason "joint 306 missing, as the core table heard it"

act "labels that no longer show their depth: listed, then printed anew; the samples first"
cutting
at 2026-03-14T10:00:00Z
coretally label list U0012A --stale
coretally label print U0012A --stale --what sample --layout a4 --out labels/14-march-samples.pdf
coretally label list U0012A-6X --every
bridge

act "the seafloor of hole A, seen by camera; tide is known, but not when the wash core came up"
at 2026-03-14T11:20:00Z
coretally correction add U0012A seafloor 3021.9 --seafloor-by camera --seafloor-at 2026-02-28T21:00:00Z \
    --reason "camera survey: the bit had sunk in" --evidence "dive 3, frame 1182"
refused coretally correction add U0012A tide corrections/tide.csv --reason "tide gauge of the ship"
coretally correction list U0012A

act "on shore: two holes become one record, by features that match; a splice with a gap where both barrels were empty"
station "Ida Lindqvist" ida@shore.example "shore laboratory"
at 2026-03-20T08:00:00Z
coretally correction add U0012A composite corrections/offsets.csv --reason "colour and density of both holes matched"
coretally correction add U0012A splice corrections/splice.csv --reason "first splice of U0012"
coretally depth --scale all 'U0012A-3H-6W, 100-102 cm'
coretally explain 'U0012A-6X-2W, 10-12 cm'
coretally explain 'U0012A-3H-6W, 100-102 cm' --scale CCSF-D
coretally convert U0012B 14.2 --from CSF-A --to CCSF
refused coretally convert U0012B 14.2 --to CCSF

act "on shore a vial of 14 March and a section of 1 March are scanned; then one is typed, with a slip of the pen, and in part"
coretally trace "$(scanned 'U0012A-6X-2W,10-12' 1)"
refused coretally trace "$(scanned 'U0012A-6X-2W,10-12' 2 | sed 's/10-12/10-21/')"
coretally trace U0012A-6X-2,10

act "what a label of 5 March said, and what is known now"
coretally depth --scale CSF-A 'U0012A-6X-2W, 10-12 cm' --as-of 2026-03-05
coretally depth --scale CSF-A 'U0012A-6X-2W, 10-12 cm'
coretally correction reach U0012A 1 --watch 'U0012A-6X-2W, 10-12 cm'

act "the riser hole is surveyed: true vertical depth of cores and cuttings"
logging
at 2026-03-21T10:00:00Z
coretally correction add U0013A survey corrections/survey.csv --reason "gyro run before the casing"
coretally convert U0013A 3100 3200 --from MRF --to TVD

act "a second person signs the tally slip, and asks what became of the depths since 5 March; an audit for outsiders"
station "Ida Lindqvist" ida@shore.example "shore laboratory"
at 2026-03-22T09:00:00Z
coretally correction sign U0012A 1 --remark "held against tally sheet 7"
refused coretally correction sign U0012A 3
coretally correction list U0012A --reach
coretally history 'U0012A-6X-2W, 10-12 cm'
coretally compare 2026-03-05

act "ship and shore write at the same time, each in a registry of its own; the ship's takes in no push that is not sound"
PATH=$(dirname "$program"):$PATH
"$program" verify --hook-text > registry.git/hooks/pre-receive
chmod +x registry.git/hooks/pre-receive
git_does clone --quiet --bare registry.git shore.git
table
at 2026-03-23T08:00:00Z
coretally core add U0012B-6H 45.3 +9.5 --datum seafloor --recovered 9.32 --sections 6x1.5,0.20,cc:0.12 --on-deck '2026-03-23 13:20'
coretally label print --new --layout strip --what section --out labels/23-march-sections.pdf
coretally section amend U0012B-1H-5 --curated 0.93 --reason "measured again when the labels went on"
coretally sample add 'U0012B-2H-3W, 70-72 cm' --volume 10 --purpose "grain size" --requester Tamm
station "Ida Lindqvist" ida@shore.example "shore laboratory"
at 2026-03-23T08:20:00Z
coretally correction add U0012A shift 9R +0.15 --reason "core 9R slid down in the barrel" --evidence "colour scan 9R against the wireline" --registry shore.git
coretally section amend U0012B-1H-5 --curated 0.91 --reason "measured on the archive half" --registry shore.git
coretally sample add 'U0012B-2H-3W, 70-72 cm' --volume 5 --purpose microfossils --requester Brandt --registry shore.git

act "shore takes in what the ship wrote: one section has two lengths, and two samples had one name; shore's acts go to the ship"
at 2026-03-23T08:40:00Z
refused coretally send registry.git --registry shore.git
coretally join registry.git --registry shore.git
coretally send registry.git --registry shore.git
coretally open --registry shore.git
coretally depth U0012B-1H-5 --registry shore.git

act "the ship decides, and goes on; shore has printed meanwhile; either side may join, and both get the same commit"
table
at 2026-03-23T09:10:00Z
coretally settle U0012B-1H-5 curated 0.92 --reason "measured by both on the line: 0.92 m, sheet 31"
station "Ida Lindqvist" ida@shore.example "shore laboratory"
at 2026-03-23T09:20:00Z
coretally label print 'U0012B-2H-3W, 70-72 cm#2' --layout vial --out labels/23-march-matrix.svg --registry shore.git
coretally join registry.git --registry shore.git
table
coretally join shore.git
git_does -C registry.git rev-parse main
git_does -C shore.git rev-parse main
coretally history U0012B-1H-CC
coretally acts --since 2026-03-23

act "somebody mends a depth with an editor; it does not get in"
git clone --quiet registry.git hand
cd hand
sed -i 's/3120/3121/' holes/U0012A/cores/0009.json
git_does commit --quiet -am "9R was at 3121" --date 2026-03-23T09:30:00Z
refused git_does push --quiet
cd ..
coretally label list U0012A-9R --stale --what core
coretally verify

act "reports"
mkdir reports
"$program" bag list U0013A > reports/U0013A-bags.txt
"$program" bag list U0013A --csv > reports/U0013A-bags.csv 2>/dev/null
"$program" audit --from 2026-03-05 --out reports/audit.html 2>/dev/null
"$program" explain U0013A-BAG3 > reports/explain-bag.txt 2>/dev/null
for hole in U0012A U0012B; do
    for report in core section sample; do
        "$program" $report list $hole > reports/$hole-${report}s.txt
        "$program" $report list $hole --csv > reports/$hole-${report}s.csv
    done
    "$program" sample list $hole --scale CCSF --csv > reports/$hole-composite.csv
    "$program" correction list $hole > reports/$hole-corrections.txt
    "$program" recovery $hole > reports/$hole-recovery.txt
    "$program" recovery $hole --csv > reports/$hole-recovery.csv
done
"$program" explain 'U0012A-3H-6W, 100-102 cm' --json > reports/explain.json
"$program" label list --stale > reports/stale-labels.txt
"$program" verify > reports/verify.txt
ls -1 reports
