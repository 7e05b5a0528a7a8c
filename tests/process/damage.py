#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What is done to a registry behind the program's back is found and named by verify.

    damage.py --bin DIR [--only WORD] [--keep FOLDER]

A registry is made by the program itself: cores, samples and sub-samples, a withdrawn one, corrections with evidence, a
riser hole with its log and bags, printed labels. Each damage is done to a copy of it with plain git, or to
git's own files, and must be told by its word and path, with exit 8 (a doubt: exit 0). The copy that nothing was done to
must be clean. Every word of verify is provoked, or named here as met elsewhere.
"""
import concurrent.futures
import json
import os
import re
import sys

from table import asked, place, verdict
import damage_files  # noqa: F401  each file adds to DAMAGES
import damage_records  # noqa: F401
import damage_history  # noqa: F401
import damage_join  # noqa: F401
import damage_open  # noqa: F401
import damage_rename  # noqa: F401
import damage_rules  # noqa: F401
from damage_scene import DAMAGES, build

# No record can break the last two: the chain of depths keeps them, and tests/unit/test_depth_order.c holds it to that. What
# needs keys is in keys.py, what needs anchors (the first six) in anchors.py.
ELSEWHERE = ("anchor-lost", "anchor-beside", "anchor-unclear", "anchor-unreadable", "label-unrecorded", "label-differs",
             "branch-removed", "ref-refused", "key-revoked", "depth-order", "depth-past-core")


def verify(reg, arguments):
    done = reg.run("verify", *arguments, "--json")
    rows = json.loads(done.stdout) if done.stdout.strip().startswith("[") else None
    return done, rows


def try_damage(base, folder, row):
    name, function, expected, arguments, doubt = row
    reg = base.copy(os.path.join(folder, name))
    tip = reg.git("rev-parse", "main")
    function(reg)
    done, rows = verify(reg, [word.replace("TIP", tip) for word in arguments])
    said = []
    if done.returncode != (0 if doubt else 8) or rows is None:
        said.append("exit %d" % done.returncode)
    told = {(row["flaw"], row["path"] or "") for row in rows or []}
    for word, place in expected:
        if not any(word == flaw and place in (None, at) for flaw, at in told):
            said.append("%s of %s is not told" % (word, place))
    if expected and not doubt and all(row["severity"] == "doubtful" for row in rows or [] if row["flaw"] == expected[0][0]):
        said.append("%s is no more than a doubt" % expected[0][0])
    if not expected and any(row["severity"] != "kept" for row in rows or []):
        said.append("something is told")
    if said:
        said.append("told: %s\n%s" % (sorted(told), done.stderr))
    return name, said, {word for word, _ in told}


def known_words(reg):
    return re.findall(r"^  ([a-z]+(?:-[a-z0-9]+)+): ", reg.act("verify", "--help"), re.M)


def main():
    options = asked(__doc__, only="")
    failed = []
    told = set()
    with place(options) as folder:
        base = build(os.path.join(folder, "sound"), options.bin)
        done, rows = verify(base, [])
        if done.returncode or rows or "0 damaged, 0 wrong, 0 doubtful" not in done.stderr:
            failed.append("the sound registry: exit %d\n%s%s" % (done.returncode, done.stdout, done.stderr))
        cases = [row for row in DAMAGES if options.only in row[0]]
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            for name, said, words in pool.map(lambda row: try_damage(base, folder, row), cases):
                told |= words
                failed += ["%s: %s" % (name, line) for line in said]
        words = known_words(base)
        if not options.only and (len(words) < 30 or set(words) - told - set(ELSEWHERE)):
            failed.append("not provoked: %s" % sorted(set(words) - told - set(ELSEWHERE)))
    return verdict(failed, "%d damages, %d words told," % (len(cases), len(told)))


if __name__ == "__main__":
    sys.exit(main())
