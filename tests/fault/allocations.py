#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""One allocation of an act fails, each in turn: the registry is judged afterwards.

    allocations.py --bin DIR --preload LIBRARY [--most 300]

It ends with exit 9 and a sentence; the tip is the old or the new one, git fsck is clean, a run which said "recorded" did
record, and the next act works.
"""
import os
import shutil
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "process"))
from table import Table, asked, place  # noqa: E402  pylint: disable=wrong-import-position


def main():
    args = asked(__doc__, preload="", most=(100, 300))
    with place(args) as work:
        base = os.path.join(work, "base")
        os.mkdir(base)
        table = Table(args.bin, base).begin()
        table.work = work

        def run(folder, *words, **extra):
            return table.run(*words, folder=folder, env=extra)

        act = ("sample", "add", "U0012A-1H-3W, 45-47", "--purpose", "isotopes")

        def tip(folder):
            return table.tip(os.path.join(folder, "registry.git"))

        trial = os.path.join(work, "trial")
        shutil.copytree(base, trial)
        count_file = os.path.join(work, "count")
        done = run(trial, *act, LD_PRELOAD=os.path.realpath(args.preload), FAIL_COUNT=count_file)
        assert done.returncode == 0, done.stderr
        with open(count_file, encoding="ascii") as file:
            total = int(file.read())
        old, new = tip(base), tip(trial)
        step = max(1, total // args.most)
        outcomes = {"refused": 0, "recorded": 0}
        for number in range(1, total + 1, step):
            shutil.rmtree(trial)
            shutil.copytree(base, trial)
            done = run(trial, *act, LD_PRELOAD=os.path.realpath(args.preload), FAIL_AT=str(number))
            now = tip(trial)
            said = "recorded:" in done.stdout
            outcomes["recorded" if done.returncode == 0 else "refused"] += 1
            problem = None
            if done.returncode not in (0, 9):
                problem = f"it died: {done.stderr!r}"
            elif now not in (old, new):
                problem = f"the tip is {now}"
            elif said and now != new:
                problem = "it said recorded, but it is not"
            elif done.returncode == 0 and not said:
                problem = "success without a word"
            elif done.returncode > 1 and not done.stderr.startswith("coretally: "):
                problem = f"no sentence: {done.stderr!r}"
            if not problem and number % (step * 10) == 1:
                fsck = table.sh("git -C registry.git fsck --strict", folder=trial)
                again = run(trial, *act)
                if fsck.returncode != 0 or again.returncode != 0 or tip(trial) != new:
                    problem = fsck.stderr + again.stderr
            if problem:
                print(f"allocation {number} of {total}: exit {done.returncode}: {problem}", file=sys.stderr)
                return 1
        print(f"{total} allocations, every {step}th failed in turn: {outcomes['recorded']} recorded, "
              f"{outcomes['refused']} refused; the registry was clean in all")
    return 0


if __name__ == "__main__":
    sys.exit(main())
