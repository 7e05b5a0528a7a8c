#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Eight stations, the real binary, one registry: every act is in the log and every record is there.

    writers.py --bin DIR [--processes 8] [--records 200]

Each process adds its share as samples: half of them to a core of its own, half to one core that all share.
"""
import os
import subprocess
import sys
import time

from table import Table, asked, place


def main():
    args = asked(__doc__, processes=8, records=(60, 200))
    with place(args) as work:
        table = Table(args.bin, work)
        table.act("start", "901")
        table.act("hole", "add", "U0012A", "--returns", "seafloor")
        for core in range(1, args.processes + 2):
            table.act("core", "add", f"U0012A-{core}H", str((core - 1) * 9.5), "+9.5", "--datum", "seafloor", "--recovered",
                "9", "--sections", "6x1.5")
        script = os.path.join(work, "station.sh")
        with open(script, "w", encoding="utf-8") as file:
            file.write('for at in $(seq 1 "$2"); do\n'
                       '  core=$(( at % 2 ? $1 : $3 ))\n'
                       '  "$4" sample add "U0012A-${core}H-$(( at % 6 + 1 ))W, $(( at % 140 ))-$(( at % 140 + 1 ))" '
                       '--lab-id "$1-$at" >/dev/null 2>>"$5" || exit 1\n'
                       "done\n")
        begin = time.monotonic()
        log = os.path.join(work, "stations.log")
        shared = args.processes + 1
        stations = [subprocess.Popen(["sh", script, str(number), str(args.records), str(shared), table.env["P"], log],
                                     cwd=work, env=table.env) for number in range(1, args.processes + 1)]
        codes = [station.wait(timeout=600) for station in stations]
        seconds = time.monotonic() - begin
        acts = table.git("log", "--format=%(trailers:key=Act,valueonly)").split("\n").count("sample add")
        listed = table.act("sample", "list", "U0012A", "--csv")
        found = {line.split(",")[-2] for line in listed.splitlines()[1:]}
        expected = {f"{number}-{at}" for number in range(1, args.processes + 1) for at in range(1, args.records + 1)}
        fsck = table.sh("git -C registry.git fsck --strict")
        print(f"{args.processes} stations x {args.records} records: {acts} acts in the log, "
              f"{len(expected - found)} lost, {seconds:.0f} s")
        if any(codes) or acts != len(expected) or found != expected or fsck.returncode != 0:
            print(codes, sorted(expected - found)[:5], fsck.stderr, file=sys.stderr)
            with open(log, encoding="utf-8") as file:
                print(file.read()[-2000:], file=sys.stderr)
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
