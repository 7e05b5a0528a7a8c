#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The pairs of tests/join/pairs.txt, done and joined: what a person expects of two acts that did not know of each other.

    joins.py --bin DIR [--only WORDS] [--all]

Each pair is done with the ship first and with the shore first; every third, with --all each, also by both at one time: once of these in bare registries, else in
clones with a work tree. The ship joins by the command, the shore by the function behind it: both come to the same commit. The
acts stay in the history as they were, with author and time, and verify is content. Then what the table says is looked for: nothing
open; a number given anew, its old name found and its label stale; a field that is open, with both values, who and when,
settled by the one and by the other; a rule that only the two together break.
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
    def __init__(self, table, programs, room, acts):
        self.table, self.programs, self.room, self.acts = table, programs, room, acts
        self.name = room.rsplit(", ", 1)[0]
        self.commits, self.registries, self.is_bare = {}, {}, True

    def say(self, *words):
        self.table.fail(self.room + ":", *words)

    def run(self, side, clock, words, codes=(0,)):
        """A command on one side."""
        who = PERSONS[side]
        mail = who.split()[0].lower() + "@ship.example"
        done = self.programs.run(words, self.table.under(self.room), CORETALLY_CLOCK=clock, GIT_AUTHOR_NAME=who, GIT_AUTHOR_EMAIL=mail,
                                 GIT_COMMITTER_NAME=who, GIT_COMMITTER_EMAIL=mail, CORETALLY_REGISTRY=self.table.under(self.room, side))
        if codes and done.code not in codes:
            self.say(side, shlex.join(words), "exit", done.code, done.err)
        return done

    def git(self, side, *words):
        return self.table.git(*words, at=os.path.join(self.room, side))

    def records(self, side):
        """{path: what its JSON says} of a side's newest state."""
        registry = self.registries[side]
        read = {path: registry.read(name) for path, name in registry.files(registry.tip()).items()}
        return {path: record for path, record in read.items() if isinstance(record, dict)}

    def open_files(self, side):
        return [record for path, record in self.records(side).items() if "open" in path.split("/")[:-1]]

    def open_rows(self, side):
        said = self.run(side, AFTER, ["open", "--json"])
        return json.loads(said.out) if said.out.startswith("[") else []

    # --- acts, and the join ---

    def part(self, is_bare, clocks):
        """Both begin with the same, and do what the table says."""
        self.is_bare = is_bare
        os.makedirs(self.table.under(self.room))
        for side in SIDES:
            self.table.git("clone", "-q", *(["--bare"] if is_bare else []), "registry.git", os.path.join(self.room, side), at="")
            self.registries[side] = engine.Registry(self.table.under(self.room, side, *([] if is_bare else [".git"])))
            acts = [shlex.split(self.acts[side])]
            if self.name in LABELLED:
                acts.append(["label", "print", LABELLED[self.name], "--out", side + ".svg"])
            self.commits[side] = []
            for words in acts:
                self.run(side, clocks[side], words)
                self.commits[side].append(self.registries[side].tip())

    def join(self):
        """In both directions, by the command and by hand."""
        self.git("shore", "fetch", "-q", "../ship", self.commits["ship"][-1])
        self.run("ship", AFTER, ["join", self.table.under(self.room, "shore")])
        told, said = self.programs.join(self.table.under(self.room, "shore"), self.commits["ship"][-1])
        if not told:
            self.say("no join:", said.err)
            return None
        tips = [self.registries[side].tip() for side in SIDES]
        if tips[0] != tips[1]:
            self.say("joined differently:", [self.registries[side].files(tip) for side, tip in zip(SIDES, tips)])
        return told

    def check_history(self):
        """Every act with its author and time, as it was before; the join in nobody's name."""
        log = self.git("ship", "log", "--format=%H %an, %aI").splitlines()
        for side in SIDES:
            for commit in self.commits[side]:
                if f"{commit} {PERSONS[side]}, " not in "\n".join(log):
                    self.say("no act", commit, "of", PERSONS[side])
        if "coretally, " not in log[0]:
            self.say("the join is by", log[0])
        if self.git("ship", "fsck", "--strict"):
            self.say("git fsck on the ship")

    def check_sound(self, side):
        said = self.run(side, AFTER, ["verify"], codes=None)
        if ": 0 damaged, 0 wrong" not in said.out + said.err:
            self.say("verify on", side, said.code, said.out, said.err)
        if not self.is_bare and self.git(side, "status", "--porcelain", "-uno"):
            self.say("the work tree of", side, "is not what its branch has")

    # --- what the table expects ---

    def expect(self, expected, told, first):
        """first: the side that acted first, None where both did at one time."""
        open_now = self.open_files("ship")
        if ("differs" in expected) != bool(open_now):
            self.say("open:", open_now)
        if ("number" in expected) != bool(told["renumbered"]):
            self.say("renumbered:", told["renumbered"])
        rows = self.open_rows("ship")
        by_rules = any(row["kind"] == "rule" for row in rows)
        if "differs" not in expected and ("rule" in expected) != by_rules:
            self.say("by the rules:", rows)
        if "number" in expected:
            self.expect_number(expected["number"].strip(), told["renumbered"], first)
        if "differs" in expected:
            self.expect_differs(expected["differs"].strip().split("; "), open_now, first)
        if "same" in expected and len(self.items("sample")) != 2:
            self.say("the same sample stands there more than once:", self.items("sample"))

    def items(self, what):
        """The things of a kind, whatever files hold them."""
        found = []
        for record in self.records("ship").values():
            for key, word in (("samples", "sample"), ("bags", "bag"), ("checks", "check"), ("intervals", "interval"), ("pumps", "pump")):
                found += record.get(key, ()) if word == what else ()
            found += [record] if record["kind"] == what == "correction" else []
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
        if not self.run("ship", AFTER, list(LISTS[what])).out.strip():
            self.say("no", what, "is listed")
        if self.name in LABELLED:
            self.expect_stale(sides[0], it)

    def expect_stale(self, side, it):
        """The label of what has another number now is stale; that of what kept it is not."""
        rows = json.loads(self.run("ship", AFTER, ["label", "list", "--every", "--json"]).out)
        rows = [row for row in rows if row["name"] == "902-" + LABELLED[self.name]]
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

    def settle(self):
        """The ship confirms what stands, the shore takes the other value; each is clean, and nothing is open there. Then both
        decisions meet, and are open once more where they differ."""
        for side, stands in (("ship", "yes"), ("shore", "no")):
            for row in self.open_rows(side):
                if row["kind"] == "differs" and row["stands"] == stands:
                    words = shlex.split(row["command"].replace("WHY", "looked"))[1:]
                    self.run(side, AFTER, [*words, "--sure"])
            if self.open_files(side):
                self.say(side, "settled, and open is still", self.open_files(side))
            self.check_sound(side)
        values = [[record for path, record in sorted(self.records(side).items()) if path.endswith(("0002.json", "0004.json"))] for side in SIDES]
        if values[0] == values[1]:
            self.say("settled by the one and by the other value, and the records are the same:", values)
        self.git("ship", "fetch", "-q", "../shore", "main")
        self.programs.join(self.table.under(self.room, "ship"), self.registries["shore"].tip())
        if not self.open_files("ship"):
            self.say("two decisions that differ, and nothing is open")
        self.check_sound("ship")


def main():
    options = asked(__doc__, only="", all=(False, True))
    count = 0
    with place(options) as folder:
        table = Table(options.bin, folder, CORETALLY_CLOCK=BEGUN)
        programs = engine.Programs(options.bin, table.env)
        table.start(["bash", str(JOIN / "base.sh")], codes=(0,), env={"CORETALLY": table.env["P"]})
        for at, (name, acts, expected) in enumerate(pairs()):
            for when, (word, *clocks) in enumerate(TIMES):
                if options.only not in name or (when == 2 and at % 3 and not options.all):
                    continue
                count += 1
                pair = Pair(table, programs, f"{name}, {word}", acts)
                pair.part((at + when) % 3 == 0, dict(zip(SIDES, clocks)))
                told = pair.join()
                if told:
                    pair.check_history()
                    pair.check_sound("ship")
                    pair.expect(expected, told, {0: "ship", 1: "shore"}.get(when))
                    if "differs" in expected:
                        pair.settle()
        programs.end()
    return table.verdict(f"{count} pairs of acts;")


if __name__ == "__main__":
    sys.exit(main())
