#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Ship and shore exchange acts by path, over http and in files, and the exchange is cut at random instants.

    exchange.py --bin DIR [--cuts 60] [--seed N] [--keep FOLDER]

What is cut is the program, a git that it has started, or the line of a server on the loopback, which is git's own. After
each cut nothing that was recorded is gone on either side; the same command typed again finishes with equal tips; at the end
both sides are sound. The shore has the hook. Two pairs of registries are worked on at the same time.
"""
import concurrent.futures
import os
import random
import shutil
import signal
import subprocess
import sys
import time

from exchange_server import Server, children
from table import Table, asked, place, verdict

MANY = 60  # acts: more than the first part


class Pair:
    """A ship, and a shore that was filled from it; acts go on at both."""

    def __init__(self, programs, work, seed):
        self.ship = Table(programs, os.path.join(work, "ship"), is_warm=True, CORETALLY_CLOCK=None).begin()
        self.shore = Table(programs, os.path.join(work, "shore"), is_warm=True, who="Ines Okonjo", CORETALLY_CLOCK=None,
                           CORETALLY_STATION="shore")
        self.work, self.chance, self.number, self.acts = work, random.Random(seed), 0, []
        self.env = dict(self.ship.env, PATH=programs + ":" + os.environ["PATH"], P=os.path.join(programs, "coretally"))
        self.shore.start(["git", "init", "-q", "--bare", "-b", "main", self.at("shore")], codes=(0,))
        self.run("ship", "send", self.at("shore"))
        hook = os.path.join(self.at("shore"), "hooks", "pre-receive")
        with open(hook, "w", encoding="utf-8") as file:
            file.write(self.ship.act("verify", "--hook-text"))
        os.chmod(hook, 0o755)
        self.server = Server(os.path.join(work), dict(self.env)).__enter__()
        self.failed = []

    def at(self, side):
        return os.path.join(self.work, side, "registry.git")

    def command(self, side, *words):
        """Through the program itself: it is to be killed."""
        return subprocess.Popen([self.env["P"], *words], cwd=os.path.join(self.work, side), env=self.env,
                                stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                                start_new_session=True)

    def run(self, side, *words, codes=(0,)):
        process = self.command(side, *words)
        said = process.communicate(timeout=60)[0]
        if process.returncode not in codes:
            raise SystemExit(f"{side}: {words}: exit {process.returncode}\n{said}")
        return said

    def record(self, side, count=1):
        table = self.ship if side == "ship" else self.shore
        for _ in range(count):
            self.number += 1
            section, top = self.number % 6 + 1, self.number // 6 % 140
            table.act("sample", "add", f"U0012A-1H-{section}W, {top}-{top + 1}", "--lab-id", f"{side}{self.number}", "--another")
        if count:  # what comes later has it behind itself
            self.acts.append(table.tip())

    def cut(self, side, *words):
        """One try that is cut somewhere; how it ended."""
        way = self.chance.choice(["program", "git", "line"])
        is_far = any(word.startswith("http:") for word in words)
        if way == "line" and is_far:
            if self.chance.random() < 0.3:
                self.server.cut_asking = self.chance.randrange(400)
            else:
                self.server.cut_after = int(self.chance.random() ** 3 * 12000)
        process = self.command(side, *words)
        if way != "line" or not is_far:
            time.sleep(self.chance.random() * (0.12 if is_far else 0.06))
            victims = children(process.pid) if way == "git" else []
            try:
                os.kill(self.chance.choice(victims) if victims else process.pid, signal.SIGKILL)
            except OSError:
                pass
        said = process.communicate(timeout=60)[0]
        self.server.cut_after = self.server.cut_asking = None
        if process.returncode not in (0, -signal.SIGKILL, 3, 5, 7, 8, 9) or "bug" in said:
            self.failed.append(f"{side}: {words}: exit {process.returncode}\n{said}")
        return process.returncode, said

    def tips(self):
        return [self.ship.git("rev-parse", "main", at=self.at(side)) for side in ("ship", "shore")]

    def look(self, what, *words):
        """Both sides have every act, and the same tip."""
        tips = self.tips()
        have = set(self.ship.git("rev-list", "main", at=self.at("ship")).split())
        lost = [act for act in self.acts if act not in have]
        if lost or tips[0] != tips[1]:
            self.failed.append(f"{what} {words}: tips {tips}, lost {lost}")

    def held(self, side, acts):
        """None of the acts that were recorded on a side is gone there."""
        have = set(self.ship.git("rev-list", "main", at=self.at(side)).split())
        if not set(acts) <= have:
            self.failed.append(f"{side} has lost {set(acts) - have}")

    def by_line(self, other, cuts):
        """ship joins and sends to shore; both have recorded meanwhile."""
        self.record("ship", self.chance.randrange(4))
        self.record("shore", self.chance.randrange(1, 4))
        acts = list(self.acts)
        for _ in range(cuts):
            self.cut("ship", "send", other, "--join")
        before = {side: set(self.ship.git("rev-list", "main", at=self.at(side)).split()) for side in ("ship", "shore")}
        if not set(acts) <= before["ship"] | before["shore"]:
            self.failed.append(f"lost after cuts: {set(acts) - before['ship'] - before['shore']}")
        self.run("ship", "send", other, "--join")
        self.look("send --join", other)

    def by_joining(self, other, cuts):
        """shore joins from the ship, then the ship from the shore: the ship goes forward."""
        self.record("ship", self.chance.randrange(1, 4))
        self.record("shore", self.chance.randrange(3))
        for _ in range(cuts):
            self.cut("shore", "join", other)
        self.run("shore", "join", other)
        self.run("ship", "join", self.at("shore"))
        self.look("join", other)

    def by_file(self, cuts):
        """The ship's acts in a file; then the shore's back."""
        for sender, taker in (("ship", "shore"), ("shore", "ship")):
            self.record(sender, self.chance.randrange(1, 3))
            since = self.ship.git("rev-parse", "main", at=self.at(taker))
            path = os.path.join(self.work, f"{self.number}.{sender}.acts")
            for _ in range(cuts // 4):
                self.cut(sender, "send", "--file", path, "--since", since)
            written = ["--replace"] if os.path.exists(path) else []
            self.run(sender, "send", "--file", path, "--since", since, *written)
            for _ in range(cuts // 4):
                self.cut(taker, "join", path)
            self.run(taker, "join", path)
        self.look("file", path)

    def work_through(self, cuts):
        made = 0
        while made < cuts:
            way = self.chance.randrange(5)
            if way == 0:
                self.by_line(self.at("shore"), 4)
            elif way == 1:
                self.by_joining(self.at("ship"), 4)
            elif way == 2:
                self.by_file(4)
            elif way == 3:
                self.by_line(self.server.url("shore/registry.git"), 4)
            else:
                self.by_joining(self.server.url("ship/registry.git"), 4)
            made += 4
        return made

    def end(self):
        for side in ("ship", "shore"):
            done = subprocess.run([self.env["P"], "verify", "--registry", self.at(side)], env=self.env, capture_output=True,
                                  text=True, check=False)
            if done.returncode or " 0 damaged, 0 wrong" not in done.stdout + done.stderr:
                self.failed.append(f"{side} is not sound:\n{done.stdout}{done.stderr}")
            self.ship.git("fsck", "--strict", "--no-dangling", at=self.at(side))
            left = self.ship.git("for-each-ref", "--format=%(refname)", at=self.at(side)).split()
            if left != ["refs/heads/main"]:
                self.failed.append(f"{side} has references left: {left}")
        self.server.__exit__()


def cut_at_random(options, work):
    pairs = [Pair(options.bin, os.path.join(work, f"pair{number}"), options.seed * 2 + number) for number in (0, 1)]
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        made = sum(pool.map(lambda pair: pair.work_through(options.cuts // 2), pairs))
    for pair in pairs:
        pair.end()
    return pairs, made


def parts(pair):
    """Many acts go in parts: what arrived before the line was cut stays, and the next try goes on behind it."""
    url = pair.server.url("shore/registry.git")
    pair.record("ship", MANY)

    def count():
        return int(pair.ship.git("rev-list", "--count", "main", at=pair.at("shore")))
    before = count()
    process = pair.command("ship", "send", url)
    deadline = time.monotonic() + 30
    while count() == before and process.poll() is None and time.monotonic() < deadline:
        time.sleep(0.005)
    for victim in children(process.pid) + [process.pid]:
        try:
            os.kill(victim, signal.SIGKILL)
        except OSError:
            pass
    process.communicate(timeout=60)
    arrived = count() - before
    if not 0 < arrived < MANY:
        pair.failed.append(f"of {MANY} acts {arrived} arrived before the end")
    said = pair.run("ship", "send", url)
    if f"{MANY - arrived} acts" not in said:
        pair.failed.append(f"{arrived} had arrived, and then: {said}")
    pair.look("parts", url)


def expect(pair, code, words, side, *command, env=None):
    done = subprocess.run([pair.env["P"], *command], cwd=os.path.join(pair.work, side), env={**pair.env, **(env or {})},
                          stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False, timeout=60)
    if done.returncode != code or words not in done.stderr:
        pair.failed.append(f"{side}: {command}: expected exit {code} and '{words}', got {done.returncode}\n"
                           f"{done.stdout}{done.stderr}")


def refused(pair):
    """What cannot be done is said in a sentence, and changes nothing."""
    ship, work = pair.ship, pair.work
    before = pair.tips()
    expect(pair, 5, "no folder, file, remote or branch", "ship", "join", "nowhere")
    expect(pair, 5, "no registry in this folder", "ship", "join", work)
    expect(pair, 5, "no registry at this address", "ship", "join", pair.server.url("nowhere.git"))
    expect(pair, 5, "no registry at this address", "ship", "send", pair.server.url("nowhere.git"))
    expect(pair, 9, "the machine cannot be reached", "ship", "join", "http://127.0.0.1:1/901.git")
    expect(pair, 3, "this way of speaking", "ship", "join", "ext::sh -c true")
    expect(pair, 3, "has no remote of this name", "ship", "join")
    # another expedition, and another registry of the same one
    other = Table(pair.ship.env["PATH"].split(":")[0], os.path.join(work, "other"))
    for number, words in (("902", "expedition 902, and here is expedition 901"), ("901", "started by itself")):
        shutil.rmtree(other.under("registry.git"), ignore_errors=True)
        other.act("start", number, "--title", "Another")
        expect(pair, 4, words, "ship", "join", "../other")
        expect(pair, 4, words, "ship", "join", pair.server.url("other/registry.git"))
        expect(pair, 4, words, "ship", "send", "../other")
    # a file cut short, one that builds on what is not here, one that is none
    pair.record("ship", 2)
    pair.run("ship", "send", "--file", os.path.join(work, "whole.acts"), "--since", before[1])
    with open(os.path.join(work, "whole.acts"), "rb") as file:
        whole = file.read()
    for cut in (40, len(whole) // 2, len(whole) - 1):
        with open(os.path.join(work, "short.acts"), "wb") as file:
            file.write(whole[:cut])
        expect(pair, 8, "cut short or damaged", "shore", "join", "../short.acts")
    with open(os.path.join(work, "short.acts"), "wb") as file:
        file.write(whole[:-30] + bytes([whole[-30] ^ 1]) + whole[-29:])
    expect(pair, 8, "cut short or damaged", "shore", "join", "../short.acts")
    pair.run("ship", "send", "--file", os.path.join(work, "later.acts"), "--since", ship.git("rev-parse", "main~1"))
    expect(pair, 4, "builds on 1 commit that is not here: " + ship.git("rev-parse", "main~1")[:10], "shore", "join", "../later.acts")
    expect(pair, 3, "holds no acts", "shore", "join", "registry.git/config")
    expect(pair, 6, "there is a file of this name already", "ship", "send", "--file", "../whole.acts")
    # a single commit in place of a branch, here and there
    ship.start(["git", "clone", "-q", pair.at("ship"), pair.ship.under("clone")], codes=(0,))
    ship.git("checkout", "-q", "--detach", at="clone")
    expect(pair, 9, "single commit", "ship/clone", "join", pair.at("shore"))
    expect(pair, 9, "single commit", "ship", "join", "clone")
    ship.git("checkout", "-q", "main", at="clone")
    # no git client: a folder is joined all the same, nothing else is
    nothing = {"PATH": "/nonexistent"}
    expect(pair, 9, "no git client", "ship", "send", pair.at("shore"), env=nothing)
    expect(pair, 9, "no git client", "ship", "join", pair.server.url("shore/registry.git"), env=nothing)
    expect(pair, 9, "no git client", "shore", "join", "../whole.acts", env=nothing)
    expect(pair, 9, "no git client", "ship", "send", "--file", "../none.acts", env=nothing)
    if [name for name in os.listdir(work) if name.startswith("none.acts")]:
        pair.failed.append("a file is left where no git client is installed")
    # the hook's words
    ship.git("update-ref", "refs/heads/main", ship.git("commit-tree", "main^{tree}", "-p", "main", "-m", "by hand"))
    expect(pair, 4, "act-missing", "ship", "send", pair.at("shore"))
    ship.git("update-ref", "refs/heads/main", "main~1")
    if pair.tips()[1] != before[1]:
        pair.failed.append("a refused command moved the shore")
    # a clone with files, and one's own acts that are not there
    pair.ship.act("sample", "add", "U0012A-1H-6W, 148-149", "--lab-id", "last")
    pair.acts.append(ship.tip())
    expect(pair, 4, "clone with files in it", "ship", "send", "clone")
    pair.record("shore")
    expect(pair, 7, "it has 1 act that is not here", "ship", "send", pair.at("shore"))
    expect(pair, 0, "", "ship", "join", pair.at("shore"), env=nothing)
    pair.run("ship", "send", pair.at("shore"))
    pair.look("after refusals")


def not_allowed(pair):
    """A registry that one may read and not write."""
    if os.getuid() != 0:
        return
    for side in ("ship", "shore"):
        os.chmod(os.path.join(pair.work, side), 0o755)
    above = pair.work  # whoever else is to come as far as there; a work folder of the tests is closed to others
    while (above := os.path.dirname(above)) != "/":
        if not os.stat(above).st_mode & 0o001:
            os.chmod(above, os.stat(above).st_mode | 0o011)
    pair.record("shore")
    done = subprocess.run([pair.env["P"], "join", pair.at("shore")], cwd=os.path.join(pair.work, "ship"), user=65534,
                          env=dict(pair.env, HOME="/nonexistent"), capture_output=True, text=True, check=False)
    if done.returncode != 9 or not done.stderr.startswith("coretally: ") or pair.ship.tip() == pair.shore.tip():
        pair.failed.append(f"without the right to write: exit {done.returncode}, {done.stderr}")
    pair.run("ship", "join", pair.at("shore"))


def main():
    options = asked(__doc__, cuts=(60, 200), seed=int(time.time()))
    print("seed", options.seed)
    begin = time.monotonic()
    with place(options) as work:
        os.chmod(work, 0o755)
        single = Pair(options.bin, os.path.join(work, "single"), options.seed)
        parts(single)
        refused(single)
        not_allowed(single)
        single.end()
        print(f"parts and refusals: {time.monotonic() - begin:.0f} s")
        pairs, made = cut_at_random(options, work)
        failed = [line for pair in pairs + [single] for line in pair.failed]
        return verdict(failed, f"{made} cuts, {time.monotonic() - begin:.0f} s:")


if __name__ == "__main__":
    sys.exit(main())
