#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What `compare` and `history` tell, held against depths that are asked for one state after the other.

    states.py --bin DIR [--seed 1] [--acts 40] [--keep FOLDER]

Random acts: samples taken, renamed, weighed again, withdrawn and brought back; sections measured again; cores retyped;
corrections recorded, superseded, withdrawn, signed. After each act the depth of everything is asked for with `depth`. From
these tables alone, and from what this program did, follows what compare must count between any two states, and which rows
history must have; the arithmetic here is Python's own (decimal).
"""
import random
import sys
from decimal import Decimal

from table import Table, asked, place, verdict

FAILED = []


def fail(*what):
    FAILED.append(" ".join(str(one) for one in what))


class Registry(Table):
    """A minute goes by with each command."""

    def __init__(self, programs, where):
        super().__init__(programs, where, by_hand=True)
        self.minute = 0

    def run(self, *words, codes=(0,), signer=None, **more):
        self.minute += 1
        own = {"CORETALLY_CLOCK": "2026-03-%02dT%02d:%02d:00Z"
               % (1 + self.minute // 1440, self.minute // 60 % 24, self.minute % 60)}
        if signer:
            own.update(GIT_AUTHOR_NAME=signer, GIT_AUTHOR_EMAIL=signer + "@example.invalid")
        return super().run(*words, codes=codes, env=own, **more)


class Thing:
    def __init__(self, kind, name):
        self.kind, self.name, self.version, self.stands = kind, name, 1, True

    def copy(self):
        other = Thing(self.kind, self.name)
        other.version, other.stands = self.version, self.stands
        return other


class World:
    """What was done, state by state."""

    def __init__(self, registry, chance):
        self.registry, self.chance = registry, chance
        self.things = {}
        self.states = []  # commit, things, depths
        self.corrections = {}  # hole -> how many
        self.signed = 0

    def remember(self):
        commit = self.registry.tip()
        if self.states and self.states[-1][0] == commit:
            return
        present = {key: thing.copy() for key, thing in self.things.items()}
        names = "".join(thing.name + "\n" for thing in present.values())
        depths = {}
        for key, row in zip(present, self.registry.rows("depth", "-", given=names)):
            depths[key] = tuple(Decimal(row[end]) if row[end] else None for end in ("csf_a_top_m", "csf_a_bottom_m"))
        self.states.append((commit, present, depths))

    def act(self, *words, **more):
        """Did it change anything? What is typed with the values that are there already does not."""
        before = self.registry.tip()
        self.registry.run(*words, codes=(0, 4, 6), **more)
        return self.registry.tip() != before

    def start(self):
        run = self.registry.run
        run("start", "901")
        for hole, top in (("U0012A", 1000), ("U0012B", 1001)):
            run("hole", "add", hole, "--returns", "seafloor", "--seafloor", str(top), "--seafloor-by", "tagged")
            self.corrections[hole] = 0
            for core in range(1, 5):
                name = f"{hole}-{core}H"
                run("core", "add", name, str(top + 9.5 * (core - 1)), "+9.5", "--recovered", "4.5", "--sections", "3x1.5")
                self.things[name] = Thing("cores", name)
                for section in range(1, 4):
                    self.things[f"{name}-{section}"] = Thing("sections", f"{name}-{section}")
        self.remember()

    def some(self, kind, stands=True):
        found = [key for key, thing in self.things.items() if thing.kind == kind and thing.stands == stands]
        return self.chance.choice(found) if found else None

    def add_sample(self):
        top = self.chance.randrange(0, 140)
        name = f"{self.some('sections')}W,{top}-{top + 2}"
        key = f"sample {len(self.things)}"
        if all(thing.name != name for thing in self.things.values()) and self.act("sample", "add", name):
            self.things[key] = Thing("samples", name)

    def rename_sample(self):
        key = self.some("samples")
        if not key:
            return
        thing = self.things[key]
        top = self.chance.randrange(0, 140)
        name = f"{thing.name.split('W,')[0]}W,{top}-{top + 2}"
        if any(other.name == name for other in self.things.values()):
            return
        if self.act("sample", "amend", thing.name, "--top", str(top), "--bottom", str(top + 2), "--reason", "ruler"):
            thing.name = name
            thing.version += 1

    def weigh_sample(self):
        key = self.some("samples")
        if key and self.act("sample", "amend", self.things[key].name, "--mass", str(self.chance.randrange(1, 99)),
                            "--reason", "weighed again"):
            self.things[key].version += 1

    def withdraw_sample(self):
        key = self.some("samples")
        if key and self.act("sample", "withdraw", self.things[key].name, "--reason", "lost"):
            self.things[key].stands = False
            self.things[key].version += 1

    def restore_sample(self):
        key = self.some("samples", stands=False)
        if key and self.act("sample", "amend", self.things[key].name, "--restore", "--reason", "found"):
            self.things[key].stands = True
            self.things[key].version += 1

    def measure_section(self):
        key = self.some("sections")
        length = self.chance.choice(("1.47", "1.49", "1.5", "1.52"))
        if self.act("section", "amend", key, "--curated", length, "--reason", "measured again", "--sure"):
            self.things[key].version += 1

    def amend_core(self):
        key = self.some("cores")
        if self.act("core", "amend", key, "--recovered", self.chance.choice(("4.4", "4.5", "4.6")), "--reason", "tape"):
            self.things[key].version += 1

    def correct(self):
        hole = self.chance.choice(tuple(self.corrections))
        core = self.chance.randint(1, 4)
        words = self.chance.choice((
            ("tally", f"{self.chance.randint(1, 970) / 100:+}", "--top", str(self.chance.randint(998, 1030))),
            ("shift", str(core), f"{self.chance.randint(-40, 40) / 100:+}", "--supersedes", "standing"),
            ("seafloor", str(1000 + self.chance.randint(0, 150) / 100), "--seafloor-by", "camera", "--supersedes",
             "standing"),
            ("reading", str(core), "--core-top", str(1000 + 9.5 * (core - 1) + self.chance.randint(-30, 30) / 100),
             "--supersedes", "standing")))
        if self.act("correction", "add", hole, *words, "--reason", "found", "--sure"):
            self.corrections[hole] += 1

    def withdraw_correction(self):
        hole = self.chance.choice(tuple(self.corrections))
        if self.corrections[hole]:
            self.act("correction", "withdraw", hole, str(self.chance.randint(1, self.corrections[hole])), "--reason",
                     "not so", "--sure")

    def sign(self):
        hole = self.chance.choice(tuple(self.corrections))
        if self.corrections[hole]:
            self.signed += self.act("correction", "sign", hole, str(self.chance.randint(1, self.corrections[hole])),
                                    signer="Ida")

    def live(self, acts):
        ways = [self.add_sample] * 4 + [self.rename_sample] * 3 + [self.correct] * 4 + [
            self.weigh_sample, self.withdraw_sample, self.restore_sample, self.measure_section, self.measure_section,
            self.amend_core, self.withdraw_correction, self.sign]
        for _ in range(acts):
            self.chance.choice(ways)()
            self.remember()


def moved(before, after):
    """Shift of the top or, where that stays, of the bottom; None where it is not known on both sides."""
    if before[0] is None or after[0] is None:
        return None
    return after[0] - before[0] if after[0] != before[0] else after[1] - before[1]


def expected(first, second, kind, hole):
    _, old, old_depths = first
    _, new, new_depths = second
    shifts, counts = [], dict.fromkeys(("added", "withdrawn", "amended", "renamed"), 0)
    for key in {**old, **new}:
        thing = new.get(key) or old.get(key)
        if thing.kind != kind or not thing.name.startswith(hole):
            continue
        was = key in old and old[key].stands
        stands = key in new and new[key].stands
        counts["added"] += stands and not was
        counts["withdrawn"] += was and not stands
        if not (was and stands):
            continue
        renamed = old[key].name != new[key].name
        counts["renamed"] += renamed
        counts["amended"] += not renamed and old[key].version != new[key].version
        shift = moved(old_depths[key], new_depths[key])
        if shift:
            shifts.append(shift)
    return shifts, counts


def check_compare(world, first, second):
    rows = {(row["hole"], row["what"]): row
            for row in world.registry.rows("compare", first[0], second[0])}
    each = world.registry.rows("compare", first[0], second[0], "--each")
    for hole in world.corrections:
        for kind in ("cores", "sections", "samples"):
            shifts, counts = expected(first, second, kind, hole)
            row = rows.get((hole, kind))
            told = {word: int(row[word]) if row else 0 for word in ("moved", *counts)}
            if told != {"moved": len(shifts), **counts}:
                fail("compare", first[0], second[0], hole, kind, told, len(shifts), counts)
            own = [Decimal(it["moved_m"]) for it in each
                   if it["hole"] == hole and it["what"] == kind and "moved" in it["change"]]
            if sorted(own) != sorted(shifts):
                fail("compare --each", first[0], second[0], hole, kind, own, shifts)
            if not shifts:
                continue
            if (Decimal(row["least_m"]), Decimal(row["greatest_m"])) != (min(shifts), max(shifts)):
                fail("compare least, greatest", first[0], second[0], hole, kind, row, min(shifts), max(shifts))
            if abs(Decimal(row["mean_m"]) - sum(shifts) / len(shifts)) > Decimal("0.0005"):
                fail("compare mean", first[0], second[0], hole, kind, row["mean_m"], sum(shifts) / len(shifts))
    return sum(len(expected(first, second, kind, hole)[0]) for kind in ("cores", "samples") for hole in world.corrections)


def check_history(world, key):
    """A row wherever name, standing or either end differs from the state before."""
    wanted = []
    before = None
    for commit, things, depths in world.states:
        if key not in things:
            continue
        now = (things[key].name, things[key].stands, *depths[key])
        if now != before:
            old = before[2:] if before else (None, None)
            wanted.append((commit[:10], old[0], now[2], old[1], now[3]))
        before = now
    told = [(row["commit"], *(Decimal(row[end]) if row[end] else None
                              for end in ("top_from_m", "top_to_m", "bottom_from_m", "bottom_to_m")))
            for row in world.registry.rows("history", world.things[key].name)]
    if key.startswith("sample") and told != wanted:
        fail("history", world.things[key].name, told, wanted)
    if not key.startswith("sample") and told[1:] != wanted[1:]:  # recorded before the first state that was remembered
        fail("history", world.things[key].name, told, wanted)
    return len(told)


def main():
    options = asked(__doc__, seed=1, acts=40)
    chance = random.Random(options.seed)
    with place(options) as folder:
        world = World(Registry(options.bin, folder), chance)
        world.start()
        world.live(options.acts)
        states = world.states
        shifts = 0
        pairs = [(0, len(states) - 1), (len(states) - 1, 0)]
        pairs += [tuple(chance.sample(range(len(states)), 2)) for _ in range(10)]
        for first, second in pairs:
            shifts += check_compare(world, states[first], states[second])
        rows = sum(check_history(world, key) for key in chance.sample(sorted(world.things), 9))
        renamed = sum(1 for thing in world.things.values() if thing.kind == "samples")
        if len(states) < options.acts // 3 or shifts < 50 or rows < 20:
            fail("too little happened to tell anything")
    return verdict(FAILED, f"{len(states)} states, {sum(world.corrections.values())} corrections, {world.signed} signatures, "
                   f"{renamed} samples; {len(pairs)} comparisons with {shifts} shifts, {rows} rows of history;")


if __name__ == "__main__":
    sys.exit(main())
