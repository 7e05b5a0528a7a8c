#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Cores are renamed at random, and names, labels and earlier states still lead to the core that they meant.

    renames.py --bin DIR [--acts N] [--seed N]

A model beside the registry knows each core by its drilled top, which no two share. Cores are recorded under any free number,
given other numbers and letters, back and forth; samples are taken and labels printed of them on the way. git fsck --strict
is asked after each act, verify now and then and at the end. At the end each label, scanned, leads to the core that it was
printed of; each state, asked by --as-of, has each core under the name that it had then; comparing the first state with
the last tells no core as gone. Then a clone with a work tree renames and pushes through the hook of verify, and stays clean.
"""
import csv
import io
import json
import os
import random
import sys

from table import Table, asked, place

HOLE = "U0012A"
SEAFLOOR = 3000.0


class Failed(Exception):
    pass


def hold(what, found, expected):
    if found != expected:
        raise Failed("%s: found %s, expected %s" % (what, found, expected))


class Place(Table):
    def shell(self, *words, code=0):
        done = self.start(words)
        if code is not None and done.returncode != code:
            raise Failed("%s: exit %d\n%s%s" % (" ".join(words), done.returncode, done.stdout, done.stderr))
        return done

    def act(self, *words, code=0):
        return self.shell("coretally", *words, code=code)


class Core:
    def __init__(self, name, offset):
        self.name = name
        self.offset = offset  # of its top below the seafloor, m: its own
        self.samples = []


def depth_rows(place, *words):
    rows = json.loads(place.act("depth", *words, "--json").stdout)
    return [(row["name"], round(row["csf_a_top_m"], 3)) for row in rows]


class Story:
    def __init__(self, place, seed):
        self.place = place
        self.random = random.Random(seed)
        self.cores = []
        self.labels = []  # text, core, depth
        self.states = []  # commit, [(name, depth)]

    def free_name(self, letter=None):
        taken = {int(core.name[:-1]) for core in self.cores}
        number = self.random.choice([number for number in range(1, 12) if number not in taken])
        return "%d%s" % (number, letter or self.random.choice("HX"))

    def add(self):
        if len(self.cores) > 7:
            return self.rename()
        core = Core(self.free_name(), 20.0 * (len(self.cores) + 1))
        self.place.act("core", "add", "%s-%s" % (HOLE, core.name), "%.1f" % (SEAFLOOR + core.offset), "+9.5", "--recovered", "3",
                       "--sections", "2x1.5", "--sure", "--order-note", "numbered at random")
        self.cores.append(core)
        return None

    def rename(self):
        core = self.random.choice(self.cores)
        name = self.free_name()
        if self.random.random() < 0.3:
            name = core.name[:-1] + ("X" if core.name[-1] == "H" else "H")
        self.place.act("core", "amend", "%s-%s" % (HOLE, core.name), "--name", name, "--sure", "--reason", "numbered at random")
        again = self.place.act("core", "amend", "%s-%s" % (HOLE, name), "--name", name, "--reason", "twice")
        hold("typed again", again.stdout.startswith("already recorded"), True)
        core.name = name

    def take(self):
        core = self.random.choice(self.cores)
        top = len(core.samples) + 1
        self.place.act("sample", "add", "%s-%s-2W,%d-%d" % (HOLE, core.name, top, top + 1))
        core.samples.append(top)

    def print_label(self):
        core = self.random.choice([core for core in self.cores if core.samples] or self.cores)
        if not core.samples:
            return
        top = self.random.choice(core.samples)
        name = "%s-%s-2W,%d-%d" % (HOLE, core.name, top, top + 1)
        self.place.act("label", "print", name, "--out", "label-%d.svg" % len(self.labels))
        rows = csv.DictReader(io.StringIO(self.place.act("label", "list", name, "--every", "--csv").stdout))
        newest = [row for row in rows if row["name"] == "901-" + name][-1]
        self.labels.append((newest["symbol"], core, top))

    def keep_state(self):
        self.states.append((self.place.git("rev-parse", "main"),
                            [("901-%s-%s" % (HOLE, core.name), core.offset) for core in self.cores]))

    def hold_labels(self):
        for text, core, top in self.labels:
            name = "901-%s-%s-2W, %d-%d cm" % (HOLE, core.name, top, top + 1)
            hold(text, depth_rows(self.place, text), [(name, round(core.offset + 1.5 + top / 100, 3))])
            traced = json.loads(self.place.act("trace", text, "--json").stdout)
            hold(text + ", traced", traced["name"], name)
            stale = not text.startswith("901-%s-%s-" % (HOLE, core.name))
            hold(text + ", stale", traced["stale"], stale)

    def hold_states(self):
        for commit, cores in self.states:
            names = [name for name, _ in cores]
            hold("state " + commit[:10], depth_rows(self.place, *names, "--as-of", commit), cores)

    def hold_comparison(self):
        """What is there at both ends is renamed or the same, and never gone and come."""
        first, before = self.states[0]
        rows = json.loads(self.place.act("compare", first, "--each", "--json").stdout)
        rows = rows["things"] if isinstance(rows, dict) else rows
        told = {row["name"]: row["change"] for row in rows if row.get("what") == "cores" and row.get("change")}
        for core in self.cores:
            now = "901-%s-%s" % (HOLE, core.name)
            then = [name for name, offset in before if offset == core.offset]
            expected = "added" if not then else "renamed, was " + then[0] if then[0] != now else None
            if expected is None and (told.get(now) or "amended").startswith("amended"):
                continue
            hold("compare, " + now, told.get(now), expected)

    def hold_history(self):
        for core in self.cores:
            rows = json.loads(self.place.act("history", "%s-%s" % (HOLE, core.name), "--json").stdout)
            hold("history of %s begins" % core.name, rows[0]["what_did_it"] if "what_did_it" in rows[0] else rows[0]["what did it"],
                 "core recorded")
            hold("history of %s ends" % core.name, round(rows[-1]["top_to_m"], 3), core.offset)


def check_clone(place, story):
    """A work tree follows, and the hook lets the renaming in."""
    place.shell("git", "init", "-q", "--bare", "-b", "main", "shore.git")
    with open(os.path.join(place.work, "shore.git/hooks/pre-receive"), "w", encoding="utf-8") as file:
        file.write(place.act("verify", "--hook-text").stdout)
    os.chmod(os.path.join(place.work, "shore.git/hooks/pre-receive"), 0o755)
    place.git("push", "-q", "../shore.git", "main")
    place.shell("git", "clone", "-q", "shore.git", "clone")
    core = story.cores[0]
    name = story.free_name()
    old = "clone/holes/%s/cores/%04d.json" % (HOLE, int(core.name[:-1]))
    place.act("core", "amend", "%s-%s" % (HOLE, core.name), "--name", name, "--sure", "--reason", "in a clone", "--registry",
              "clone")
    hold("files of the clone", place.git("status", "--porcelain", at="clone"), "")
    hold("the old file", os.path.exists(os.path.join(place.work, old)), False)
    place.git("push", "-q", "origin", "main", at="clone")
    place.act("verify", "--registry", "shore.git")
    core.name = name


def live(place, story, acts):
    place.act("start", "901")
    place.act("hole", "add", HOLE, "--returns", "seafloor", "--seafloor", str(SEAFLOOR), "--seafloor-by", "tagged")
    for _ in range(2):
        story.add()
    for at in range(acts):
        story.keep_state()
        story.random.choice([story.add, story.rename, story.rename, story.take, story.print_label])()
        place.git("fsck", "--strict")
        if at % 8 == 7:
            place.act("verify")
    said = place.act("verify")
    if ": 0 damaged, 0 wrong" not in said.stdout + said.stderr:
        raise Failed("verify: %s%s" % (said.stdout, said.stderr))
    story.hold_labels()
    story.hold_states()
    story.hold_comparison()
    story.hold_history()
    check_clone(place, story)


def main():
    options = asked(__doc__, acts=24, seed=3)
    with place(options) as folder:
        table = Place(options.bin, folder, by_hand=True)
        story = Story(table, options.seed)
        try:
            live(table, story, options.acts)
        except Failed as failure:
            table.fail(failure)
    return table.verdict("%d cores, %d labels, %d states;" % (len(story.cores), len(story.labels), len(story.states)))


if __name__ == "__main__":
    sys.exit(main())
