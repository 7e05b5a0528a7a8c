#!/usr/bin/env bash
# What an exchange costs in a registry of a million samples. Bytes on the wire, both directions counted by a proxy in front of
# git daemon: one new core with its sections and 20 samples, sent and joined, beside git's own push and fetch of the same.
# Then 200 acts joined to 200 others, in files of their own so that plain git can merge them, beside git merge of the same
# two commits. Medians of whole processes. Nothing is judged here.
#   tests/bench/exchange.sh [PAIRS] [HOLES]     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
. "$(dirname "$0")/large.bash"
pairs=${1:-5}
holes=${2:-100}
acts=200

echo "making $holes holes x 100 cores x 100 samples, by import"
rows_of 1001 "$holes" 100 100
record_rows
git clone -q --bare registry.git shore.git
git -C shore.git config core.fsync all
git -C shore.git config pack.useBitmaps false # as README says of a shared registry
begin=$(git -C registry.git rev-parse main)

# A proxy that counts, and git daemon behind it.
cat >count.py <<'PYTHON'
import selectors, socket, subprocess, sys, threading
def free():
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]
behind, seen = free(), 0
daemon = subprocess.Popen(["git", "daemon", "--export-all", "--enable=receive-pack", "--reuseaddr", "--listen=127.0.0.1",
                           f"--port={behind}", "--base-path=."], stderr=subprocess.DEVNULL)
def carry(one, other):
    global seen
    for piece in iter(lambda: one.recv(65536), b""):
        seen += len(piece)
        other.sendall(piece)
    try:
        other.shutdown(socket.SHUT_WR)
    except OSError:
        pass
def take(client):
    for _ in range(100):
        try:
            server = socket.create_connection(("127.0.0.1", behind))
            break
        except OSError:
            threading.Event().wait(0.05)
    ways = [threading.Thread(target=carry, args=way) for way in ((client, server), (server, client))]
    [way.start() for way in ways]
    [way.join() for way in ways]
    client.close(), server.close()
front = socket.create_server(("127.0.0.1", 0))
print(front.getsockname()[1], flush=True)
threading.Thread(target=lambda: [threading.Thread(target=take, args=(front.accept()[0],)).start() for _ in iter(int, 1)],
                 daemon=True).start()
for line in sys.stdin: # each line asks how many since the last
    print(seen, flush=True)
    seen = 0
daemon.terminate()
PYTHON
coproc COUNT { exec python3 count.py; }
exec {ask}>&"${COUNT[1]}" {tell}<&"${COUNT[0]}"
trap 'exec {ask}>&-; kill "$COUNT_PID" 2>/dev/null || true; pkill -P "$COUNT_PID" 2>/dev/null || true; rm -rf "$work"' EXIT
read -r port <&"$tell"
url=git://127.0.0.1:$port/shore.git
bytes() { echo >&"$ask"; read -r seen <&"$tell"; echo "$seen"; }

quiet() { "$@" >/dev/null 2>&1; }
one_core() { # in this registry: a core with its sections, 20 samples
    quiet "$coretally" core add "U1001A-101H" 950 +9.5 --datum seafloor --recovered 9 --sections 6x1.5 --registry "$1"
    for at in $(seq 20); do
        quiet "$coretally" sample add "U1001A-101H-$((at % 6 + 1))W,$at-$((at + 2))" --volume 10 --purpose isotopes --registry "$1"
    done
}
one_table() { # the same as two acts: the core, and a table of samples
    quiet "$coretally" core add "U1001A-101H" 950 +9.5 --datum seafloor --recovered 9 --sections 6x1.5 --registry "$1"
    { head -1 samples.csv
      for at in $(seq 20); do echo "U1001,A,101,H,$((at % 6 + 1)),W,$at,$((at + 2)),10,isotopes"; done; } >new.csv
    quiet "$coretally" import samples new.csv --registry "$1"
}
back() { # this registry, without what came after the beginning
    git -C "$1" update-ref refs/heads/main "$begin"
    git -C "$1" prune --expire=now
}
over_the_wire() { # words
    local core sent pushed joined fetched
    git clone -q --bare --no-local shore.git ship.git
    git clone -q --bare --no-local shore.git other.git
    core=$(git -C registry.git rev-parse main)
    bytes >/dev/null
    quiet "$coretally" send "$url" --registry registry.git; sent=$(bytes)
    [ "$(git -C shore.git rev-parse main)" = "$core" ] || { echo "nothing was sent" >&2; exit 1; }
    back shore.git
    quiet git -C registry.git push "$url" main; pushed=$(bytes)
    quiet "$coretally" join "$url" --registry ship.git; joined=$(bytes)
    [ "$(git -C ship.git rev-parse main)" = "$core" ] || { echo "nothing was joined" >&2; exit 1; }
    quiet git -C other.git fetch "$url" main; fetched=$(bytes)
    rm -rf ship.git other.git # what is packed stays; each begins anew
    back shore.git
    quiet git -C shore.git repack -ad
    back registry.git
    echo "  $1: coretally send $sent, git push $pushed; coretally join $joined, git fetch $fetched"
}
echo "one core with sections and 20 samples, bytes on the wire (asked: below 10000):"
one_core registry.git
over_the_wire "21 acts"
one_table registry.git
over_the_wire "2 acts, the samples as a table"

# 200 acts on either side, in two holes.
many() { # registry, hole
    for at in $(seq "$acts"); do
        quiet "$coretally" sample add "$2-$((at % 100 + 1))H-1W,$((120 + at / 100))-$((121 + at / 100))" --volume 10 --registry "$1"
    done
}
many registry.git U1001A
many shore.git "U$((1000 + holes))A"
ship=$(git -C registry.git rev-parse main)
git -C registry.git fetch -q ../shore.git main:refs/heads/shore
git clone -q registry.git clone
git -C clone config core.fsync all
[ "$(git -C registry.git rev-list --count main ^shore)" = "$acts" ] && [ "$(git -C registry.git rev-list --count shore ^main)" = "$acts" ] ||
    { echo "not every act was recorded" >&2; exit 1; }

join() { "$coretally" join shore --registry registry.git; }
join_clone() { "$coretally" join origin/shore --registry clone; }
merge() { git -C clone merge -q --no-edit origin/shore; }
: >times
for pair in $(seq "$pairs"); do
    git -C registry.git update-ref refs/heads/main "$ship"
    bare=$(time_of join)
    git -C clone reset -q --hard "$ship"
    tree=$(time_of join_clone)
    git -C clone reset -q --hard "$ship"
    client=$(time_of merge)
    echo "$bare $tree $client" >>times
done
[ "$(git -C registry.git rev-parse 'main^{tree}')" = "$(git -C clone rev-parse 'HEAD^{tree}')" ] ||
    { echo "the two trees differ" >&2; exit 1; }
echo "$acts acts joined to $acts: $(column 1) ms; in a clone with its files $(column 2) ms; git merge $(column 3) ms"
echo "ratio, join / git merge: $(ratio 1 3); with files: $(ratio 2 3)   (asked: at most 3)"
