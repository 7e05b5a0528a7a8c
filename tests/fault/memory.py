#!/usr/bin/env python3
"""Too little memory is told as that: exit 9 and a sentence, or success; never "damaged", never a signal.

    memory.py --bin DIR --preload LIBRARY [--most 40]

Commands that read, and labels drawn, with one allocation after the other failing: number n alone, and number n with all
behind it, as when memory has run out. Of each command --most numbers are tried, spread over all of them (--most 0: every
one). Then each command in address spaces that grow from too small to large enough; what the loader of the system says of
a space in which the program does not start (127, or a signal before its first line) is not ours.
"""
import argparse
import collections
import os
import re
import resource
import subprocess
import sys
import tempfile

SCENE = ('start 901', 'hole add U0012A --returns seafloor --rig-floor 11.2 --seafloor 3021.4 --seafloor-by tagged',
         'core add U0012A-1H 3021.4 +9.5 --recovered 9.43 --sections 6x1.5 --sure',
         'core add U0012A-2H 3030.9 +9.5 --recovered 9.43 --sections 6x1.5 --sure',
         'sample add "U0012A-2H-3W, 45-47" --purpose isotopes',
         'correction add U0012A tally +9.62 --top 3025 --reason "joint missed" --evidence "sheet 14"',
         'label print U0012A-2H --out first.pdf')
COMMANDS = {
    "depth": ["depth", "U0012A-2H-3W, 45-47 cm"],
    "explain": ["explain", "U0012A-2H-3W, 45-47 cm"],
    "trace": ["trace", "U0012A-2H-3W, 45-47 cm"],
    "history": ["history", "U0012A-2H-3W, 45-47 cm"],
    "compare": ["compare", "HEAD-OF-THIRD"],
    "core list": ["core", "list", "--json"],
    "verify": ["verify"],
    "verify --quick": ["verify", "--quick"],
    "audit": ["audit", "--out", "audit.html", "--replace"],
    "label proof": ["label", "print", "U0012A-2H", "--proof", "--out", "proof.pdf", "--replace"],
    "label proof png": ["label", "print", "U0012A-2H", "--proof", "--out", "proof.png", "--replace"],
}


class Table:
    def __init__(self, binary, work, preload):
        self.binary, self.work, self.preload = binary, work, preload
        self.env = dict(os.environ, GIT_AUTHOR_NAME="Fault", GIT_AUTHOR_EMAIL="fault@example.invalid", HOME=work, P=binary,
                        CORETALLY_STATION="fault", CORETALLY_CLOCK="2026-03-01T00:00:00Z", LC_ALL="C.UTF-8", TZ="UTC")
        self.failed = []
        for line in SCENE:
            done = subprocess.run(["sh", "-c", f'"$P" {line}'], cwd=work, env=self.env, capture_output=True, text=True,
                                  check=False)
            assert done.returncode == 0, (line, done.stderr)
        third = subprocess.run(["git", "-C", "registry.git", "rev-parse", "main~3"], cwd=work, env=self.env,
                               capture_output=True, text=True, check=True).stdout.strip()
        COMMANDS["compare"][1] = third

    def run(self, words, limit=0, **extra):
        def set_limit():
            if limit:
                resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))

        return subprocess.run([self.binary, *words], cwd=self.work, env=dict(self.env, **extra), stdin=subprocess.DEVNULL,
                              capture_output=True, text=True, errors="replace", check=False, timeout=60,
                              preexec_fn=set_limit)

    def judge(self, what, done, whole):
        """What is wrong with this outcome; None: nothing."""
        if done.returncode == 0:
            return None if done.stdout == whole else f"{what}: success with another answer"
        if done.returncode != 9:
            return f"{what}: exit {done.returncode}: {done.stderr[-300:]!r}"
        if not re.search(r"^coretally: .*memory", done.stderr, flags=re.M | re.I):
            return f"{what}: exit 9, but memory is not named: {done.stderr[-300:]!r}"
        return None


def count_allocations(table, words):
    """How many it takes to succeed; of the process that draws labels those of its parent are counted with its own."""
    enough = 1024
    while table.run(words, LD_PRELOAD=table.preload, FAIL_FROM=str(enough + 1)).returncode:
        enough *= 2
        assert enough < 1 << 30, words
    least = enough // 2
    while enough - least > 16:
        middle = (least + enough) // 2
        if table.run(words, LD_PRELOAD=table.preload, FAIL_FROM=str(middle + 1)).returncode:
            least = middle
        else:
            enough = middle
    return enough


def allocations(table, most):
    """One fails, and one with all behind it."""
    for name, words in COMMANDS.items():
        whole = table.run(words)
        assert whole.returncode == 0, (name, whole.stderr)
        total = count_allocations(table, words)
        outcomes = collections.Counter()
        step = max(1, total // most) if most else 1
        for mode in ("FAIL_AT", "FAIL_FROM"):
            for number in range(1, total + 1, step):
                done = table.run(words, LD_PRELOAD=table.preload, **{mode: str(number)})
                outcomes[done.returncode] += 1
                wrong = table.judge(f"{name}, {mode}={number} of {total}", done, whole.stdout)
                if wrong:
                    table.failed.append(wrong)
        print(f"{name}: {total} allocations, every {step}th failed in turn: exit codes {dict(sorted(outcomes.items()))}")


def spaces(table):
    """Address spaces from too small to large enough."""
    for name in ("depth", "verify", "audit", "label proof", "label proof png"):
        words = COMMANDS[name]
        whole = table.run(words)
        outcomes = collections.Counter()
        for limit_mb in [*range(4, 48, 2), *range(48, 400, 32)]:
            done = table.run(words, limit=limit_mb << 20)
            started = done.returncode not in (127,) and not (done.returncode < 0 and not done.stderr)
            if not started:
                continue
            outcomes[done.returncode] += 1
            wrong = table.judge(f"{name} in {limit_mb} MB", done, whole.stdout)
            if wrong:
                table.failed.append(wrong)
        if 0 not in outcomes:
            table.failed.append(f"{name}: no space was large enough")
        print(f"{name}: exit codes {dict(sorted(outcomes.items()))} in growing address spaces")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--bin", required=True)
    parser.add_argument("--preload", required=True)
    parser.add_argument("--most", type=int, default=12)
    parser.add_argument("--only", help="one command of those above")
    args = parser.parse_args()
    if args.only:
        for name in [one for one in COMMANDS if one != args.only and one != "compare"]:
            del COMMANDS[name]
    with tempfile.TemporaryDirectory() as work:
        table = Table(os.path.join(os.path.realpath(args.bin), "coretally"), work, os.path.realpath(args.preload))
        allocations(table, args.most)
        if not args.only:
            spaces(table)
    for line in table.failed:
        print(line, file=sys.stderr)
    return 1 if table.failed else 0


if __name__ == "__main__":
    sys.exit(main())
