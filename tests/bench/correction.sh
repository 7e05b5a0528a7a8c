#!/usr/bin/env bash
# What a correction costs in a hole of a million samples: its preview, against git printing the same files and doing nothing
# with them; recording it with, against adding a core to the same hole and against the same correction in a small hole. What
# amending the seafloor of that hole and a section of it costs, which tell what they move. Nothing is judged here.
#   tests/bench/correction.sh [PAIRS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
. "$(dirname "$0")/large.bash"
pairs=${1:-7}

echo "making a hole of 1000 cores x 1000 samples, and one of 10 x 10, by import"
rows_of 1001 1 1000 1000 1000
rows_of 1002 1 10 10 1000
record_rows --seafloor 1000 --seafloor-by tagged
git -C registry.git gc -q

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
echo "preview, a million samples: $(column 1) ms; git cat-file --batch: $(column 2) ms; ratio $(ratio 1 2)"
echo "recording, --brief: $(column 3) ms; adding a core: $(column 4) ms; ratio $(ratio 3 4)"
echo "recording in a hole of 100 samples: $(column 5) ms; ratio $(ratio 3 5)"
echo "amending the seafloor, a million samples told to move: $(column 6) ms; against the preview of a correction: $(ratio 6 1)"
echo "amending a section of 1000 samples: $(column 7) ms; against adding a core: $(ratio 7 4)"
