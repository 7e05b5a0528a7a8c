#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The pairs of tests/join/pairs.txt, done and joined: what a person expects of two acts that did not know of each other.

    joins.py --bin DIR [--only WORDS]

Each pair is done three times: the ship first, the shore first, both at one time; once of these in clones with a work tree,
else in bare registries. Ship joins shore, and shore joins ship: both come to the same commit. The acts stay in the history as
they were, with author and time. Then what the table says is looked for: nothing open; a number given anew, its old name found
and its label stale; a field that is open, with both values, who and when, settled by the one and by the other; a rule that
only the two together break.
"""
import json
import os
import pathlib
import shlex
import sys

from table import Table, asked, place

JOIN = pathlib.Path(__file__).resolve().parents[1] / "join"
sys.path.insert(0, str(JOIN))
import engine  # noqa: E402  pylint: disable=wrong-import-position

BEGUN, EARLY, LATE, AFTER = (f"2026-03-0{day}T04:00:00Z" for day in (3, 4, 5, 6))
TIMES = (("ship first", EARLY, LATE), ("shore first", LATE, EARLY), ("at one time", EARLY, EARLY))
PERSONS = {"ship": "Mira Tamm", "shore": "Ida Lindqvist"}
SIDES = ("ship", "shore")
# What a label is printed of before the join, on both sides: a thing whose number is given anew.
LABELLED = {"two bags, one number": "U0021A-BAG1", "one interval, two requesters": "U0020A-3H-4W,10-12"}
LISTS = {"sample": ("sample", "list", "U0020A"), "bag": ("bag", "list", "U0021A"), "correction": ("correction", "list", "U0020A"),
         "check": ("check", "list", "U0021A"), "interval": ("drilled", "list", "U0020A"), "pump": ("pump", "list", "U0021A")}


def pairs():
    with open(JOIN / "pairs.txt", encoding="utf-8") as file:
        for line in file:
            if not line.startswith("#"):
                name, ship, shore, expected = line.strip().split(" | ")
                yield name, {"ship": ship, "shore": shore}, dict((word + " ").split(" ", 1) for word in expected.split(", "))


class Pair:
    def __init__(self, table, room, name, acts):
        self.table, self.room, self.name, self.acts = table, room, name, acts
        self.commits = {}

    def say(self, *words):
        self.table.fail(self.room + ":", *words)

    def run(self, side, clock, words, codes=(0,), who=None):
        """A command on one side."""
        who = who or PERSONS.get(side, PERSONS["ship"])
        mail = who.split()[0].lower() + "@ship.example"
        return self.table.run(*words, codes=codes, env={
            "CORETALLY_CLOCK": clock, "CORETALLY_REGISTRY": self.table.under(self.room, side), "GIT_AUTHOR_NAME": who,
            "GIT_AUTHOR_EMAIL": mail, "GIT_COMMITTER_NAME": who, "GIT_COMMITTER_EMAIL": mail}, folder=self.room)

    def git(self, side, *words):
        return self.table.git(*words, at=os.path.join(self.room, side))

    def read(self, side, path):
        """A file of a side's newest state, as what its JSON says."""
        return json.loads(self.git(side, "show", "main:" + path))

    def files(self, side):
        return self.git(side, "ls-tree", "-r", "--name-only", "main").splitlines()

    def open_files(self, side):
        return [self.read(side, path) for path in self.files(side) if "/open/" in path or path.startswith("open/")]

    # --- acts, and the join ---

    def part(self, is_bare, clocks):
        """Both begin with the same, and do what the table says."""
        os.makedirs(self.table.under(self.room))
        for side in SIDES:
            self.table.git("clone", "-q", *(["--bare"] if is_bare else []), "registry.git", os.path.join(self.room, side), at="")
            self.run(side, clocks[side], shlex.split(self.acts[side]))
            self.commits[side] = [self.git(side, "rev-parse", "main")]
            if self.name in LABELLED:
                self.run(side, clocks[side], ["label", "print", LABELLED[self.name], "--out", side + ".svg"])
                self.commits[side].append(self.git(side, "rev-parse", "main"))

    def join(self, programs):
        """In both directions; each side keeps what it made."""
        told = {}
        for side, other in (SIDES, SIDES[::-1]):
            self.git(side, "fetch", "-q", "../" + other, *self.commits[other][-1:])
        for side, other in (SIDES, SIDES[::-1]):
            told[side], said = programs.join(self.table.under(self.room, side), self.commits[other][-1])
            if not told[side]:
                self.say("no join:", said.err)
                return None
        for what, words in (("commit", ["rev-parse", "main"]), ("tree", ["rev-parse", "main^{tree}"])):
            if self.git("ship", *words) != self.git("shore", *words):
                self.say(what, "differs:", *[self.git(side, "ls-tree", "-r", "main") for side in SIDES])
        if told["ship"] != told["shore"]:
            self.say("told in one direction", told["ship"], "and in the other", told["shore"])
        return told["ship"]

    def check_history(self):
        """Every act with its author and time, as it was before; the join in nobody's name."""
        for side in SIDES:
            log = self.git(side, "log", "--format=%H %an, %aI").splitlines()
            for other in SIDES:
                for commit in self.commits[other]:
                    if f"{commit} {PERSONS[other]}, " not in "\n".join(log):
                        self.say(side, "has no act", commit, "of", PERSONS[other])
            if "coretally, " not in log[0]:
                self.say("the join is by", log[0])

    def check_sound(self, side):
        said = self.run(side, AFTER, ["verify"], codes=None)
        if ": 0 damaged, 0 wrong" not in said.stdout + said.stderr:
            self.say("verify on", side, said.returncode, said.stdout, said.stderr)
        if self.git(side, "fsck", "--strict"):
            self.say("git fsck on", side)
        if not self.git(side, "rev-parse", "--is-bare-repository") == "true" and self.git(side, "status", "--porcelain", "-uno"):
            self.say("the work tree of", side, "is not what its branch has")

    # --- what the table expects ---

    def expect(self, expected, told, first):
        """first: the side that acted first, None where both did at one time."""
        open_now = self.open_files("ship")
        if ("differs" in expected) != bool(open_now):
            self.say("open:", open_now)
        if ("number" in expected) != bool(told["renumbered"]):
            self.say("renumbered:", told["renumbered"])
        if "number" in expected:
            self.expect_number(expected["number"].strip(), told["renumbered"], first)
        if "differs" in expected:
            self.expect_differs(expected["differs"].strip().split("; "), open_now, first)
        if "same" in expected and len(self.items("sample")) != 2:
            self.say("the same sample stands there more than once:", self.items("sample"))

    def items(self, what):
        """The things of a kind, whatever files hold them."""
        found = []
        for path in self.files("ship"):
            record = self.read("ship", path) if path.endswith(".json") else {}
            lists = {"samples": "sample", "bags": "bag", "checks": "check", "intervals": "interval", "pumps": "pump"}
            for key, word in lists.items():
                if word == what:
                    found += record.get(key, ())
            if record.get("kind") == what == "correction":
                found.append(record)
        return found

    def expect_number(self, what, renumbered, first):
        if len(renumbered) != 1 or renumbered[0]["what"] != what:
            self.say("renumbered", renumbered)
            return
        it = renumbered[0]
        sides = [side for side in SIDES if it["commit"] in self.commits[side]]
        if len(sides) != 1 or it["first"] not in self.commits[SIDES[sides[0] == "ship"]] or (first and sides[0] == first):
            self.say("who was first:", it, self.commits)
        if not first and it["first"] > it["commit"]:
            self.say("at one time, and the greater id was first:", it)
        former = [one for one in self.items(what) if one.get("was") == f"{it['older']}@{it['commit']}"]
        if len(former) != 1:
            self.say("what was called", it["older"], "is not found by that:", self.items(what))
        if not self.run("ship", AFTER, LISTS[what]).stdout.strip():
            self.say("no", what, "is listed")
        if self.name in LABELLED:
            self.expect_stale(sides[0], it)

    def expect_stale(self, side, it):
        """The label of what has another number now is stale; that of what kept it is not."""
        rows = json.loads(self.run("ship", AFTER, ["label", "list", "--every", "--json"]).stdout)
        stem = LABELLED[self.name].replace(" ", "")
        rows = [row for row in rows if stem in row["symbol"].replace(" ", "")]
        for row in rows:
            is_late = row["state"] == self.commits[side][0][:10]
            if (row["is"] == "stale") != is_late:
                self.say("a label of", it, "is told as", row)
        if len(rows) != 2:
            self.say("two labels were printed, and listed are", rows)

    def expect_differs(self, fields, open_now, first):
        if sorted(record["field"] for record in open_now) != sorted(fields):
            self.say("open is", open_now, "and should be", fields)
            return
        for record in open_now:
            claims = record["claims"]
            if sorted(claim["commit"] for claim in claims) != sorted(self.commits[side][0] for side in SIDES):
                self.say("who claimed", record)
            if first and claims[0]["commit"] in self.commits[first]:
                self.say("the earlier act stands:", record)
            if not first and claims[0]["commit"] < claims[1]["commit"]:
                self.say("at one time, and the smaller id stands:", record)


def main():
    options = asked(__doc__, only="")
    count = 0
    with place(options) as folder:
        table = Table(options.bin, folder, is_warm=True, CORETALLY_CLOCK=BEGUN)
        programs = engine.Programs(options.bin, table.env)
        table.start(["bash", str(JOIN / "base.sh")], codes=(0,), env={"CORETALLY": table.env["P"]})
        for at, (name, acts, expected) in enumerate(pairs()):
            for when, (word, *clocks) in enumerate(TIMES):
                if options.only not in name:
                    continue
                count += 1
                pair = Pair(table, f"{name}, {word}", name, acts)
                pair.part((at + when) % 3 != 0, dict(zip(SIDES, clocks)))
                told = pair.join(programs)
                if told:
                    pair.check_history()
                    pair.check_sound("ship")
                    pair.expect(expected, told, {0: "ship", 1: "shore"}.get(when))
        programs.end()
    return table.verdict(f"{count} pairs of acts;")


if __name__ == "__main__":
    sys.exit(main())
