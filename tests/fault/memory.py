#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Too little memory is told as that: exit 9 and a sentence, or success; never "damaged", never a signal.

    memory.py --bin DIR --preload LIBRARY [--most 40]

Commands that read, and labels drawn, with one allocation after the other failing: number n alone, and number n with all
behind it, as when memory has run out. Of each command --most numbers are tried, spread over all of them (--most 0: every
one). Then each command in address spaces that grow from too small to large enough; what the loader of the system says of
a space in which the program does not start (127, or a signal before its first line) is not ours.
"""
import collections
import os
import re
import resource
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "process"))
from table import Table, asked, place  # noqa: E402  pylint: disable=wrong-import-position

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


class Fault(Table):
    def __init__(self, options, work):
        super().__init__(options.bin, work)
        self.preload = os.path.realpath(options.preload)
        for line in SCENE:
            self.sh(f'"$P" {line}', codes=(0,))
        COMMANDS["compare"][1] = self.git("rev-parse", "main~3")

    def within(self, words, limit=0, **extra):
        def set_limit():
            if limit:
                resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))

        return self.run(*words, env=extra, errors="replace", preexec_fn=set_limit)

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
    while table.within(words, LD_PRELOAD=table.preload, FAIL_FROM=str(enough + 1)).returncode:
        enough *= 2
        assert enough < 1 << 30, words
    least = enough // 2
    while enough - least > 16:
        middle = (least + enough) // 2
        if table.within(words, LD_PRELOAD=table.preload, FAIL_FROM=str(middle + 1)).returncode:
            least = middle
        else:
            enough = middle
    return enough


def allocations(table, most):
    """One fails, and one with all behind it."""
    for name, words in COMMANDS.items():
        whole = table.within(words)
        assert whole.returncode == 0, (name, whole.stderr)
        total = count_allocations(table, words)
        outcomes = collections.Counter()
        step = max(1, total // most) if most else 1
        for mode in ("FAIL_AT", "FAIL_FROM"):
            for number in range(1, total + 1, step):
                done = table.within(words, LD_PRELOAD=table.preload, **{mode: str(number)})
                outcomes[done.returncode] += 1
                wrong = table.judge(f"{name}, {mode}={number} of {total}", done, whole.stdout)
                if wrong:
                    table.failed.append(wrong)
        print(f"{name}: {total} allocations, every {step}th failed in turn: exit codes {dict(sorted(outcomes.items()))}")


def spaces(table):
    """Address spaces from too small to large enough."""
    for name in ("depth", "verify", "audit", "label proof", "label proof png"):
        words = COMMANDS[name]
        whole = table.within(words)
        outcomes = collections.Counter()
        for limit_mb in [*range(4, 48, 2), *range(48, 400, 32)]:
            done = table.within(words, limit=limit_mb << 20)
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
    args = asked(__doc__, preload="", most=(6, 12), only="")
    if args.only:
        for name in [one for one in COMMANDS if one != args.only and one != "compare"]:
            del COMMANDS[name]
    with place(args) as work:
        table = Fault(args, work)
        allocations(table, args.most)
        if not args.only:
            spaces(table)
    return table.verdict()


if __name__ == "__main__":
    sys.exit(main())
