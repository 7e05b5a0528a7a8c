#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What cannot be read is told as that, and never taken for what is not there.

    unreadable.py --bin DIR [--keep FOLDER]

A registry made by the program is damaged with plain git or in git's own files; then commands that need what was damaged
are asked. Each must end with 8 and name the path or the commit, or, where its answer stands without it, say so.
"""
import os
import sys

from table import asked, place, verdict
from damage_scene import BAGS, CORE1, LOG, SAMPLES1, build

HOLE = "holes/U0012A/hole.json"
CASES = []


def case(code, *words):
    """words: of the command; the function damages and says what must be told."""
    def keep(function):
        CASES.append((function.__name__, function, code, words))
        return function
    return keep


def spoil_object(reg, name):
    """A loose object whose bytes are not what git wrote."""
    path = reg.object_file(name)
    with open(path, "rb") as file:
        data = bytearray(file.read())
    data[len(data) // 2] ^= 0x55
    os.remove(path)  # it is shared with the sound copy
    with open(path, "wb") as file:
        file.write(data)


def spoil_and_mend(reg, path):
    """A version that is no record, and the good one again behind it; the id of the bad commit."""
    good = reg.text(path)
    reg.stage(path, "{\n")
    bad = reg.commit()
    reg.stage(path, good)
    reg.commit()
    return bad


@case(8, "depth", "U0012A-1H", "--as-of", "COMMIT")
def named_commit_is_spoilt(reg):
    commit = reg.git("rev-parse", "main~3")
    spoil_object(reg, commit)
    return [commit], commit


@case(8, "depth", "U0012A-1H", "--as-of", "2026-03-01")
def commit_below_a_date_is_spoilt(reg):
    commit = reg.git("rev-parse", "main~3")
    spoil_object(reg, commit)
    return [commit], None


@case(8, "depth", "U0012A-1H", "--as-of", "2026-02-01")
def commit_below_a_date_is_gone(reg):
    commit = reg.git("rev-parse", "main~3")
    reg.lose(commit)
    return [commit], None


@case(8, "compare", "2026-03-01")
def commit_below_a_compared_date_is_gone(reg):
    commit = reg.git("rev-parse", "main~3")
    reg.lose(commit)
    return [commit], None


@case(8, "audit", "--from", "COMMIT")
def audit_from_a_spoilt_commit(reg):
    commit = reg.git("rev-parse", "main~3")
    spoil_object(reg, commit)
    return [commit], commit


@case(8, "history", "U0012A-1H")
def hole_was_unreadable_once(reg):
    spoil_and_mend(reg, HOLE)
    return [HOLE], None


@case(8, "trace", "U0012A-1H-3W,45-47")
def samples_are_no_record(reg):
    reg.stage(SAMPLES1, "{\n")
    reg.commit()
    return [SAMPLES1], None


@case(8, "trace", "U0013A-BAG1")
def bags_are_gone(reg):
    reg.lose("main:" + BAGS)
    return [BAGS], None


@case(0, "explain", "U0013A-BAG1")
def log_was_unreadable_once(reg):
    return ["note: " + LOG, spoil_and_mend(reg, LOG)[:10]], None


@case(0, "core", "show", "U0012A-1H")
def core_was_unreadable_once(reg):
    return ["note: " + CORE1, spoil_and_mend(reg, CORE1)[:10]], None


def try_case(base, folder, row):
    name, function, code, words = row
    reg = base.copy(os.path.join(folder, name))
    wanted, commit = function(reg)
    done = reg.run(*(commit[:12] if word == "COMMIT" else word for word in words))
    said = done.stdout + done.stderr
    if commit:
        wanted = [text[:12] if text == commit else text for text in wanted]
    if done.returncode != code or not all(text in said for text in wanted):
        return ["%s: exit %d and not %d, or one of %s is not told:\n%s" % (name, done.returncode, code, wanted, done.stderr)]
    return []


def try_index(base, folder):
    """The act stands; that git's index could not follow is told with the reason."""
    reg = base.beside(os.path.join(folder, "index", "working"))
    base.git("clone", "-q", base.path, reg.path)
    reg.write("working/.git/index", "no index\n" * 9)
    done = reg.run("core", "add", "U0012A-9H", "3069.5", "+9.5", "--recovered", "9", "--registry", "working")
    if done.returncode or "recorded:" not in done.stdout or "up to date: it could not be read" not in done.stderr:
        return ["a spoilt index: exit %d\n%s%s" % (done.returncode, done.stdout, done.stderr)]
    return []


def main():
    options = asked(__doc__)
    failed = []
    with place(options) as folder:
        base = build(os.path.join(folder, "sound"), options.bin)
        for row in CASES:
            failed += try_case(base, folder, row)
        failed += try_index(base, folder)
    return verdict(failed, "%d cases," % (len(CASES) + 1))


if __name__ == "__main__":
    sys.exit(main())
