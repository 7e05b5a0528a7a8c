#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Pairs of histories that part and are joined, by the thousand, each from a seed.

    generated.py --bin DIR [--pairs N] [--seed N] [--processes N] [--only SEED]

Two or three registries begin as one (acts.py), each side does 1 to 8 acts of any kind, of which some are refused, and some
sides join on the way and go on. Each join is made in both directions: the same commit; joined again: nothing new. What it
has is held against model.py. Three sides are joined in every order: the same tree. All acts of all sides stay in the
history, verify finds nothing damaged and nothing wrong, and lists of every hole are read.

Stories of told.py are done first, in the same way; --story does one.

A pair that fails is told by its seed, with its acts as commands, after acts without which it fails as well are left out.
"""
import json
import multiprocessing
import os
import pathlib
import random
import shlex
import shutil
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "process"))
import acts  # noqa: E402  pylint: disable=wrong-import-position
import engine  # noqa: E402  pylint: disable=wrong-import-position
import model  # noqa: E402  pylint: disable=wrong-import-position
import told as by_hand  # noqa: E402  pylint: disable=wrong-import-position
from table import asked, environment, place  # noqa: E402  pylint: disable=wrong-import-position

SIDES = "abc"
LISTS = (("core", "list"), ("sample", "list"), ("bag", "list"), ("correction", "list"), ("drilled", "list"), ("pump", "list"),
         ("well", "list"), ("check", "list"), ("log", "list"), ("kept",))
TRIES = 150  # of leaving acts out


class Wrong(Exception):
    pass


def clock(seconds):
    return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(seconds))


class Plan:
    """What a seed stands for: steps in order. ("act", side, who, when, words), ("join", side, other), ("settle", side, who,
    when, which): the decision that `open` offers there."""

    def __init__(self, seed):
        self.seed = seed
        chance = random.Random(seed)
        self.count = 3 if seed % 5 == 4 else 2
        goes_on = seed % 5 in (1, 3)
        sides = [acts.Side(f"{seed} {name}", name, acts.PERSONS[at]) for at, name in enumerate(SIDES[:self.count])]
        self.steps = self.acts(chance, sides, 4 if self.count == 3 or goes_on else 8)
        for _ in range(chance.choice((1, 2, 3)) if goes_on else 0):
            first = chance.randrange(self.count)
            self.steps.append(("join", first, 1 - first))
            if chance.random() < 0.5:
                self.steps.append(("join", 1 - first, first))
            if chance.random() < 0.5:
                self.steps.append(("settle", first, acts.PERSONS[first][0], sides[first].time, chance.randrange(8)))
            self.steps += self.acts(chance, sides, 3)

    @classmethod
    def told(cls, name):
        """One of the stories of told.py."""
        plan = cls(0)
        plan.seed = name
        plan.count, plan.steps = by_hand.STORIES[name]
        return plan

    def acts(self, chance, sides, most):
        return [("act", at, *act) for at, side in enumerate(sides) for act in side.acts(chance.randint(1, most))]


class Ground:
    """One process of the test: the programs, the registry that all begin with, a folder."""

    def __init__(self, binaries, folder):
        self.folder = folder
        os.makedirs(folder)
        self.programs = engine.Programs(binaries, environment(binaries, folder))
        for name, text in acts.TABLES.items():
            pathlib.Path(folder, name).write_text(text, encoding="utf-8")
        for words in acts.BASE:
            who, words = (words[0], words[1:]) if words[0] == acts.LAB else (acts.SHIP, words)
            said = self.act(who, acts.START - 86400, words, None)
            if said.code:
                raise SystemExit(f"the common registry: {words}: {said.code} {said.err}")
        self.base = engine.Registry(os.path.join(folder, "registry.git"))
        self.begun = self.base.tip()
        self.known = {}
        self.kept = set(engine.Registry.known)

    def act(self, who, when, words, registry):
        mail = who.split()[0].lower() + "@example.org"
        more = {"CORETALLY_REGISTRY": registry} if registry else {}
        return self.programs.run(list(words), self.folder, CORETALLY_CLOCK=clock(when), GIT_AUTHOR_NAME=who, GIT_AUTHOR_EMAIL=mail,
                                 GIT_COMMITTER_NAME=who, GIT_COMMITTER_EMAIL=mail, **more)

    def state(self, registry, commit):
        if commit not in self.known:
            self.known[commit] = model.State(registry, commit)
        return self.known[commit]

    def forget(self):
        for name in [name for name in engine.Registry.known if name not in self.kept]:
            del engine.Registry.known[name]
        self.known.clear()

    def end(self):
        self.programs.end()


class Story:
    """The steps of a plan, done and judged; raises Wrong."""

    def __init__(self, ground, plan, steps):
        self.ground, self.plan = ground, plan
        self.room = os.path.join(ground.folder, "story")
        self.scratch = 0
        self.done = 0
        self.joins = 0
        os.makedirs(self.room)
        try:
            self.objects = os.path.join(self.room, "objects")
            engine.Registry.objects_on(self.objects, ground.base)
            self.sides = [engine.Registry.beside(os.path.join(self.room, name + ".git"), ground.base, self.objects)
                          for name in SIDES[:plan.count]]
            for step in steps:
                if step[0] == "act":
                    self.done += self.act(*step[1:])
                elif step[0] == "settle":
                    self.settle(*step[1:])
                else:
                    self.join_step(*step[1:])
            self.finish()
        finally:
            shutil.rmtree(self.room)
            ground.forget()

    def act(self, at, who, when, words):
        said = self.ground.act(who, when, words, self.sides[at].path)
        if said.code not in ((0,) if isinstance(self.plan.seed, str) else (0, 2, 3, 4, 5, 6)):
            raise Wrong(f"{SIDES[at]}: {shlex.join(words)}: exit {said.code}\n{said.err}")
        return said.code == 0

    def settle(self, at, who, when, which):
        said = self.ground.act(who, when, ["open", "--json"], self.sides[at].path)
        rows = [row for row in json.loads(said.out) if row["kind"] == "differs" and row["command"]] if said.out.startswith("[") else []
        if rows:
            words = shlex.split(rows[which % len(rows)]["command"].replace("WHY", "looked"))[1:]
            self.done += self.act(at, who, when, [*words, "--sure"])

    def beside(self, registry):
        self.scratch += 1
        return engine.Registry.beside(os.path.join(self.room, f"join-{self.scratch}.git"), registry, self.objects)

    def make(self, registry, commit):
        joined, said = self.ground.programs.join(registry.path, commit)
        if not joined:
            raise Wrong(f"{registry.tip()[:10]} and {commit[:10]} are not joined: exit {said.code}: {said.err}")
        if registry.tip() != joined["id"]:
            raise Wrong(f"the branch is at {registry.tip()}, and the join is {joined['id']}")
        return joined

    def both_ways(self, one, other):
        """The join of two registries in a third one, made in both directions, judged."""
        tips = one.tip(), other.tip()
        here, there = self.beside(one), self.beside(other)
        told = self.make(here, tips[1]), self.make(there, tips[0])
        if here.tip() != there.tip():
            raise Wrong(f"{tips[0][:10]} joins {tips[1][:10]} as {here.tip()}, and the other way round as {there.tip()}: "
                        + self.difference(here, there))
        if told[0] != told[1]:
            raise Wrong(f"told in one direction {told[0]}, in the other {told[1]}")
        again = self.make(here, tips[1])
        if again["is_new"] or again["contradictions"] or again["renumbered"]:
            raise Wrong(f"joined again: {again}")
        self.judge(here, tips, told[0])
        return here

    def difference(self, one, other):
        files = one.files(one.tip()), other.files(other.tip())
        paths = sorted(path for path in set(files[0]) | set(files[1]) if files[0].get(path) != files[1].get(path))
        return "\n".join(f"  {path}: {self.text(one, files[0].get(path))}\n  {path}: {self.text(other, files[1].get(path))}" for path in paths)

    @staticmethod
    def text(registry, name):
        return "none" if not name else registry.find(name).split(b"\0", 1)[1].decode("utf-8", "replace")[:4000]

    def judge(self, registry, tips, told):
        joined = registry.tip()
        history = registry.behind(joined)
        behind = [registry.behind(tip) for tip in tips]
        if history - {joined} != (behind[0] | behind[1]) - {joined}:
            raise Wrong("acts are missing in the history")
        if joined in tips:
            if joined != (tips[0] if tips[1] in behind[0] else tips[1]):
                raise Wrong("one of the two was given back, and does not have the other behind it")
            return
        self.joins += 1
        commit = registry.commit(joined)
        if commit.parents != sorted(tips) or commit.author != "coretally <join@coretally.invalid" or "\nAct: join\n" not in commit.message:
            raise Wrong(f"the commit of the join: {commit.parents}, {commit.author}, {commit.message}")
        if commit.time != max(registry.commit(tip).time for tip in tips):
            raise Wrong("the join is not as late as the later of its parents")
        shared = behind[0] & behind[1]
        bases = [name for name in shared if not any(name in registry.behind(other) - {other} for other in shared)]
        if len(bases) != 1:
            return
        if told["base"] != bases[0]:
            raise Wrong(f"they parted at {bases[0]}, and told is {told['base']}")
        expected = model.Expectation(lambda name: self.ground.state(registry, name), registry, bases[0], tips)
        wrong = expected.check(self.ground.state(registry, joined))
        if wrong:
            raise Wrong("\n".join(wrong))

    def join_step(self, at, other):
        joined = self.both_ways(self.sides[at], self.sides[other])
        self.sides[at].set_tip(joined.tip())

    def finish(self):
        if self.plan.count == 2:
            joined = self.both_ways(*self.sides)
        else:
            joined = self.orders()
        self.sound(joined)

    def orders(self):
        """Three sides: whoever joins first, the tree is the same."""
        made = []
        for first, second, last in ((0, 1, 2), (1, 2, 0), (0, 2, 1)):
            two = self.both_ways(self.sides[first], self.sides[second])
            made.append(self.both_ways(two, self.sides[last]))
        trees = [one.commit(one.tip()).tree for one in made]
        if len(set(trees)) != 1:
            raise Wrong(f"(a b) c has tree {trees[0]}, (b c) a {trees[1]}, (a c) b {trees[2]}:\n" + self.difference(made[0], made[1]) +
                        "\n" + self.difference(made[0], made[2]))
        return made[0]

    def sound(self, registry):
        said = self.ground.act(acts.SHIP, acts.START, ["verify", "--since", self.ground.begun], registry.path)
        if ": 0 damaged, 0 wrong" not in said.out + said.err:
            raise Wrong(f"verify: exit {said.code}\n{said.out}{said.err}")
        if isinstance(self.plan.seed, str) or self.plan.seed % 8 == 0:
            self.lists(registry)

    def lists(self, registry):
        holes = sorted({path.split("/")[1] for path in registry.files(registry.tip()) if path.startswith("holes/")})
        words = [[*one, hole] for hole in holes for one in LISTS if self.has(registry, hole, one[0])]
        for one in [*words, ["label", "list"], ["hole", "list"]]:
            said = self.ground.act(acts.SHIP, acts.START + 30 * 86400, one, registry.path)
            if said.code:
                raise Wrong(f"{shlex.join(one)}: exit {said.code}\n{said.err}")

    @staticmethod
    def has(registry, hole, what):
        """Is there anything of the kind?"""
        return what in ("core", "sample", "bag", "kept", "correction") or hole == acts.R


def outcome(ground, plan, steps):
    try:
        Story(ground, plan, steps)
    except Wrong as wrong:
        return str(wrong)
    return None


def shrunk(ground, plan, failed):
    """The fewest steps that were found to fail, and how they do."""
    steps, said, tries = list(plan.steps), failed, 0
    size = max(1, len(steps) // 2)
    while tries < TRIES:
        at, is_less = 0, False
        while at < len(steps) and tries < TRIES:
            fewer = steps[:at] + steps[at + size:]
            tries += 1
            found = outcome(ground, plan, fewer)
            if found:
                steps, said, is_less = fewer, found, True
            else:
                at += size
        if size == 1 and not is_less:
            break
        size = max(1, size // 2)
    return steps, said


def told(seed, steps, said):
    lines = [f"{'story' if isinstance(seed, str) else 'seed'} {seed}: {said}", "  after:"]
    for step in steps:
        if step[0] == "act":
            lines.append(f"  {SIDES[step[1]]} {clock(step[3])} {step[2]}: coretally {shlex.join(step[4])}")
        elif step[0] == "settle":
            lines.append(f"  {SIDES[step[1]]} {clock(step[3])} {step[2]}: settles one of what coretally open lists, number {step[4]} of all rows")
        else:
            lines.append(f"  {SIDES[step[1]]} joins {SIDES[step[2]]}")
    return "\n".join(lines)


def work(binaries, folder, seeds, answers):
    ground = Ground(binaries, folder)
    done = joins = 0
    for seed in seeds:
        plan = Plan.told(seed) if isinstance(seed, str) else Plan(seed)
        try:
            story = Story(ground, plan, plan.steps)
            done += story.done
            joins += story.joins
        except Wrong as wrong:
            steps = (plan.steps, str(wrong)) if isinstance(seed, str) else shrunk(ground, plan, str(wrong))
            answers.put(("failed", told(seed, *steps)))
    ground.end()
    answers.put(("done", (done, joins)))


def main():
    options = asked(__doc__, pairs=(250, 1000), seed=1, processes=2, only=-1, stop=20, story="")
    seeds = [options.only] if options.only >= 0 else [*by_hand.STORIES, *range(options.seed, options.seed + options.pairs)]
    seeds = [options.story] if options.story else seeds
    failed, acts_done, joins, began = [], 0, 0, time.monotonic()
    with place(options) as folder:
        answers = multiprocessing.Queue()
        workers = [multiprocessing.Process(target=work, args=(options.bin, os.path.join(folder, f"part-{at}"), seeds[at::options.processes], answers))
                   for at in range(options.processes) if seeds[at::options.processes]]
        for worker in workers:
            worker.start()
        waiting = len(workers)
        while waiting:
            try:
                kind, what = answers.get(timeout=5)
            except multiprocessing.queues.Empty:
                if not all(worker.is_alive() or worker.exitcode == 0 for worker in workers):
                    failed.append("a process of the test ended early")
                    break
                continue
            if kind == "failed":
                failed.append(what)
                print(what, flush=True)
                if len(failed) >= options.stop:
                    break
            else:
                waiting -= 1
                acts_done += what[0]
                joins += what[1]
        for worker in workers:
            if waiting:
                worker.terminate()
            worker.join()
    print(f"{len(seeds)} plans, to {seeds[-1]}: {acts_done} acts, {joins} joins in {time.monotonic() - began:.0f} s; {len(failed)} failed")
    return 1 if failed or not joins else 0


if __name__ == "__main__":
    sys.exit(main())
