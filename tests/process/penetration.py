#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""How deep a hole went, through the real binary, against a count centimetre by centimetre.

    penetration.py --bin DIR [--seed 1] [--holes 14] [--keep FOLDER]

Each hole is generated: cores end to end, apart or overlapping, one or the other datum, runs whose bottom is not known or
taken from recovery, empty barrels, wash and ghost cores, drilled intervals, some withdrawn again; then tally slips, retyped
readings, core shifts, a seafloor found anew; a third of the holes are sidetracks. Demanded: penetration, what was not cored,
what carries no record and what runs without a bottom left open, of the whole hole and of a range, are those of the count.
"""
import json
import random
import re
import sys

from table import Table, asked, place

SEAFLOOR = 200000  # cm below rig floor
NUMBER = r"(\d+\.\d+)"


def metres(cm):
    return f"{cm / 100:.2f}"


class Hole:
    def __init__(self, table, chance, name, parent):
        self.table, self.chance, self.name = table, chance, name
        self.runs = []  # as recorded: core (0: drilled), letter, top, bottom or None, datum offset, withdrawn
        self.tally = []  # from a depth below rig floor down, amount
        self.retyped = {}
        self.shifts = {}
        self.change = parent.change if parent else 0  # of the seafloor; a sidetrack has its parent's
        self.kickoff = SEAFLOOR + chance.randrange(1000, 3000) if parent else None
        words = ["hole", "add", name, "--returns", "seafloor"]
        if parent:
            words += ["--parent", parent.name, "--kickoff", metres(self.kickoff)]
        else:
            words += ["--seafloor", metres(SEAFLOOR), "--seafloor-by", "tagged"]
        assert self.act(*words)

    def act(self, *words):
        return self.table.run(*words).returncode == 0

    def record(self):
        chance = self.chance
        at = self.kickoff or SEAFLOOR
        core = 0
        for _ in range(chance.randint(4, 9)):
            at += chance.choice((0, 0, 0, 150, 960, -200))
            datum = chance.choice((0, 0, SEAFLOOR))
            length = chance.choice((950, 960, 475, 0, 3000))
            words = ["--datum", "seafloor" if datum else "rig-floor", "--sure"]
            kind = chance.choice("HHHXRWGd?r")
            if kind == "d":
                if self.act("drilled", "add", self.name, metres(at - datum), metres(at - datum + length), *words):
                    self.runs.append([0, "d", at, at + length, datum])
                    at += length
                continue
            core += 1
            letter = kind if kind.isupper() else "R"
            name = f"{self.name}-{core}{letter}"
            if kind == "?":
                done = self.act("core", "add", name, metres(at - datum), "--advance-by", "unknown", "--recovered", "1", *words)
                bottom = None
            elif kind == "r":
                done = self.act("core", "add", name, metres(at - datum), "--advance-by", "recovery", "--recovered", "3.21", *words)
                bottom = at + 321
            else:
                done = self.act("core", "add", name, metres(at - datum), metres(at - datum + length), "--recovered", "1", *words)
                bottom = at + length
            if done:
                self.runs.append([core, letter, at, bottom, datum])
                at = bottom or at
        for run in list(self.runs):
            if run[0] and chance.randrange(7) == 0 and self.act("core", "withdraw", f"{self.name}-{run[0]}{run[1]}",
                                                                "--reason", "wrong hole"):
                self.runs.remove(run)

    def correct(self):
        chance = self.chance
        for _ in range(chance.randint(0, 4)):
            what = chance.choice(("tally", "reading", "shift", "seafloor"))
            core = chance.choice(self.runs) if self.runs else [0]
            tail = ("--reason", "found later", "--sure", "--supersedes", "standing") if what != "tally" else \
                ("--reason", "found later", "--sure")
            amount = chance.choice((-150, 50, 962))
            if what == "tally":
                top = SEAFLOOR + chance.randrange(1000, 6000)  # below any seafloor
                if self.act("correction", "add", self.name, what, f"{amount / 100:+.2f}", "--top", metres(top), *tail):
                    self.tally.append((top, amount))
            elif what == "seafloor" and not self.kickoff:
                if self.act("correction", "add", self.name, what, metres(SEAFLOOR + amount), "--seafloor-by", "camera", *tail):
                    self.change = amount
            elif what == "shift" and core[0]:
                if self.act("correction", "add", self.name, what, f"{core[0]}{core[1]}", f"{amount / 100:+.2f}", *tail):
                    self.shifts[core[0]] = amount
            elif what == "reading" and core[0] and core[3]:
                top, bottom = core[2] + 30, core[3] + 80
                if self.act("correction", "add", self.name, what, f"{core[0]}{core[1]}", "--core-top", metres(top - core[4]),
                            "--core-bottom", metres(bottom - core[4]), *tail):
                    self.retyped[core[0]] = (top, bottom)

    def slipped(self, reported):
        """Below seafloor today, of a depth below rig floor as it was reported."""
        return reported - SEAFLOOR - self.change + sum(amount for top, amount in self.tally if reported >= top)

    def count(self, low, high):
        """Of each centimetre what the bit did; sums: penetration, uncored, unrecorded, open; is it the least?"""
        begin = self.slipped(self.kickoff) if self.kickoff else 0
        painted, opened, deepest, least = {}, [], begin, False
        spans = []
        for core, letter, top, bottom, _ in self.runs:
            if letter == "G":
                continue
            if core in self.retyped:
                top, bottom = self.retyped[core]
            start = self.slipped(top) + self.shifts.get(core, 0)
            end = None if bottom is None else self.slipped(bottom) if core == 0 else start + bottom - top
            spans.append((letter, start, end))
        for letter, start, end in spans:
            if end is None:
                opened.append(start)
            else:
                deepest = max(deepest, end)
                for at in range(start, end):
                    if letter in "Wd":
                        painted.setdefault(at, "uncored")
                    else:
                        painted[at] = "cored"
        if opened and max(opened) >= deepest:
            deepest, least = max(opened), True
        for start in opened:
            up = down = start
            while begin <= up < deepest and painted.get(up) in (None, "open"):
                painted[up] = "open"
                up -= 1
            while begin <= down + 1 < deepest and painted.get(down + 1) in (None, "open") and painted.get(start) == "open":
                painted[down + 1] = "open"
                down += 1
        inside = [painted.get(at, "unrecorded") for at in range(max(begin, low), min(deepest, high))]
        sums = [len(inside), inside.count("uncored"), inside.count("unrecorded"), inside.count("open")]
        return sums, least and low <= deepest < high

    def told(self, *words):
        note = json.loads(self.table.act("recovery", self.name, "--by", "hole", "--json", *words))[0]["note"] or ""
        sums = []
        for form in (r"penetration (?:at least )?" + NUMBER, NUMBER + " not cored", NUMBER + " neither cored",
                     NUMBER + " by runs whose bottom"):
            found = re.search(form, note)
            sums.append(round(float(found.group(1)) * 100) if found else 0)
        return sums, "at least" in note, note


def main():
    options = asked(__doc__, seed=1, holes=14)
    chance = random.Random(options.seed)
    seen, parent = [0] * 5, None
    with place(options) as where:
        table = Table(options.bin, where, by_hand=True)
        table.act("start", "901", "--title", "Slope fans")
        for number in range(options.holes):
            letter = chr(ord("A") + number % 26)
            name = f"U{number // 26:04d}{letter}"
            hole = Hole(table, chance, name, parent if number % 3 == 2 and letter != "A" else None)
            if letter == "A":
                parent = hole
            hole.record()
            hole.correct()
            low = chance.randrange(0, 3000)
            ranges = [((), -10**9, 10**9)]
            if hole.runs:
                high = low + chance.randrange(100, 3000)
                ranges.append((("--from", metres(low), "--to", metres(high)), low, high))
            for words, low, high in ranges:
                sums, least = hole.count(low, high)
                if not hole.runs:
                    continue
                found, found_least, note = hole.told(*words)
                seen = [a + bool(b) for a, b in zip(seen, [*sums, least])]
                if (sums, least) != (found, found_least):
                    table.fail(f"{hole.name} {words}: counted {sums} {least}, told {found} {found_least}: {note}\n   ",
                               hole.runs, hole.tally, hole.retyped, hole.shifts, hole.change, hole.kickoff)
    assert all(seen), "not every case was there"
    return table.verdict(f"{options.holes} holes; seen: penetration, uncored, unrecorded, open, at least: {seen};")


if __name__ == "__main__":
    sys.exit(main())
