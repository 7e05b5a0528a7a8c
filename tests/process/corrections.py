#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Histories of corrections, through the real binary.

    corrections.py --bin DIR [--seed 1] [--histories 8] [--keep FOLDER]

A history is a hole with cores and samples, corrected in random order: tally slips, tide, stretch, core shifts, retyped
readings, seafloors, composite offsets; some take the place of earlier ones, some are withdrawn. A twin of each hole gets what
is left in force in another order. Demanded of each: the preview is what happens, the report had later says the same; twins
have the same depths; a withdrawal brings back the depths from before; every depth as of each earlier commit is byte for byte
what was printed at that commit.
"""
import csv
import io
import os
import random
import re
import sys

from table import Table, asked, place, verdict

SCALES = ("DSF", "CSF-A", "CSF-B", "CCSF")
FAILED = []


def fail(*what):
    FAILED.append(" ".join(str(one) for one in what))


def write(where, name, header, rows):
    with open(os.path.join(where, name), "w", encoding="utf-8") as file:
        file.write(header + "\n")
        for row in rows:
            file.write(",".join(str(cell) for cell in row) + "\n")


def plan_holes(chance, histories):
    """Rows of three tables; twins A and B of each history are alike."""
    cores, sections, samples = [], [], []
    for history in range(histories):
        runs = []
        top = 1000.0
        for core in range(1, chance.randint(3, 6)):
            advance = chance.choice((9.5, 9.5, 4.75, 3.0))
            recovered = round(chance.choice((0.4, 0.9, 1.0, 1.06)) * advance, 2)
            runs.append((core, top, advance, recovered))
            top = round(top + advance + chance.choice((0, 0, 2.0)), 2)
        for letter in "AB":
            hole = f"U{history + 1:04}"
            for core, top, advance, recovered in runs:
                cores.append((hole, letter, core, "H", top, round(top + advance, 2), "rig-floor", recovered,
                              f"2026-03-01T{core:02}:00:00Z"))
                left, section = recovered, 1
                while left > 0.001:
                    length = min(1.5, left)
                    sections.append((hole, letter, core, "H", section, round(length, 2)))
                    for at in (0, 20):
                        if at < length * 100 - 2:
                            samples.append((hole, letter, core, "H", section, "W", at, at + 2))
                    left, section = left - length, section + 1
    return cores, sections, samples


def random_correction(chance, where, core_count, name):
    """Words behind HOLE; what they move is up to the program."""
    kind = chance.choice(("tally", "tally", "tally", "tide", "stretch", "shift", "reading", "seafloor", "composite"))
    core = chance.randint(1, core_count)
    amount = round(chance.uniform(-1.5, 9.7), 2)
    if kind == "tally":
        words = [kind, f"{amount:+}", "--top", str(round(chance.uniform(990, 1030), 2))]
        bound = chance.randrange(4)
        if bound == 1:
            words += ["--first-core", str(core)]
        elif bound == 2:
            words += ["--from", f"2026-03-01T{core:02}:00:00Z"]
        return words
    if kind == "tide":
        write(where, name, "time,height_m", [(f"2026-03-01T{hour:02}:30:00Z" if hour else "2026-02-28T00:00:00Z",
                                              round(chance.uniform(-1, 1), 2)) for hour in range(0, 9)])
        return [kind, name]
    if kind == "stretch":
        return [kind, "weight", "--mud", "1.05g/cm3"] if chance.randrange(2) else [kind, "heat", "--rise", "9"]
    if kind == "shift":
        return [kind, str(core), f"{round(chance.uniform(-0.4, 0.4), 2):+}"]
    if kind == "reading":
        return [kind, str(core), "--core-bottom", str(round(1010 + core * 9.5, 2))]
    if kind == "seafloor":
        return [kind, str(round(chance.uniform(990, 1000), 2)), "--seafloor-by", "tagged", "--seafloor-at",
                "2026-03-01T00:00:00Z"]
    write(where, name, "core,offset_m,method", [(at, round(chance.uniform(0, 3), 3), "assumed")
                                                for at in range(1, core_count + 1)])
    return [kind, name]


def depths(program, hole, *state):
    """Samples on every scale, as text."""
    return "".join(program("sample", "list", hole, "--scale", scale, "--csv", *state) for scale in SCALES)


def figures(text):
    return [[cell for cell in row[2:6]] for row in csv.reader(io.StringIO(text))]


def shifts(before, after, scale):
    """What became of the samples between two tables of one scale: moved, least, greatest, lost, found."""
    moved, lost, found = [], 0, 0
    part = SCALES.index(scale)
    size = before.count("\n") // len(SCALES)
    old = list(csv.reader(io.StringIO("".join(before.splitlines(True)[part * size:(part + 1) * size]))))
    new = list(csv.reader(io.StringIO("".join(after.splitlines(True)[part * size:(part + 1) * size]))))
    for a, b in zip(old[1:], new[1:]):
        if a[2] and b[2]:
            if a[2] != b[2]:
                moved.append(round(float(b[2]) - float(a[2]), 3))
        else:
            lost += bool(a[2])
            found += bool(b[2])
    return len(moved), min(moved, default=None), max(moved, default=None), lost, found


def told(report):
    """The same from the report: its line of samples."""
    line = re.search(r"^\S+ +samples +(\S+) +(\d+) +(\S+) +(\S+) +(\S+) +(\d+) +(\d+)$", report, re.M)
    number = [None if cell == "-" else float(cell) for cell in line.group(3, 4)]
    return line.group(1), (int(line.group(2)), *number, int(line.group(6)), int(line.group(7)))


def is_same(found, said):
    """Shifts of depths rounded to 1 mm may be 1 mm off; one of less than that may not show at all."""
    if found[3:] != said[3:]:
        return False
    if said[0] == 0 or found[0] == 0:
        return found[0] == 0 or max(abs(found[1]), abs(found[2])) <= 0.001
    return found[0] <= said[0] and all(abs(a - b) <= 0.0011 or abs(b) <= 0.001
                                       for a, b in zip(found[1:3], said[1:3]))


class History:
    def __init__(self, table, chance, number):
        self.table, self.program, self.chance, self.where = table, table.act, chance, table.work
        self.hole = f"U{number:04}A"
        self.twin = f"U{number:04}B"
        self.core_count = table.act("core", "list", self.hole, "--csv").count("\n") - 1
        self.printed = {}
        self.standing = {}
        self.note()

    def note(self):
        self.printed[self.table.tip()] = self.now = depths(self.program, self.hole)

    def act(self, words, what):
        """Preview, do, compare; false where it was refused."""
        before = self.now
        preview = self.program("correction", *words, "--reason", what, "--sure", "--dry-run", codes=(0, 4))
        if "would record" not in preview:
            return False
        done = self.program("correction", *words, "--reason", what, "--sure")
        self.note()
        scale, said = told(preview)
        if (scale, said) != told(done):
            fail(self.hole, words, "the preview says", told(preview), "the act", told(done))
        found = shifts(before, self.now, scale)
        if not is_same(found, said):
            fail(self.hole, words, "the preview says", scale, said, "the samples moved", found)
        return done

    def add(self, at):
        words = random_correction(self.chance, self.where, self.core_count, f"{self.hole}-{at}.csv")
        replaces = ["--supersedes", "standing"] if self.chance.randrange(3) == 0 else []
        done = self.act(["add", self.hole, *words, *replaces], f"correction {at}")
        if not done:
            return
        number = re.search(r"recorded: Correction (\d+)", done).group(1)
        gone = re.search(r"in place of ([0-9 ]+)", done)
        for old in gone.group(1).split() if gone else ():
            self.standing.pop(old, None)
        self.standing[number] = words
        reach = self.program("correction", "reach", self.hole, number)
        if not gone and told(reach) != told(done):
            fail(self.hole, words, "reported later as", told(reach), "at first", told(done))
        if self.chance.randrange(4) == 0:
            self.take_back(number, bool(gone))

    def take_back(self, number, brings_back):
        before = list(self.printed.values())[-2]
        if self.act(["withdraw", self.hole, number], "entered in error"):
            self.standing.pop(number)
            if self.now != before:
                fail(self.hole, "withdrawal of", number, "does not bring back what was there")
            if brings_back:  # what it took the place of is in force again
                for row in csv.DictReader(io.StringIO(self.program("correction", "list", self.hole, "--csv"))):
                    if row["state"] == "in force" and row["number"] not in self.standing:
                        self.standing[row["number"]] = self.all_words[row["number"]]

    def run(self):
        self.all_words = {}
        for at in range(self.chance.randint(2, 5)):
            self.add(at)
            self.all_words.update(self.standing)
        order = list(self.standing.values())
        self.chance.shuffle(order)
        for words in order:
            self.program("correction", "add", self.twin, *words, "--reason", "twin", "--sure")
        if figures(depths(self.program, self.twin)) != figures(self.now):
            fail(self.hole, "its twin, corrected in another order, has other depths", order)
        for state, text in self.printed.items():
            if depths(self.program, self.hole, "--as-of", state) != text:
                fail(self.hole, "as of", state, "it is not what was printed then")
        return len(self.printed)


def main():
    options = asked(__doc__, seed=1, histories=(8, 200))
    chance = random.Random(options.seed)
    with place(options) as where:
        table = Table(options.bin, where, by_hand=True, CORETALLY_CLOCK=None)
        cores, sections, samples = plan_holes(chance, options.histories)
        table.act("start", "901")
        for history in range(options.histories):
            for letter in "AB":
                table.act("hole", "add", f"U{history + 1:04}{letter}", "--returns", "seafloor", "--seafloor", "1000",
                          "--seafloor-by", "tagged", "--seafloor-at", "2026-03-01T00:00:00Z", "--tolerance", "0.5")
        write(where, "cores.csv", "site,hole,core,type,top_m,bottom_m,datum,recovered_m,on_deck", cores)
        write(where, "sections.csv", "site,hole,core,type,section,curated_m", sections)
        write(where, "samples.csv", "site,hole,core,type,section,half,top_cm,bottom_cm", samples)
        for name in ("cores", "sections", "samples"):
            table.act("import", name, name + ".csv")
        states = sum(History(table, chance, at + 1).run() for at in range(options.histories))
        table.git("fsck", "--strict", "--no-dangling")
    return verdict(FAILED, f"{options.histories} histories, {states} states printed and had again,")


if __name__ == "__main__":
    sys.exit(main())
