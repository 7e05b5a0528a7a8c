#!/usr/bin/env bash
# A whole pass of verify over a million samples, against what git itself needs to read the same: git fsck, and git cat-file
# of every object, which parses nothing. Then verify of the last commit alone, as a hook asks it, and of the last ten acts, as
# somebody does every day. One run, whole processes.
# Nothing is judged here.
#   tests/bench/verify.sh [PAIRS] [HOLES]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
. "$(dirname "$0")/large.bash"
pairs=${1:-3}
holes=${2:-100}

echo "making $holes holes x 100 cores x 100 samples, by import"
rows_of 1001 "$holes" 100 100
record_rows
for act in $(seq 10); do "$coretally" sample add "U1001A-${act}H-1W,140-142" --volume 10 >/dev/null; done

whole() { "$coretally" verify; }
quick() { "$coretally" verify --quick; }
last() { "$coretally" verify --since "$(git -C registry.git rev-parse main~1)"; }
ten() { "$coretally" verify --since "$(git -C registry.git rev-parse main~10)"; }
fsck() { git -C registry.git fsck --full --no-dangling; }
read_all() { git -C registry.git cat-file --batch --batch-all-objects --unordered; }
: >times
for pair in $(seq "$pairs"); do
    echo "$(time_of whole) $(time_of quick) $(time_of fsck) $(time_of read_all) $(time_of last) $(time_of ten)" >>times
done
echo "everything: $(column 1) ms; git fsck $(column 3) ms; ratio $(ratio 1 3); git cat-file of all $(column 4) ms; ratio $(ratio 1 4)"
echo "the state alone: $(column 2) ms; ratio to git fsck $(ratio 2 3)"
echo "the last commit, as a hook: $(column 5) ms; ratio to git fsck $(ratio 5 3)"
echo "the last ten acts: $(column 6) ms; ratio to git fsck $(ratio 6 3)"
if [ -x /usr/bin/time ]; then
    /usr/bin/time -o memory -f "memory at most: %M kB" "$coretally" verify --quick >/dev/null 2>&1
    cat memory
else
    python3 -c 'import resource, subprocess, sys; subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL); print("memory at most:", resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss, "kB")' "$coretally" verify --quick
fi
