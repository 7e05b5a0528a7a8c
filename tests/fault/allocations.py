#!/usr/bin/env python3
"""One allocation of an act fails, each in turn: the registry is judged afterwards.

    allocations.py --bin DIR --preload LIBRARY [--most 300]

It ends with exit 9 and a sentence; the tip is the old or the new one, git fsck is clean, a run which said "recorded" did
record, and the next act works.
"""
import argparse
import os
import shutil
import subprocess
import sys
import tempfile


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--bin", required=True)
    parser.add_argument("--preload", required=True)
    parser.add_argument("--most", type=int, default=300)
    args = parser.parse_args()
    binary = os.path.join(args.bin, "coretally")
    with tempfile.TemporaryDirectory() as work:
        env = dict(os.environ, GIT_AUTHOR_NAME="Fault", GIT_AUTHOR_EMAIL="fault@example.invalid", HOME=work,
                   CORETALLY_STATION="fault", CORETALLY_CLOCK="2026-03-01T00:00:00Z", LC_ALL="C.UTF-8", TZ="UTC")

        def run(folder, *words, **extra):
            return subprocess.run([binary, *words], cwd=folder, env=dict(env, **extra), capture_output=True, text=True,
                                  check=False, timeout=60)

        base = os.path.join(work, "base")
        os.mkdir(base)
        for words in (("start", "901"), ("hole", "add", "U0012A", "--returns", "seafloor"),
                      ("core", "add", "U0012A-1H", "0", "+9.5", "--datum", "seafloor", "--recovered", "9",
                       "--sections", "6x1.5")):
            done = run(base, *words)
            assert done.returncode == 0, done.stderr
        act = ("sample", "add", "U0012A-1H-3W, 45-47", "--purpose", "isotopes")

        def tip(folder):
            return subprocess.run(["git", "--git-dir", os.path.join(folder, "registry.git"), "rev-parse", "main"],
                                  capture_output=True, text=True, check=True).stdout.strip()

        trial = os.path.join(work, "trial")
        shutil.copytree(base, trial)
        count_file = os.path.join(work, "count")
        done = run(trial, *act, LD_PRELOAD=args.preload, FAIL_COUNT=count_file)
        assert done.returncode == 0, done.stderr
        with open(count_file, encoding="ascii") as file:
            total = int(file.read())
        old, new = tip(base), tip(trial)
        step = max(1, total // args.most)
        outcomes = {"refused": 0, "recorded": 0}
        for number in range(1, total + 1, step):
            shutil.rmtree(trial)
            shutil.copytree(base, trial)
            done = run(trial, *act, LD_PRELOAD=args.preload, FAIL_AT=str(number))
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
                fsck = subprocess.run(["git", "--git-dir", os.path.join(trial, "registry.git"), "fsck", "--strict"],
                                      capture_output=True, text=True, check=False)
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
