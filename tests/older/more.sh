#!/bin/bash
# SPDX-License-Identifier: MIT
# What example-expedition/story.sh does not have, typed after it: the other kinds of correction, a sidetrack, a survey of
# a cored hole, amendments and withdrawals of each kind of record. registry.txt was made by both with the program of cdc6a59.
set -eu

program=${CORETALLY:?set CORETALLY to the program}
export CORETALLY_REGISTRY=registry.git
export GIT_AUTHOR_NAME="Ines Okonjo" GIT_AUTHOR_EMAIL=ines@ship.example CORETALLY_STATION="operations office"
export GIT_COMMITTER_NAME=$GIT_AUTHOR_NAME GIT_COMMITTER_EMAIL=$GIT_AUTHOR_EMAIL
unset GIT_COMMITTER_DATE
minute=10

act() {
    minute=$((minute + 1))
    CORETALLY_CLOCK=2026-03-24T08:$minute:00Z "$program" "$@"
}
table() { printf '%s\n' "$@" > table.csv; }

act expedition amend --remark "closed on 24 March" --reason "handed over"
act hole add U0014A --returns seafloor --rig-floor 11.2 --seafloor 2500 --seafloor-by tagged --zone -03:30 --tolerance 0.3
act core add U0014A-1R 2500 +9.6 --recovered 6 --sections 4x1.5 --on-deck '2026-03-20 01:00'
act core add U0014A-2R 2509.6 +9.6 --recovered 9.9 --sections 6x1.5,0.7,cc:0.2 --on-deck '2026-03-20 02:00'
act core add U0014A-3R 2600 +9.6 --recovered 4.5 --sections 3x1.5 --on-deck '2026-03-20 03:00' --hazard "H2S, 12 ppm"
act core add U0014A-4G 2600 +9.6 --recovered 1 --sections 1
act core add U0014A-5R 2609.6 +9.6 --recovered 2.2 --sections 1.5,0.7
act core withdraw U0014A-5R --reason "it was the ghost once more"
act section amend U0014A-1R-2 --curated 1.45 --reason "cut again"
act sample add 'U0014A-2R-2W, 20-22 cm' --volume 5 --purpose isotopes
act sample add 'U0014A-3R-1A, 60-75 cm' --purpose physics --hazard "H2S"
act sample amend 'U0014A-2R-2W, 20-22 cm' --top 21 --bottom 23 --reason "ruler lay 1 cm off"
act drilled add U0014A 2519.2 2560
act drilled add U0014A 2560 2600 --remark "chert"
act drilled amend U0014A 1 --bottom 2559.5 --reason "stand counted anew"
act drilled withdraw U0014A 2 --reason "entered twice"
act correction add U0014A reading 3R --core-top 2600.5 --reason "slip of the pen, sheet 9"
act correction add U0014A stretch weight --mud 1.03g/cm3 --reason "sea water in the hole"
act correction add U0014A stretch load --load 100kN --area 3000mm2 --reason "weight on bit"
act correction add U0014A stretch heat --rise 12 --reason "temperature run"
table 'time,height_m' 2026-03-20T00:00:00Z,-0.6 2026-03-20T12:00:00Z,0.7
act correction add U0014A seafloor 2500.4 --seafloor-by camera --seafloor-at 2026-03-20T03:00:00Z --reason "camera"
act correction add U0014A tide table.csv --reason "tide gauge" --first-core 2 --sure
act correction add U0014A shift 2R +0.2 --reason "core fell"
act correction add U0014A shift 2R +0.3 --reason "core fell, measured again" --supersedes standing
act correction add U0014A tally +0.5 --top 2550 --reason "pup joint left out"
act correction withdraw U0014A 8 --reason "it was in the sum"
table 'depth_m,matched_m' 0,0.4 120,121.3
act correction add U0014A wireline table.csv --reason "gamma against the log"
table hole,core,offset_m,method,feature,reference U0014A,1,0.4,assumed,, U0014A,2,1.1,appended,, U0014A,3,3,appended,,
act correction add U0014A composite table.csv --reason "one hole, cores appended"
table 'top_m,factor' 0,1.05 60,1.12
act correction add U0014A growth table.csv --reason "slope of composite against drilled depth"
table 'depth_m,inclination_deg,azimuth_deg' 2500,0,0 2550,3.5,20 2620,11,35
act correction add U0014A survey table.csv --reason "gyro"
act hole add U0014S --returns seafloor --parent U0014A --kickoff 2560 --zone -03:30
act core add U0014S-1R 2570 +9.6 --recovered 5 --sections 3x1.5,0.5
table 'depth_m,inclination_deg,azimuth_deg' 2560,4,25 2580,14,60
act correction add U0014S survey table.csv --reason "gyro"
act hole add U0014B --returns seafloor
act hole withdraw U0014B --reason "never spudded"
act pump amend U0013A 2 --efficiency 96 --reason "measured with the trip tank"
act bag amend U0013A-BAG2 --lithology "silty clay" --reason "looked at again, dry"
act bag withdraw U0013A-GAS1 --reason "valve was shut"
act check amend U0013A 1 --seen '2026-03-09 23:54' --reason "watch of the mud laboratory"
act label print U0014A --new --what section --layout strip --out labels/24-march.pdf
act label print U0014A --stale --out labels/24-march-again.pdf
act core amend U0014A-2R --recovered 9.8 --curated 9.9 --reason "tape read anew" --sure
act label print U0014A-2R-2W,21-23 --layout vial --out labels/24-march-vial.svg
