#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Commits forged by plain git, each kind of act with each kind of change, are refused by verify and by the hook.

    forged.py --bin DIR [--share N] [--only WORD] [--keep FOLDER]

A registry with every kind of record is made by the program (forged_scene.py). On top of it git writes commits whose message
is that of an honest act, and whose tree is not (forged_said.py, forged_records.py, forged_changes.py). One that passes is
told, unless an honest act could have made exactly that commit: then it must pass.
"""
import collections
import json
import os
import re
import sys

from table import Table, asked, place, verdict
import forged_records as records
import forged_said as told
from forged_scene import SHIP, UNTIL, Forge, Scene, clock

# Small families are tried whole; of the others one in some, where not TESTS_LONG asks for all.
SMALL = (told.empty, told.kept, told.doubted, told.lengthened, told.buried, records.signatures, records.labels, records.renamings, records.settlings, records.undecided, records.followers,
         records.bulk, records.additions,
         records.corrections, records.amendments, records.starts, records.joins, told.reproduced)
LARGE = (told.together, told.mistold, told.renamed_kinds, told.reasons, told.dates, told.history)
# A clock may be wrong, and a history be set on top of another one by whoever may: these are told, and refused by nothing.
DOUBTED = ("dates", "committed")
# What may pass: the family, a part of the name, and why. The last four are gaps.
KNOWN = (
    ("committed", "Correction", "an honest signature that another person set on top of what came meanwhile is just that"),
    ("signature", "| of none", "a rebase leaves it, and it vouches for nothing that is there; it is told of as a doubt"),
    ("signature", "| of the start", "the first act moves nothing, so there is nothing that it vouches for"),
    ("mistold", "Pump log of", "when the log begins, and its pumps, are as they were read from the file; rows and end are held"),
    ("mistold", "Labels: 1 printed", "the name is as it was typed; that it lies below the same core or hole is held"),
    ("lengthened", "another reason below", "where an act gave no reason it may give one"),
    ("kept silently", "", "it is asked of doubts about cores and sections, not of those about lag checks"),
    ("hidden", "it is 903-U0030A-1X now", "a core gets another letter, and a sample or label of another one is added"),
)


def forgeries(scene, share):
    for family in SMALL:
        yield from family(scene)
    for family in LARGE:
        yield from list(family(scene))[share // 2::share]
    yield from told.crossed(scene, share == 1)


def is_known(row):
    return not row.honest and any(row.family == family and part in row.name + ":" for family, part, _ in KNOWN)


def forge(scene, rows):
    forger = Forge(scene.path)
    for row in rows:
        row.when = row.when or scene.when + 60
        row.committed = row.committed or row.when
        row.parents = tuple(row.parents or (scene.base,))
        row.mark = forger.add((f":{row.on.mark}",) if row.on else row.parents, row.message, row.changes, f"{row.author} {row.when} +0000", f"{row.committer} {row.committed} +0000")
    ids = forger.write()
    for row in rows:
        row.id = ids[row.mark]


def without_any(scene):
    """Commands that act, of which no act is there to be forged."""
    words = re.findall(r"^  ([a-z]+(?: [a-z]+)?) ", scene.run(SHIP, UNTIL, ["--help"]).out.split("commands:")[1], re.M)
    acting = {word for word in words if "the station that acts" in scene.run(SHIP, UNTIL, [*word.split(), "--help"]).out}
    return acting ^ set(told.by_kind(scene)) if acting else {"none acts"}


def verify(scene, row):
    """Its flaws, or what else was said; whether that is as it should be."""
    done = scene.run(SHIP, UNTIL, ["verify", f"{row.parents[0]}..{row.id}", "--json"])
    row.code = done.code
    row.told = sorted({(one["flaw"], one["sentence"]) for one in json.loads(done.out) if one["severity"] != "kept"}) if done.out.startswith("[") else [done.err]
    if row.honest:
        return done.code == 0
    return done.code == 8 or (done.code == 0 and row.family in DOUBTED and bool(row.told))


def push(table, scene, failed, rows):
    """The hook agrees: by the line that git gives it, and where git itself asks."""
    for row in rows[::10]:
        done = table.run("verify", "--hook", "pre-receive", "--registry", scene.path, given=f"{row.parents[0]} {row.id} refs/heads/main\n")
        if done.returncode != row.code:
            failed.append(f"the hook says {done.returncode}, verify {row.code}: {row}: {done.stdout}{done.stderr}")
    shore = table.under("shore.git")
    table.start(["git", "clone", "-q", "--bare", scene.path, shore], codes=(0,))
    table.write("shore.git/hooks/pre-receive", table.act("verify", "--hook-text"))
    os.chmod(os.path.join(shore, "hooks", "pre-receive"), 0o755)
    families = {}
    for row in rows:
        if row.parents == (scene.base,) and row.family not in DOUBTED:
            families.setdefault(row.family, row)
    for row in families.values():
        done = table.start(["git", "-C", scene.path, "push", "-q", shore, f"{row.id}:refs/heads/{row.id[:12]}"])
        if (done.returncode == 0) != (row.code == 0):
            failed.append(f"a push ends with {done.returncode}, verify with {row.code}: {row}: {done.stderr}")


def main():
    options = asked(__doc__, share=(13, 1), only="")
    failed, counts = [], collections.Counter()
    with place(options) as folder:
        scene = Scene(options.bin, os.path.join(folder, "scene"))
        rows = [row for row in forgeries(scene, options.share) if options.only in str(row)]
        failed += [f"no act of the kind '{kind}' is forged" for kind in sorted(without_any(scene))]
        forge(scene, rows)
        known = collections.Counter()
        for row in rows:
            is_right = verify(scene, row)
            known[row.family] += not is_right and is_known(row)
            counts[row.family, row.honest, is_right] += 1
            if not is_right and not is_known(row):
                failed.append(f"{'refused' if row.honest else 'passed'}: {row}: {row.told if row.honest else ''}")
        scene.programs.end()
        push(Table(options.bin, os.path.join(folder, "hook"), is_warm=True, CORETALLY_CLOCK=clock(UNTIL)), scene, failed, rows)
    for family, honest in sorted({key[:2] for key in counts}):
        print(f"{family:16} {'honest' if honest else 'forged'} {counts[family, honest, True] + counts[family, honest, False]:5}, "
              f"{counts[family, honest, False]:5} {'refused' if honest else f'passed, {known[family]} known'}")
    return verdict(failed, *[f"{sum(n for key, n in counts.items() if key[1] == honest)} {word}," for honest, word in ((False, "forged"), (True, "honest"))])


if __name__ == "__main__":
    sys.exit(main())
