#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Stations killed at random instants: every acknowledged act is there, the repository is clean, the next act works.

    kills.py --bin DIR [--kills 200] [--seed 1]

Three stations write through the real binary; one of them at a time is killed with SIGKILL. Bounded in time: a branch lock
that a dead writer left is put aside by the program after its ten seconds, so the run ends early after 300 s and says how
many kills it made; fewer than half of them is a failure.
"""
import glob
import os
import random
import signal
import subprocess
import sys
import time

from table import Table, asked, place


def main():
    args = asked(__doc__, kills=(60, 200), seed=1)
    chance = random.Random(args.seed)
    begin = time.monotonic()
    with place(args) as work:
        table = Table(args.bin, work, CORETALLY_CLOCK=None).begin()

        def command(*words):
            return subprocess.Popen([table.env["P"], *words], cwd=work, env=table.env, stdout=subprocess.PIPE,
                                    stderr=subprocess.PIPE, text=True)

        acknowledged = set()
        number = 0
        kills = 0
        recovered = 0
        committed_unsaid = 0
        took = 0.05
        while kills < args.kills and time.monotonic() - begin < 300:
            batch = []
            for _ in range(3):
                number += 1
                lab_id = f"k{number}"
                batch.append((lab_id, command("sample", "add",
                                              f"U0012A-1H-{number % 6 + 1}W, {number % 140}-{number % 140 + 1}",
                                              "--lab-id", lab_id)))
            time.sleep(chance.random() * took)
            victim = chance.randrange(3)
            batch[victim][1].send_signal(signal.SIGKILL)
            for lab_id, process in batch:
                out, err = process.communicate(timeout=120)
                recovered += "dead writer" in err
                if process.returncode == 0 and "recorded:" in out:
                    acknowledged.add(lab_id)
                elif process.returncode not in (0, -signal.SIGKILL):
                    print("a station that was not killed was refused:", err, file=sys.stderr)
                    return 1
                kills += process.returncode == -signal.SIGKILL
        listed = table.act("sample", "list", "U0012A", "--csv")
        found = {line.split(",")[-2] for line in listed.splitlines()[1:]}
        committed_unsaid = len(found - acknowledged)
        fsck = table.sh("git -C registry.git fsck --strict")
        # What the killed ones left among the objects: old enough, it is taken away by the next act; young, it stays.
        objects = os.path.join(work, "registry.git", "objects")
        for name in ("tmp_object_git2_Planted", "tmp_object_git2_Young00"):
            with open(os.path.join(objects, name), "wb") as file:
                file.write(b"half an object")
        left = [path for path in glob.glob(os.path.join(objects, "tmp_object_git2_*")) if not path.endswith("Young00")]
        for path in left:
            os.utime(path, (time.time() - 7200, time.time() - 7200))
        last = table.run("sample", "add", "U0012A-1H-1W, 148-149", "--lab-id", "last")
        after = [os.path.basename(path) for path in glob.glob(os.path.join(objects, "tmp_object_git2_*"))]
        swept = after == ["tmp_object_git2_Young00"]
        locks = glob.glob(os.path.join(work, "registry.git", "refs", "heads", "*.lock"))
        print(f"{kills} kills: {len(acknowledged)} acknowledged acts, {len(acknowledged - found)} lost, "
              f"{committed_unsaid} landed unsaid, {recovered} locks of dead writers put aside, "
              f"{len(left) - 1} half objects left, {time.monotonic() - begin:.0f} s")
        if kills * 2 < args.kills or acknowledged - found or fsck.returncode != 0 or last.returncode != 0 or locks or not swept:
            print(sorted(acknowledged - found), fsck.stderr, last.stderr, locks, after, file=sys.stderr)
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
