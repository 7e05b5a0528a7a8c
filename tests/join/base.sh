#!/bin/bash
# SPDX-License-Identifier: MIT
# The registry that both sides of pairs.txt start from. Invented data. CORETALLY names the program; writes registry.git here.
set -eu
c=${CORETALLY:?path of the program}
export GIT_AUTHOR_NAME="Mira Tamm" GIT_AUTHOR_EMAIL=mira@ship.example GIT_COMMITTER_NAME="Mira Tamm" GIT_COMMITTER_EMAIL=mira@ship.example
export CORETALLY_STATION="core table"
"$c" start 902 --title "Two sides"
"$c" hole add U0020A --returns seafloor --rig-floor 11.2 --seafloor 3021.4 --seafloor-by tagged --zone +05:30
"$c" core add U0020A-1H 3021.4 +9.5 --recovered 9.43 --sections 6x1.5,0.20,cc:0.23
"$c" core add U0020A-2H 3030.9 +9.5 --recovered 9.43 --sections 6x1.5,0.20,cc:0.23
"$c" core add U0020A-3H 3040.4 +9.5 --recovered 9.43 --sections 6x1.5,0.20,cc:0.23
"$c" sample add 'U0020A-2H-3W, 45-47 cm' --volume 10 --purpose isotopes --requester Tamm
"$c" hole add U0021A --returns ship --seafloor 1000 --seafloor-by tagged --zone +05:30
"$c" pump add U0021A 1 --from '2026-03-01 00:00' --kind triplex --bore 6in --stroke 12in --efficiency 97
"$c" well add U0021A --from '2026-03-01 00:00' --inlet 1000 --bores 'riser,0,1000,19.5in; open,1000,,12.25in' --string 'drill pipe,,5in,4.276in'
awk 'BEGIN { print "Time,Hole depth,Strokes 1"; for (m = 0; m < 1440; m++) printf "2026-03-01T%02d:%02d:00Z,%.2f,%d\n", m / 60, m % 60, 2500 + m / 10, m * 90 }' > log.csv
"$c" log add U0021A log.csv --set 'time = Time; hole = Hole depth | m; strokes 1 = Strokes 1'
"$c" drilled add U0020A 3100 3110
"$c" label print --new --layout small --out base-labels.pdf
