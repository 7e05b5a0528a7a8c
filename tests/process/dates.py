#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The state that a date means, after histories were rebased onto one another or joined, held against what git log says.

    dates.py --bin DIR [--seed 1] [--histories 3] [--acts 22] [--dates 7] [--keep FOLDER]

Three clones of one registry act on their own, each by its clock (some run wrong for a while), and now and then bring what
they have together: git pull --rebase and push, in some histories also a merge. Each clone writes files of its own, so
that git always can. Then dates are asked for. What a date means is worked out here from git's own list of commits, by its
definition: each commit such that neither it nor anything before it was done later than the date, or written here later (a
rebase writes anew). Where several lines had not been joined by then, git joins them here, and the depths must be those of
its tree. depth, trace, compare, audit, verify and acts must all answer from that state; acts done by the date that are not
in it must be told, by their number; a clone with the same tip must say the same; and a state that a date had never loses
an act when those of others come in.
"""
import datetime
import os
import random
import re
import sys

from table import Table, asked, place, verdict

START = 1772323200  # 2026-03-01T00:00:00Z
HOUR = 3600
DAY = 24 * HOUR
FAILED = []


def fail(*what):
    FAILED.append(" ".join(str(one) for one in what))


def stamp(seconds):
    return datetime.datetime.fromtimestamp(seconds, datetime.timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")


class Place(Table):
    """A hub or a clone: where commands run, and the clock there."""

    def __init__(self, programs, folder, name):
        super().__init__(programs, folder, by_hand=True, who=name, GIT_AUTHOR_DATE=None, CORETALLY_STATION=name)
        self.folder, self.name = folder, name
        self.ahead = 0  # of the true time

    def at(self, now, *words, codes=(0,), given=None):
        clock = stamp(now + self.ahead)
        return self.start(words, given, codes=codes, env={"CORETALLY_CLOCK": clock, "GIT_COMMITTER_DATE": clock})

    def git(self, now, *words, **more):
        return self.at(now, "git", *words, **more).stdout.strip()


class Commit:
    def __init__(self, line):
        words = line.split()
        self.id, self.done, self.here, self.parents = words[0], int(words[1]), int(words[2]), words[3:]


class Log:
    """A history as git tells it."""

    def __init__(self, place):
        lines = place.git(START, "log", "--format=%H %at %ct %P", "main").splitlines()
        self.commits = {commit.id: commit for commit in map(Commit, lines)}
        self.tip = lines[0].split()[0]
        self.line = place.git(START, "rev-list", "--first-parent", "main").splitlines()  # newest first

    def before(self, commit):
        """It and all that it stands on."""
        found, open_ones = set(), [commit]
        while open_ones:
            at = open_ones.pop()
            if at not in found:
                found.add(at)
                open_ones += self.commits[at].parents
        return found

    def heads(self, date):
        """The newest of what had come in by a date, on any line."""
        there = {commit for commit in self.commits
                 if all(max(self.commits[at].done, self.commits[at].here) <= date for at in self.before(commit))}
        return sorted(there - {parent for commit in there for parent in self.commits[commit].parents})

    def acts(self):
        return [commit for commit in self.commits.values() if len(commit.parents) < 2]

    def held(self, heads):
        return set().union(*map(self.before, heads))

    def late(self, date, held):
        """Acts done by the date that the state lacks; the oldest state that has them all; how many later ones it holds."""
        missing = {commit.id for commit in self.acts() if commit.done <= date and commit.id not in held}
        whole = next(at for at in reversed(self.line) if missing | held <= self.before(at))
        beyond = self.before(whole)
        return missing, whole, sum(commit.done > date and commit.id in beyond for commit in self.acts())


class History:
    def __init__(self, programs, folder, chance, number):
        self.chance, self.number, self.now, self.top = chance, number, START, 10
        os.makedirs(folder)
        table = Place(programs, folder, "table")
        table.at(self.now, "coretally", "start", "901")
        for words in (("hole", "add", "U0012A", "--returns", "seafloor", "--seafloor", "1000", "--seafloor-by", "tagged"),
                      ("core", "add", "U0012A-1H", "1000", "+9.5", "--recovered", "9", "--sections", "6x1.5"),
                      ("core", "add", "U0012A-2H", "1009.5", "+9.5", "--recovered", "9", "--sections", "6x1.5")):
            table.at(self.now, "coretally", *words)
        self.clones = []
        for name in ("ship", "shore", "lab"):
            table.git(self.now, "clone", "-q", "registry.git", name)
            self.clones.append(Place(programs, os.path.join(folder, name), name))
        self.hub = Place(programs, os.path.join(folder, "registry.git"), "hub")
        self.merges = number % 3 == 2
        self.joined = 0  # dates by which lines had not been joined
        self.meant = []  # date, its newest commits

    def act(self, place):
        words = {
            "ship": ("correction", "add", "U0012A", "tally", "+%d.%02d" % (self.chance.randrange(1, 9), self.top),
                     "--top", str(self.chance.randrange(1000, 1019)), "--reason", "joint missed", "--sure"),
            "shore": ("sample", "add", "U0012A-1H-%dW,%d-%d" % (self.chance.randrange(1, 7), self.top, self.top + 1)),
            "lab": ("sample", "add", "U0012A-2H-%dW,%d-%d" % (self.chance.randrange(1, 7), self.top, self.top + 1))}
        self.top += 1
        place.at(self.now, "coretally", *words[place.name], codes=(0, 4))

    def bring_together(self, place):
        how = "--no-rebase" if self.merges and self.chance.random() < 0.4 else "--rebase"
        place.git(self.now, "pull", "-q", how, "--no-edit")
        place.git(self.now, "push", "-q")
        self.meant.append((self.now, Log(self.hub).heads(self.now)))

    def grow(self, acts):
        for _ in range(acts):
            place = self.chance.choice(self.clones)
            self.now += self.chance.randrange(1, 20) * HOUR
            if self.chance.random() < 0.08:
                place.ahead = self.chance.choice((0, 0, -40, -2, 3, 200)) * HOUR
            self.act(place)
            if self.chance.random() < 0.45:
                place.ahead = place.ahead if self.chance.random() < 0.2 else 0
                self.now += self.chance.randrange(0, 3) * HOUR
                self.bring_together(place)
        for place in (*self.clones, self.clones[0]):
            place.ahead = 0
            self.now += HOUR
            self.bring_together(place)

    def dates(self, log, count):
        times = sorted({time for commit in log.commits.values() for time in (commit.done, commit.here)})
        for _ in range(count):
            time = self.chance.choice(times) + self.chance.choice((-1, 0, 0, 1, HOUR))
            yield (stamp(time), time)
            if self.chance.random() < 0.5:
                end = time // DAY * DAY + DAY - 1
                yield (stamp(end)[:10], end)


def held_note(said, typed, log, date, heads):
    """What is told of acts that came in later, and of lines that are joined for the answer."""
    missing, whole, later = log.late(date, log.held(heads))
    lines = re.findall(r"^note: (\d+) lines had not been joined by (\S+): ", said, re.M)
    if lines != ([(str(len(heads)), typed)] if len(heads) > 1 else []):
        return False
    notes = re.findall(r"^note: (\d+) acts? dated up to (\S+) came in later and (?:is|are) not in this state; the first is "
                       r"commit (\w{10})", said, re.M)
    ways = re.findall(r"^  to include (?:it|them), name commit (\w{10}) instead of the date(?:; it also holds (\d+))?", said, re.M)
    if not missing:
        return not notes and not ways
    return (len(notes) == 1 and len(ways) == 1 and notes[0][:2] == (str(len(missing)), typed)
            and any(at.startswith(notes[0][2]) for at in missing)
            and whole.startswith(ways[0][0]) and int(ways[0][1] or 0) == later)


def joined_by_git(place, heads):
    """A commit that has the files of all of them."""
    state = heads[0]
    for head in heads[1:]:
        tree = place.git(START, "merge-tree", "--write-tree", state, head)
        state = place.git(START, "commit-tree", tree, "-p", state, "-p", head, "-m", "by git")
    return state


def ask_acts(history, typed, after):
    """What came in after a time, where several lines were then, to any of them; by the program. The date alone begins with the
    day, and is none of these."""
    told = history.hub.at(START, "coretally", "acts", "--since", typed, "--csv")
    listed = {line.split(",")[1] for line in told.stdout.splitlines()[1:]}
    if listed != after:
        fail(history.number, typed, "acts since then:", listed ^ after)


def ask(history, log, typed, date):
    hub = history.hub
    where = (history.number, typed)
    heads = log.heads(date)
    compared = hub.at(START, "coretally", "compare", typed, codes=(0, 5))
    if not heads:
        if compared.returncode != 5:
            fail(where, "no state is so old, and an answer was given", compared.stdout)
        return False
    held = log.held(heads)
    if any(log.commits[at].done > date for at in held):
        fail(where, "the check itself is wrong")
    said = re.search(r"from state (\w{10})\w*\s+to", compared.stdout)
    state = said[1] if said else "none"
    if len(heads) == 1 and not heads[0].startswith(state):
        fail(where, "compare answers from", state, "and not", heads)
    if not held_note(compared.stderr, typed, log, date, heads):
        fail(where, "not as git log has it:", compared.stderr, log.late(date, held), heads)
    traced = hub.at(START, "coretally", "trace", "--file", "-", "--as-of", typed, given="name\nU0012A-2H\n").stderr
    if not re.search(r"state %s of" % state, traced) or not held_note(traced, typed, log, date, heads):
        fail(where, "trace --file:", traced)
    audited = hub.at(START, "coretally", "audit", "--from", typed)
    if not re.search(r"^What changed from state %s to" % state, audited.stdout, re.M):
        fail(where, "audit --from:", re.findall(r"^What changed.*", audited.stdout, re.M))
    looked = hub.at(START, "coretally", "verify", typed + "..", codes=(0, 8)).stdout
    if not re.search(r", %d commits?," % (len(log.commits) - len(held)), looked):
        fail(where, "verify looks not at the", len(log.commits) - len(held), "commits after the date:", looked)
    if len(typed) > 10:
        ask_acts(history, typed, {commit.id for commit in log.acts()} - set.intersection(*map(log.before, heads)))
    depths = [place.at(START, "coretally", "depth", "U0012A-1H", "U0012A-2H", "--scale", "CSF-A", "--csv", "--as-of", asked)
              for place, asked in ((hub, typed), (hub, joined_by_git(hub, heads)), (history.clones[0], typed))]
    if len({done.stdout for done in depths}) != 1:
        fail(where, "depths differ between the date, git's join of its commits and another clone")
    if depths[0].stderr != depths[2].stderr:
        fail(where, "another clone with the same tip tells something else:", depths[0].stderr, depths[2].stderr)
    history.joined += len(heads) > 1
    return bool(log.late(date, held)[0])


def check_history(history, count):
    log = Log(history.hub)
    if log.tip != Log(history.clones[0]).tip:
        fail(history.number, "the clone is not where the hub is")
    told = sum(ask(history, log, typed, date) for typed, date in history.dates(log, count))
    for date, then in history.meant:
        if not set(then) <= log.held(log.heads(date)):
            fail(history.number, stamp(date), "meant", then, "once, and now", log.heads(date))
    return told


def main():
    options = asked(__doc__, seed=1, histories=(3, 12), acts=22, dates=7)
    told = rebased = joined = 0
    with place(options) as folder:
        for number in range(options.histories):
            history = History(options.bin, os.path.join(folder, str(number)),
                              random.Random(options.seed * 1000 + number), number)
            history.grow(options.acts)
            told += check_history(history, options.dates)
            joined += history.joined
            rebased += sum(commit.done < commit.here for commit in Log(history.hub).commits.values())
    if not told or not rebased or not joined:
        fail("nothing was rebased, nothing came in late, or no lines were joined: this tests nothing")
    return verdict(FAILED, "%d histories, %d acts set anew by git, %d dates that leave acts out, %d that join lines,"
                   % (options.histories, rebased, told, joined))


if __name__ == "__main__":
    sys.exit(main())
