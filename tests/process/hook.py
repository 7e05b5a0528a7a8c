#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""verify as the pre-receive hook of a shore registry, with git's own push.

    hook.py --bin DIR [--keep FOLDER]

A ship pushes its first commits and later ones into an empty bare repository on shore; sound pushes arrive, and nothing that
is not sound does: damaged records, history rewritten, the branch removed, a program that is not there or dies.
"""
import os
import sys

from table import asked, place, verdict
from damage_join import JOIN, aside, two_sides, withdrawn_and_sampled
from damage_scene import ACT, BAGS, CORE1, CORE2, CORE3, SAMPLES1, Registry, build, find

SAMPLES3 = "holes/U0012A/cores/0003.samples.json"

FAILED = []


def say(condition, what, done=None):
    if not condition:
        FAILED.append("%s\n%s" % (what, (done.stdout + done.stderr) if done else ""))


class Shore(Registry):
    """With the hook, where the ship pushes to."""

    def __init__(self, path, ship):
        super().__init__(path, ship.programs, by_hand=False)
        self.ship = ship
        self.start(["git", "init", "-q", "--bare", "-b", "main", path], codes=(0,))
        self.hook = os.path.join(path, "hooks", "pre-receive")
        self.hang(ship.act("verify", "--hook-text"))

    def hang(self, text):
        with open(self.hook, "w", encoding="utf-8") as file:
            file.write(text)
        os.chmod(self.hook, 0o755)

    def push(self, *words, programs=None):
        return self.ship.start(["git", "-C", self.ship.path, "push", self.path, *words],
                               env={"PATH": (programs or self.programs) + ":/usr/bin:/bin"})

    def tip(self):
        return self.start(["git", "-C", self.path, "rev-parse", "-q", "--verify", "main"]).stdout.strip()

    def accepts(self, what, *words):
        done = self.push(*words)
        say(done.returncode == 0 and self.tip() == self.ship.git("rev-parse", "main"), "refused: " + what, done)

    def refuses(self, what, word, *words, **options):
        before = self.tip()
        done = self.push(*words, **options)
        say(done.returncode != 0 and self.tip() == before, "accepted: " + what, done)
        say(word in done.stderr, "%s: '%s' is not told" % (what, word), done)


def broken(shore, what, word, change):
    """A damage on top of what shore has; refused, and taken back."""
    ship = shore.ship
    tip = ship.git("rev-parse", "main")
    change(ship)
    shore.refuses(what, word, "main")
    ship.git("update-ref", "refs/heads/main", tip)


def overlap_by_metres(reg):
    """As an amendment would do it, but that nobody was sure."""
    def change(core):
        sections = core.pop("sections")
        core.update(top_m=3022, version=2, sections=sections)
    reg.edit(CORE2, change)


def edit_depth(reg):
    reg.edit(CORE1, lambda core: core.update(bottom_m=3030.8))


def remove_core(reg):
    reg.stage(CORE2, None)
    reg.commit()


def mend_later(reg):
    """The second commit undoes the first; both are looked at."""
    text = reg.text(CORE1)
    edit_depth(reg)
    reg.stage(CORE1, text)
    reg.commit()


def no_act(reg):
    reg.edit(CORE1, lambda core: core.update(bottom_m=3030.8, version=core["version"] + 1), message="fix\n")


def stray(reg):
    reg.stage("notes.txt", "to do\n")
    reg.commit()


def undo(reg):
    """A merge of nothing but one's own side: it would undo what the other did."""
    ship, shore = two_sides(reg)
    reg.staged = []
    reg.commit(JOIN, parents=(ship, shore))


def join_three(reg):
    sides = two_sides(reg)
    third = aside(reg, ("core", "add", "U0012A-9H", "3069.5", "+9.5", "--recovered", "9"))
    reg.commit(JOIN, parents=(*sides, third))


def break_on_a_side(reg):
    """The join is as it should be, and what came by its second parent is not."""
    tip = reg.git("rev-parse", "main")
    ship = aside(reg, ("sample", "add", "U0012A-2H-5W,10-12"))
    edit_depth(reg)
    shore = reg.git("rev-parse", "main")
    reg.git("update-ref", "refs/heads/main", tip)
    reg.stage(CORE1, reg.text(CORE1, shore))
    reg.commit(JOIN, parents=(ship, shore))


def former_number(reg):
    reg.edit(BAGS, lambda record: find(record["bags"], number=2).update(was="9@" + "a" * 40, version=2))


def sample_gone(reg):
    reg.edit(SAMPLES1, lambda record: record["samples"].remove(find(record["samples"], top_m=0.6)))


