#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What an act says that it moves, held against what has moved when it is done.

    moves.py --bin DIR [--seed 1] [--acts 60] [--keep FOLDER]

Random acts on holes, cores, sections, samples, wells, pumps, lag checks, pump logs and bags. Each is tried with --dry-run
first: nothing may be written, and what is told must be told again when it is recorded. Then the two states are compared, and
depths, bags and labels asked for before and after: what was told must be what is found there, and an act that told nothing must
have moved nothing on any scale that is asked for.
"""
import os
import random
import re
import sys
from decimal import Decimal

from table import asked, place, verdict
from states import FAILED, Registry, fail

DAYS = 4  # of the pump log; a row every ten minutes


def log_rows(day, faster):
    """A day of the log: it drills a metre in ten minutes, save for an hour at six."""
    rows = ["time,hole_m,strokes_1"]
    for at in range(144):
        minute = at * 10
        total = day * 144 + at
        pumping = total * 700 + (faster if at > 60 else 0) * (at - 60)
        rows.append("2026-02-%02dT%02d:%02d:00Z,%.1f,%d" % (20 + day, minute // 60, minute % 60, 1600 + total, pumping))
    return "\n".join(rows) + "\n"


class Scene:
    def __init__(self, registry, chance):
        self.registry, self.chance = registry, chance
        self.seen = dict.fromkeys(("moved", "silent", "labels", "bags", "lost"), 0)
        self.logged = []  # days that are in the log

    def start(self):
        run = self.registry.run
        run("start", "901")
        run("hole", "add", "U0012A", "--returns", "seafloor", "--seafloor", "1000", "--seafloor-by", "tagged")
        run("hole", "add", "U0012B", "--returns", "seafloor", "--parent", "U0012A", "--kickoff", "1020")
        run("hole", "add", "U0012D", "--returns", "seafloor")
        for hole, first in (("U0012A", 1000), ("U0012B", 1030), ("U0012D", 1000)):
            for core in range(1, 4):
                run("core", "add", f"{hole}-{core}H", str(first + 9.5 * (core - 1)), "+9.5", "--recovered", "9.6",
                    "--sections", "6x1.5,0.7")
                for section in (1, 4, 6):
                    run("sample", "add", f"{hole}-{core}H-{section}W,20-22")
        run("correction", "add", "U0012A", "tally", "+0.5", "--top", "1012", "--reason", "joint")
        run("correction", "add", "U0012A", "survey", "-", "--reason", "tool", "--sure",
            given="depth_m,inclination_deg,azimuth_deg\n0,0,0\n1000,2,10\n1050,30,20\n1100,35,25\n")
        run("hole", "add", "U0013A", "--returns", "ship", "--seafloor", "600", "--seafloor-by", "tagged", "--zone", "Z")
        run("well", "add", "U0013A", "--from", "2026-02-19T00:00Z", "--bores", "riser,0,600,475; open,600,,325",
            "--string", "drill pipe,,125,100")
        run("pump", "add", "U0013A", "1", "--from", "2026-02-19T00:00Z", "--kind", "triplex", "--bore", "200", "--stroke",
            "300")
        for day in range(DAYS - 1):
            self.log(day)
        for at in range(DAYS * 5):
            hour = 3 + at * 4
            time = "2026-02-%02dT%02d:%02d:00Z" % (20 + hour // 24, hour % 24, at % 3 * 20)
            run("bag", "add", "U0013A", time, time[:14] + "%02d:00Z" % (at % 3 * 20 + 5), "--sure")
        for hole in ("U0012A", "U0012D", "U0013A"):
            run("label", "print", hole, "--all", "--out", hole + ".pdf")
        run("label", "print", "U0012A", "--all", "--what", "sample", "--scale", "CSF-B", "--out", "b.pdf")

    def log(self, day, faster=0):
        with open(self.registry.under("log.csv"), "w", encoding="ascii") as file:
            file.write(log_rows(day, faster))
        self.registry.run("log", "add", "U0013A", "log.csv", "--bridge", "gap", "--gap", "1h")
        self.logged.append(day)

    # --- acts: their words ---

    def core(self):
        return f"{self.chance.choice(('U0012A', 'U0012A', 'U0012B', 'U0012D'))}-{self.chance.randint(1, 3)}H"

    def section(self, sections=(1, 2, 3, 4, 5, 6, 7)):
        return f"{self.core()}-{self.chance.choice(sections)}"

    def sample(self):
        rows = self.registry.rows("sample", "list", self.core())
        standing = [row for row in rows if not row.get("withdrawn")]
        return self.chance.choice(standing)["sample"] if standing else None

    def amend_core(self):
        core = self.core()
        top = 1000 + 9.5 * (int(core[-2]) - 1) + self.chance.randint(0, 40) / 100 + (30 if core[5] == "B" else 0)
        return self.chance.choice((
            ("core", "amend", core, "--top", f"{top:.2f}"), ("core", "amend", core, "--bottom", f"{top + 9:.2f}"),
            ("core", "amend", core, "--recovered", self.chance.choice(("9.4", "9.6", "9.7"))),
            ("core", "amend", core, "--remark", str(self.chance.random())),
            ("core", "amend", core, "--hazard", self.chance.choice(("H2S", "gas", "")))))

    def amend_section(self):
        return ("section", "amend", self.section(), self.chance.choice(("--curated", "--curated", "--liner")),
                self.chance.choice(("1.42", "1.45", "1.5", "0.7")))

    def add_section(self):
        return ("section", "add", self.section((8, 9)), self.chance.choice(("0.1", "0.2")))

    def withdraw_section(self):
        return ("section", "withdraw", self.section((7, 8, 9, 2)))

    def amend_sample(self):
        sample = self.sample()
        top = self.chance.randint(10, 40)
        return sample and self.chance.choice((
            ("sample", "amend", sample, "--top", str(top), "--bottom", str(top + 2)),
            ("sample", "amend", sample, "--mass", str(top)), ("sample", "amend", sample, "--hazard", "H2S"),
            ("sample", "withdraw", sample)))

    def amend_hole(self):
        return self.chance.choice((
            ("hole", "amend", "U0012A", "--seafloor", str(1000 - self.chance.randint(0, 20) / 10)),
            ("hole", "amend", "U0012A", "--heave", str(self.chance.randint(1, 9) / 10)),
            ("hole", "amend", "U0012B", "--kickoff", str(self.chance.choice((1008, 1015, 1020, 1028)))),
            ("hole", "amend", "U0012B", "--parent", self.chance.choice(("U0012A", "U0012D"))),
            ("hole", "amend", "U0012D", "--seafloor", self.chance.choice(("999", "998.5")), "--seafloor-by", "tagged"),
            ("hole", "amend", "U0013A", "--seafloor", str(600 + self.chance.randint(-5, 5)))))

    def amend_lag(self):
        hour = self.chance.randint(0, 80)
        start = "2026-02-%02dT%02d:10:00Z" % (20 + hour // 24, hour % 24)
        seen = "2026-02-%02dT%02d:40:00Z" % (20 + (hour + 2) // 24, (hour + 2) % 24)
        number = str(self.chance.randint(1, 4))
        return self.chance.choice((
            ("well", "add", "U0013A", "--from", start, "--loss", str(self.chance.randint(5, 60)), "--loss-depth", "700"),
            ("well", "amend", "U0013A", number, "--loss", str(self.chance.randint(5, 60)), "--loss-depth", "650"),
            ("well", "amend", "U0013A", number, "--remark", str(hour)), ("well", "withdraw", "U0013A", str(2 + hour % 4)),
            ("pump", "add", "U0013A", "1", "--from", start, "--kind", "triplex", "--bore",
             self.chance.choice(("195", "205")), "--stroke", "300"),
            ("pump", "amend", "U0013A", number, "--efficiency", str(self.chance.randint(90, 100))),
            ("pump", "withdraw", "U0013A", str(2 + hour % 4)), ("check", "add", "U0013A", start, seen),
            ("check", "amend", "U0013A", number, "--seen", seen), ("check", "withdraw", "U0013A", number)))

    def amend_bag(self):
        number = self.chance.randint(1, DAYS * 5)
        hour = 3 + (number - 1) * 4
        return self.chance.choice((
            ("bag", "amend", f"U0013A-BAG{number}", "--from", "2026-02-%02dT%02d:00:00Z" % (20 + hour // 24, hour % 24 - 1)),
            ("bag", "amend", f"U0013A-BAG{number}", "--mass", "12"), ("bag", "withdraw", f"U0013A-BAG{number}")))

    def amend_log(self):
        if len(self.logged) == DAYS:
            day = self.chance.randrange(1, DAYS)
            self.logged = [it for it in self.logged if it < day]
            return ("log", "withdraw", "U0013A", "2026-02-%02d" % (20 + day))
        day = len(self.logged)
        with open(self.registry.under("log.csv"), "w", encoding="ascii") as file:
            file.write(log_rows(day, self.chance.choice((0, 300))))
        self.logged.append(day)
        return ("log", "add", "U0013A", "log.csv", "--bridge", "gap", "--gap", "1h")

    # --- what is there ---

    def names(self):
        found = []
        for row in self.registry.rows("core", "list"):
            if "withdrawn" not in row["note"]:
                found.append(row["core"])
        for hole in ("U0012A", "U0012B", "U0012D"):
            found += [row["section"] for row in self.registry.rows("section", "list", hole) if row["csf_a_top_m"]]
            found += [row["sample"] for row in self.registry.rows("sample", "list", hole) if not row.get("withdrawn")]
        return found

    def depths(self):
        names = self.names()
        typed = "".join(name + "\n" for name in names)
        found = {}
        for name, row, down in zip(names, self.registry.rows("depth", "-", given=typed, codes=(0, 3, 4)), self.registry.rows(
                "depth", "-", "--scale", "TVD", given=typed, codes=(0, 3, 4))):
            found[name] = (*(row[f"csf_{scale}_{end}_m"] for scale in "ab" for end in ("top", "bottom")), down["top_m"],
                           down["bottom_m"])
        bags = {row["name"]: (row["MSF_top_m"], row["MSF_bottom_m"])
                for row in self.registry.rows("bag", "list", "U0013A") if not row.get("withdrawn")}
        return {**found, **bags}

    def labels(self):
        """Name, copy and scale of those that show the depth of today, are stale, are gone."""
        found = {}
        for row in self.registry.rows("label", "list"):
            found[row["name"], row["copy"], row["scale"], row["printed"]] = row["is"]
        return found

    # --- one act ---

    def act(self, words):
        words = list(words)
        if words[1] in ("amend", "withdraw"):
            words += ["--reason", "found out"]
        before = self.registry.tip()
        done = self.registry.run(*words, "--sure", "--dry-run", "--each", codes=(0, 4, 5, 6, 7))
        dry = done.stdout
        if self.registry.tip() != before:
            fail("a dry run wrote", words)
        if done.returncode or "would record" not in dry:
            if words[0] == "log":
                raise SystemExit(f"{words}: {dry}")
            return
        depths, labels = self.depths(), self.labels()
        told = self.registry.act(*words, "--sure", "--each")
        if cut(dry).replace("moves nothing\n", "") != cut(told):
            fail("the dry run says something else", words, cut(dry), cut(told))
        self.judge(words, before, cut(told), depths, labels)

    def judge(self, words, before, told, depths, labels):
        listed = each_rows(told)
        first = listed[0][2] if listed else "CSF-A"
        wanted = set()
        scale = first if first in ("CSF-A", "CSF-B", "TVD", "DRF") else "CSF-A"
        for row in self.registry.rows("compare", before, "--each", "--scale", scale):
            if re.search("moved|no depth any more|has a depth now", row["change"]) and not is_growth(words, row):
                wanted.add((row["what"], row["name"], row["from_m"], row["to_m"]))
        if scale in ("CSF-A", "CSF-B", "TVD"):
            wanted = {row for row in wanted if row[0] != "bags"} | {
                (row["what"], row["name"], row["from_m"], row["to_m"]) for row in self.registry.rows(
                    "compare", before, "--each") if row["what"] == "bags" and
                re.search("moved|no depth any more|has a depth now", row["change"])}
        own = {(what, name, old, new) for what, name, _, old, new in listed}
        if scale == "DRF":  # of cores alone: a piece of a core has bounds on it
            wanted = {row for row in wanted if row[0] == "cores"}
        if own != wanted:
            fail("told and found differ", words, told, "told alone:", own - wanted, "found alone:", wanted - own)
        self.hold_counts(words, told, listed)
        after = self.depths()
        changed = {name for name in depths if name in after and depths[name] != after[name]}
        silent = not re.search("^moves |depth", told, re.M)
        grown = {name for name in changed if re.fullmatch(r"901-\w+-\d+H", name)} if words[0] == "section" else set()
        if silent and changed - grown:
            fail("it told nothing, and moved", words, sorted(changed)[:5])
        self.hold_labels(words, told, labels)
        self.seen["silent" if silent else "moved"] += 1
        self.seen["bags"] += " bag" in told
        self.seen["lost"] += "no depth any more" in told or "has a depth now" in told

    def hold_counts(self, words, told, listed):
        """The sentences say as many, and as far, as the rows."""
        for what in ("core", "section", "sample", "bag"):
            shifts = [Decimal(new) - Decimal(old) for kind, _, _, old, new in listed
                      if kind == what + "s" and old and new]
            scale = next((it for kind, _, it, _, _ in listed if kind == what + "s"), "CSF-A")
            count, least, greatest = 0, [], []
            for line in told.splitlines():
                match = re.fullmatch(r"moves (.*) of \w+ by (\S+)(?: to (\S+) m, mean \S+)? m \((.*)\)", line)
                number = match and match.group(4) == scale and re.search(rf"(\d+) {what}s?\b", match.group(1))
                if number:
                    count += int(number.group(1))
                    least.append(Decimal(match.group(2)))
                    greatest.append(Decimal(match.group(3) or match.group(2)))
            if count != len(shifts):
                fail("so many are told, and listed", words, what, count, len(shifts))
            if shifts and (abs(min(least) - min(shifts)) > Decimal("0.001") or
                           abs(max(greatest) - max(shifts)) > Decimal("0.001")):
                fail("so far is told, and listed", words, what, least, greatest, min(shifts), max(shifts))

    def hold_labels(self, words, told, labels):
        after = self.labels()
        turned = {"made stale": 0, "of today again": 0, "no longer stands": 0}
        for key, state in labels.items():
            pair = (state, after.get(key, "gone"))
            turned["made stale"] += pair == ("as today", "stale")
            turned["of today again"] += pair == ("stale", "as today")
            turned["no longer stands"] += pair[0] != "gone" and pair[1] == "gone"
        for phrase, count in turned.items():
            said = sum(int(number) for number in re.findall(rf"{phrase}: (\d+)", told))
            if said != count:
                fail("labels", phrase, words, said, count)
            self.seen["labels"] += count > 0


def cut(out):
    """What stands before the line of the record."""
    return re.split(r"^(?:would record|recorded): ", out, maxsplit=1, flags=re.M)[0]


def each_rows(told):
    found = []
    for line in told.splitlines():
        cells = re.split(r"\s{2,}", line.strip())
        if len(cells) == 8 and cells[1] in ("cores", "sections", "samples", "bags"):
            from_m, to_m = ("" if cell == "-" else cell for cell in cells[5:7])
            found.append((cells[1], cells[2], cells[4], from_m, to_m))
    return found


def is_growth(words, row):
    """A core whose lower end goes down with a section more, or up with one less, does not move."""
    return words[0] == "section" and words[1] in ("add", "withdraw") and row["what"] == "cores"


def main():
    options = asked(__doc__, seed=1, acts=(60, 400))
    with place(options) as folder:
        scene = Scene(Registry(options.bin, folder), random.Random(options.seed))
        scene.start()
        ways = [scene.amend_core] * 3 + [scene.amend_section] * 2 + [scene.add_section, scene.withdraw_section] + [
            scene.amend_sample] * 2 + [scene.amend_hole] * 3 + [scene.amend_lag] * 6 + [scene.amend_bag, scene.amend_log]
        for _ in range(options.acts):
            words = scene.chance.choice(ways)()
            if words:
                scene.act(words)
        if min(scene.seen.values()) < options.acts // 30:
            fail("too little happened to tell anything")
    return verdict(FAILED, scene.seen)


if __name__ == "__main__":
    sys.exit(main())
