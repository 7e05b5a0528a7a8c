#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A dry run writes nothing, whatever the command: no file is made, changed or touched. One that has to bring the acts of another
registry to say what they are leaves their objects, and nothing else.

    dry_runs.py --bin DIR [--all]

Sessions of tests/cli are replayed. Before each writing command the same words are run with --dry-run, and the whole folder
is compared before and after: names, kinds, sizes, contents, times and numbers of files. Which commands write is asked of
the program itself; each of them must have been run dry and have succeeded, else the test fails. Sessions are taken until
all commands are covered, and a command is run dry until it has succeeded twice; --all runs all of all sessions dry.
"""
import os
import pathlib
import re
import subprocess
import sys

from table import asked, run_session, verdict

BRING = {"join", "send"}
HERE = pathlib.Path(__file__).resolve()


def writing_commands(binary):
    """From the help of each command that the manual lists: those that take --dry-run."""
    listed = subprocess.run([binary, "manual"], capture_output=True, text=True, check=True).stdout
    found = set()
    for name in set(re.findall(r"^\.SS coretally ([a-z]+(?: [a-z]+)?)", listed, flags=re.M)):
        told = subprocess.run([binary, *name.split(), "--help"], capture_output=True, text=True, check=False)
        if told.returncode == 0 and "--dry-run" in told.stdout:
            found.add(name)
    return found


def is_typed(name, session):
    """Is there a line in the session that runs this command, with this option?"""
    command, _, option = name.partition(" --")
    return any(f"coretally {command} " in line and option in line for line in session.splitlines())


def look(top):
    """All that a folder holds, by path."""
    found = {}
    for folder, folders, files in os.walk(top):
        for name in ["", *files, *(one for one in folders if os.path.islink(os.path.join(folder, one)))]:
            path = os.path.join(folder, name)
            info = os.lstat(path)
            content = b""
            if name and os.path.isfile(path) and info.st_size < 100000:
                with open(path, "rb") as file:
                    content = file.read()
            found[path] = (info.st_ino, info.st_mode, info.st_size, info.st_mtime_ns, info.st_ctime_ns, content)
    return found


class DryRuns:
    """Stands in for run_session.run."""

    def __init__(self, writing, most):
        self.words = re.compile(r"^((?:\. \./[a-z-]+; )?(?:[A-Z_]+=(?:\"[^\"]*\"|'[^']*'|\S+) +)*coretally +)(%s)(?= )"
                                % "|".join(sorted(writing, key=len, reverse=True)))
        self.most = most
        self.run = run_session.run
        self.succeeded = {}
        self.runs = 0
        self.failed = []

    def __call__(self, command, folder, variables):
        named = self.words.match(command)
        key = named and named.group(2) + (" --proof" if "--proof" in command else "")
        writes_itself = named and re.search(r">(?! ?(/dev/null|&))|&&|;|\|", command[named.end(1):])
        if named and not writes_itself and "--dry-run" not in command and self.succeeded.get(key, 0) < self.most:
            dry = self.words.sub(r"\1\2 --dry-run", command)
            before = look(folder)
            done = subprocess.run(["sh", "-c", dry], cwd=folder, env=variables, stdin=subprocess.DEVNULL,
                                  capture_output=True, timeout=60, check=False)
            after = look(folder)
            changed = sorted(path for path in before.keys() | after.keys() if before.get(path) != after.get(path))
            if named.group(2) in BRING:  # the objects stay, so that they need not come over the line once more
                changed = [path for path in changed if not re.search(r"\.git/(objects|refs)(/|$)|\.git/?$", path)]
                changed += [path for path in after if "/refs/" in path and path not in before and os.path.isfile(path)]
            self.runs += 1
            self.succeeded[key] = self.succeeded.get(key, 0) + (done.returncode == 0)
            if changed:
                self.failed.append(f"{dry} changed {changed}")
        return self.run(command, folder, variables)


def main():
    args = asked(__doc__, all=False)
    programs = args.bin
    writing = writing_commands(os.path.join(programs, "coretally"))
    if len(writing) < 20:
        print("the manual lists no commands any more:", sorted(writing), file=sys.stderr)
        return 1
    texts = {path: path.read_text(encoding="utf-8").splitlines()
             for path in sorted((HERE.parents[1] / "cli").glob("*.session"))}
    typed = {path: "\n".join(line for line in lines if line.startswith(("$ ", "> "))) for path, lines in texts.items()}
    missing = writing | {"label print --proof"}
    dry_runs = DryRuns(writing, 1000000 if args.all else 2)
    run_session.run = dry_runs
    left = sorted(texts)
    while left and (missing or args.all):  # the session that covers most for what it costs
        worth = {one: sum(is_typed(name, typed[one]) for name in missing) / (typed[one].count("\n$ ") + 20)
                 for one in left}
        path = max(left, key=worth.get)
        if not worth[path] and not args.all:
            break
        left.remove(path)
        run_session.replay(path, texts[path], programs, is_warm=True)
        print(f"{path.name}: {typed[path].count('$ coretally')} commands")
        missing -= {key for key, often in dry_runs.succeeded.items() if often}
    if missing:
        dry_runs.failed.append("never run dry with success: " + ", ".join(sorted(missing)))
    return verdict(dry_runs.failed, f"{dry_runs.runs} dry runs of {len(writing)} writing commands in "
                   f"{len(texts) - len(left)} sessions,")


if __name__ == "__main__":
    sys.exit(main())