def try_pushes(shore):
    ship = shore.ship
    ship.act("core", "add", "U0012A-8H", "3060", "+9.5", "--recovered", "9")
    shore.accepts("a later push", "main")
    ship.git("tag", "port-call", "main")
    shore.accepts("a tag", "port-call")
    ship.git("tag", "-f", "port-call", "main~1")
    shore.refuses("a tag that moves", "ref-refused", "+refs/tags/port-call")
    shore.refuses("a tag removed", "ref-refused", ":refs/tags/port-call")
    ship.git("tag", "abcd1234", "main")
    shore.refuses("a tag named like a commit", "ref-refused", "refs/tags/abcd1234")
    shore.refuses("what is neither branch nor tag", "ref-refused", "main:refs/junk/one")
    shore.accepts("nothing new", "main")
    broken(shore, "an edited depth", "version-count", edit_depth)
    broken(shore, "an overlap by metres", "rule-unkept", overlap_by_metres)
    broken(shore, "a removed core", "record-removed", remove_core)
    broken(shore, "damage that is mended in the same push", "version-count", mend_later)
    broken(shore, "a commit of no act", "act-missing", no_act)
    broken(shore, "a stray file", "file-unknown", stray)
    broken(shore, "a removed sample", "record-removed", sample_gone)
    broken(shore, "a made-up former number", "which only a join does", former_number)
    broken(shore, "a merge that undoes", "join-false", undo)
    broken(shore, "a merge of three", "commit-merged", join_three)
    broken(shore, "a merge that brings damage from the side", "version-count", break_on_a_side)
    shore.refuses("removal of the branch", "branch-removed", ":main")
    tip = ship.git("rev-parse", "main")
    ship.git("update-ref", "refs/heads/main", "main~3")
    ship.act("core", "add", "U0012A-9H", "3069.5", "+9.5", "--recovered", "9")
    shore.refuses("history rewritten", "history-rewritten", "+main")
    ship.git("update-ref", "refs/heads/main", tip)
    edit_depth(ship)
    shore.refuses("a broken branch of another name", "version-count", "main:refs/heads/night-shift")
    ship.git("update-ref", "refs/heads/main", tip)
    ship.git("commit-tree", "main^{tree}", "-p", "main", data=ACT)


def try_merges(shore):
    """What git joined by itself, side by side, and what two sides break together, holds nobody up."""
    ship = shore.ship
    ship.commit(JOIN, parents=two_sides(ship))
    shore.accepts("a merge of two files", "main")
    withdrawn_and_sampled(ship)
    shore.accepts("a rule that two sides break together", "main")
    ship.act("sample", "add", "U0012A-9H-5W,10-12")
    shore.accepts("an act on top of that", "main")
    tip = ship.git("rev-parse", "main")
    shore.accepts("the same as a new branch", "main:refs/heads/night-shift")
    join_onto(shore, SAMPLES3, "3H-2W", CORE3, is_first=True)
    join_onto(shore, SAMPLES3, "3H-3W", CORE1, is_first=False)


def join_onto(shore, theirs, sample, mine, is_first):
    """Shore went on while the ship did; the branch moves along one of the two parents of the join."""
    ship = shore.ship
    tip = ship.git("rev-parse", "main")
    there = aside(ship, ("sample", "add", "U0012A-%s,10-12" % sample))
    ship.git("update-ref", "refs/heads/main", there)
    shore.accepts("where a join is to go", "main")
    ship.git("update-ref", "refs/heads/main", tip)
    ship.act("core", "amend", "U0012A-%dH" % int(mine[-9:-5]), "--remark", "gas", "--reason", "seen late")
    here = ship.git("rev-parse", "main")
    ship.stage(*((mine, ship.text(mine, here)) if is_first else (theirs, ship.text(theirs, there))))
    ship.commit(JOIN, parents=(there, here) if is_first else (here, there))
    shore.accepts("a join that has what shore had as its %s parent" % ("first" if is_first else "second"), "main")


def try_deaths(shore):
    """What stops the hook early is no pass."""
    ship = shore.ship
    ship.act("core", "add", "U0012A-10H", "3079", "+9.5", "--recovered", "9")
    shore.refuses("the program is not there", "pre-receive", "main", programs="/usr/bin")
    text = ship.act("verify", "--hook-text")
    shore.hang(text.replace("exec coretally", "ulimit -v 5000; exec coretally"))
    shore.refuses("the program cannot start", "pre-receive", "main")
    shore.hang(text.replace("exec coretally", "exec coretally </dev/null"))
    shore.refuses("nothing to read", "names no branch", "main")
    shore.hang(text.replace("pre-receive\n", "update\n"))
    shore.refuses("another hook", "pre-receive", "main")
    shore.hang(text)
    shore.accepts("the same push, with the hook in its place", "main")


def main():
    options = asked(__doc__)
    with place(options) as folder:
        ship = build(os.path.join(folder, "ship"), options.bin, by_hand=False)
        shore = Shore(os.path.join(folder, "shore.git"), ship)
        broken(shore, "a first push that is broken", "file-unknown", stray)
        say(shore.tip() == "", "something arrived with a refused first push")
        shore.accepts("the first push", "main")
        try_pushes(shore)
        try_merges(shore)
        try_deaths(shore)
        done = shore.sh("git -C shore.git fsck --strict --no-dangling")
        say(done.returncode == 0, "git fsck on shore", done)
        there = shore.run("verify", "--registry", shore.path)
        say(there.returncode == 0, "verify on shore", there)
    return verdict(FAILED)


if __name__ == "__main__":
    sys.exit(main())
