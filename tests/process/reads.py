#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""How often a command reads one and the same file of the registry, through the real binary.

    reads.py --bin DIR --preload LIBRARY [--lower] [--only COMMAND]

The registry is that of tests/older, which has records of all kinds, with a core renamed. Each command of reads.txt runs with
readtrace.c before it, which writes down each object that libgit2 fetches: none may be read more often than its row
allows, and each command that opens a registry must have a row. --lower writes what is better today into reads.txt; with
--only ("trace", "label print") the rows of that command alone are run.

Files of the registry are blobs, of which libgit2 keeps none: whoever asks for one has it opened and unpacked. Folders and
commits are counted apart: libgit2 keeps those of a store, so that they count when they are fetched, and not each time that
they are looked at. Where strace may trace, it must see each blob opened as often as the library saw it read: nothing reads
one unseen.
"""
import collections
import json
import os
import pathlib
import re
import shlex
import shutil
import subprocess
import sys

from table import asked, place, run_session, verdict

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "older"))
import older  # noqa: E402  pylint: disable=wrong-import-position
from damage_open import open_path  # noqa: E402  pylint: disable=wrong-import-position

ROWS = HERE / "reads.txt"
# They take options of readers or writers, and open no registry.
NEED_NONE = {"lag", "name", "label layout", "start"}
FILES = {
    "names.csv": ["name,d18O", '"U0012A-2H-3W, 45-47 cm",1.2', '"U0012A-2H-3W, 46-48 cm",1.3', "U0012A-9R-1,0.3",
                  '"U0014A-2R-2W, 21-23 cm",1.4', "U0012A-9R-2,0.4"],
    "cores.csv": ["hole,core,type,top,bottom,recovered", "U0014A,6,R,2619.2,2628.8,5", "U0014A,7,R,2628.8,2638.4,6"],
    "samples.csv": ["hole,core,type,section,half,top_cm,bottom_cm,purpose", "U0014A,2,R,3,W,10,12,isotopes",
                    "U0014A,3,R,1,W,10,12,isotopes"],
    "log.csv": ["Time,Bit,Hole,P1,P2,B"] + [f"2026-03-11T00:{at // 6:02}:{at % 6}0Z,3386,3386.4,62710,62710,45367"
                                            for at in range(6, 60)],
}


class Registry:
    def __init__(self, programs, preload, place):
        self.program = os.path.join(os.path.realpath(programs), "coretally")
        self.preload = os.path.realpath(preload)
        self.place = place
        self.folder = os.path.join(place, "table")
        os.mkdir(self.folder)
        self.variables = run_session.environment(os.path.dirname(self.program), self.folder, place)
        self.variables.update(CORETALLY_CLOCK="2026-03-25T08:00:00Z", GIT_CONFIG_COUNT="1",
                              GIT_CONFIG_KEY_0="fastimport.unpackLimit", GIT_CONFIG_VALUE_0="1000000")  # each object a file
        self.git = ["git", "-C", older.bring_back(self.folder, self.variables)]
        for name, lines in FILES.items():
            pathlib.Path(self.folder, name).write_text("\n".join(lines) + "\n", encoding="utf-8")
        self.run([self.program, "core", "amend", "U0012A-10R", "--name", "11R", "--reason", "numbered anew"])
        self.run([self.program, "hole", "add", "U0015B", "--returns", "seafloor"])
        self.open_remark("U0015B")
        self.symbol = json.loads(self.run([self.program, "label", "list", "U0012A-6X-2W,10-12", "--json"]))[0]["symbol"]
        self.traces = shutil.which("strace") and not subprocess.run(
            ["strace", "-f", "-o", "/dev/null", "true"], capture_output=True, check=False).returncode

    def run(self, words):
        return subprocess.run(words, cwd=self.folder, env=self.variables, text=True, capture_output=True, check=True).stdout

    def open_remark(self, hole):
        """A field to settle, as a join leaves it, by plain git."""
        it = {"format": 1, "kind": "contradiction", "hole": hole, "path": f"holes/{hole}/hole.json", "field": "remark"}
        tip = self.run([*self.git, "rev-parse", "main"]).strip()
        claims = ",\n".join(json.dumps(dict(value=value, commit=tip), separators=(",", ":")) for value in ("a", "b"))
        text = "{\n" + "".join(f'"{key}":{json.dumps(value)},\n' for key, value in it.items()) + f'"claims":[\n{claims}\n]\n}}\n'
        file = pathlib.Path(self.folder, "open.json")
        file.write_text(text, encoding="utf-8")
        index = dict(self.variables, GIT_INDEX_FILE=os.path.join(self.folder, "index-of-test"))

        def git(*words):
            done = subprocess.run([*self.git, *words], env=index, text=True, capture_output=True, check=True)
            return done.stdout.strip()
        git("read-tree", "main")
        git("update-index", "--add", "--cacheinfo", f"100644,{git('hash-object', '-w', str(file))},{open_path(it)}")
        git("update-ref", "refs/heads/main", git("commit-tree", git("write-tree"), "-p", tip, "-m", "Joined by hand", "-m", "Act: import\nStation: core table"))

    def paths(self):
        """Of each blob, a path under which it stands."""
        named = dict(line.partition(" ")[::2] for line in self.run([*self.git, "rev-list", "--objects", "--all"]).splitlines())
        kinds = self.run([*self.git, "cat-file", "--batch-all-objects", "--batch-check"]).splitlines()
        return {blob: named.get(blob, "") for blob, kind, _ in map(str.split, kinds) if kind == "blob"}

    def trace(self, command, is_looked_at):
        """How often each (kind, object) was read, and each object opened; what the program ended with."""
        told, calls = pathlib.Path(self.place, "told"), pathlib.Path(self.place, "calls")
        told.write_text("", encoding="ascii")
        calls.write_text("", encoding="ascii")
        words = [self.symbol if word == "SYMBOL" else word for word in shlex.split(command)[1:]]
        strace = ["strace", "-f", "-qq", "-e", "trace=openat,open", "-o", str(calls)] if is_looked_at else []
        done = subprocess.run([*strace, "env", f"LD_PRELOAD={self.preload}", f"READS_FILE={told}", self.program, *words],
                              cwd=self.folder, env=self.variables, text=True, capture_output=True, check=False,
                              stdin=subprocess.DEVNULL)
        read = collections.Counter(tuple(line.split()) for line in told.read_text(encoding="ascii").splitlines())
        opened = re.findall(r'/objects/(..)/([0-9a-f]{38})", .* = \d', calls.read_text(encoding="utf-8", errors="replace"))
        return read, collections.Counter(a + b for a, b in opened), done

    def commands(self):
        """All that open a registry, by their options."""
        listed = re.findall(r"^\.SS coretally ([a-z]+(?: [a-z]+)?)", self.run([self.program, "manual"]), flags=re.M)
        named = {words for words in listed if not words.startswith("import ")} | {"import"}
        return {words for words in named - NEED_NONE
                if re.search("--(csv|dry-run)", self.run([self.program, *words.split(), "--help"]))}


def judge(registry, paths, command, allowed, is_looked_at):
    """Says a row of the table. The worst counts, of files and of all else; what is not as it should be."""
    read, opened, done = registry.trace(command, is_looked_at)
    files = {name: count for (kind, name), count in read.items() if kind == "blob"}
    others = {name: count for (kind, name), count in read.items() if kind != "blob"}
    wrong = []
    if done.returncode and not (command.startswith('coretally verify') and done.returncode == 8):  # an open field was laid there
        wrong.append(f"exit {done.returncode}: {done.stderr}")
    if not read:
        wrong.append("it reads nothing, or readtrace.c does not see it")
    if any(kind == "packed" for kind, _ in read):
        wrong.append("it reads from a pack; of such an object the kind is not known")
    if is_looked_at and any(opened[name] != files.get(name, 0) for name in paths):
        wrong.append("strace saw other files of blobs opened than readtrace.c did")
    worst = []
    often = []
    for what, counts, most in zip(("file", "folder or commit"), (files, others), allowed):
        name = max(counts, key=counts.get, default=None)
        worst.append(counts.get(name, 0))
        if worst[-1] > 1:
            often.append(paths.get(name) or f"{what} {name[:10]}")
        if worst[-1] > most:
            wrong.append(f"the {what} {name} {paths.get(name, '')} was read {worst[-1]} times, and {most} are allowed")
    print("%6d %6d %6d   %6d %6d %6d  %s" % (sum(files.values()), len(files), worst[0], sum(others.values()), len(others),
                                            worst[1], "; most often: ".join([command, ", ".join(often)][:1 + bool(often)])))
    return worst, wrong


def main():
    options = asked(__doc__, preload="", lower=False, only="")
    lines = ROWS.read_text(encoding="utf-8").splitlines()
    failed = []
    typed = []
    with place(options) as folder:
        registry = Registry(options.bin, options.preload, folder)
        if not registry.traces:
            print("strace is not here, or may not trace: whether readtrace.c sees all is not looked at")
        print("%20s   %20s\n%6s %6s %6s   %6s %6s %6s" % ("files", "folders, commits", *2 * ("reads", "of", "worst")))
        paths = registry.paths()
        for at, line in enumerate(lines):
            files, others, command = line.split(" ", 2) if line[0].isdigit() else ("", "", "")
            if not command.startswith(f"coretally {options.only}"):
                continue
            typed.append(command)
            worst, wrong = judge(registry, paths, command, (int(files), int(others)),
                                 registry.traces and (options.lower or options.only or at % 4 == 0))
            failed += [f"{command}: {why}" for why in wrong]
            if not wrong:
                lines[at] = "%d %d %s" % (*worst, command)
        if not options.only:
            failed += [f"no row of reads.txt runs {name}" for name in sorted(registry.commands())
                       if not any(f"{row} ".startswith(f"coretally {name} ") for row in typed)]
    if options.lower:
        ROWS.write_text("\n".join(lines) + "\n", encoding="utf-8")
    if not typed:
        failed.append(f"no row of reads.txt is of coretally {options.only}")
    return verdict(failed, f"{len(typed)} commands,")


if __name__ == "__main__":
    sys.exit(main())
