#!/usr/bin/env bash
# Labels: what printing and looking through them costs, in a registry of 100 000 samples and in one of 100; and whether the
# labels of a hole of 10 000 samples still show their depth, against git reading the same files. One run, whole processes.
# Nothing is judged here.
#   tests/bench/label.sh [PAIRS]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
. "$(dirname "$0")/large.bash"
pairs=${1:-7}

echo "making 10 holes x 100 cores x 100 samples, and one core of 100"
mkdir large small
(cd large && rows_of 1001 10 100 100 && record_rows)
(cd small && rows_of 1001 1 1 100 && record_rows)

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
echo "one label printed: $(column 1) ms, in the small registry $(column 2) ms; ratio $(ratio 1 2)"
echo "stale labels of one core: $(column 3) ms, small $(column 4) ms; ratio $(ratio 3 4)"
echo "stale labels of a hole of 10 000: $(column 5) ms; git reading the same files $(column 6) ms; ratio $(ratio 5 6)"
echo "one labelled sample traced: $(column 7) ms, small $(column 8) ms; ratio $(ratio 7 8)"
