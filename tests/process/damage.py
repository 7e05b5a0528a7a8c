#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What is done to a registry behind the program's back is found and named by verify.

    damage.py --bin DIR [--only WORD] [--keep FOLDER]

A registry is made by the program itself: cores, samples and sub-samples, a withdrawn one, corrections with evidence, a
riser hole with its log and bags; labels are written as records. Each damage is done to a copy of it with plain git, or to
git's own files, and must be told by its word and path, with exit 8 (a doubt: exit 0). The copy that nothing was done to
must be clean. Every word of verify is provoked, or named here as met elsewhere.
"""
import argparse
import concurrent.futures
import json
import os
import re
import shutil
import sys
import tempfile

sys.dont_write_bytecode = True  # the checkout stays as it is
import damage_files  # noqa: F401  each file adds to DAMAGES
import damage_records  # noqa: F401
import damage_history  # noqa: F401
import damage_rename  # noqa: F401
from damage_scene import DAMAGES, Registry, build

# No record can break the last two: the chain of depths keeps them, and tests/unit/test_depth_order.c holds it to that.
ELSEWHERE = ("branch-removed", "ref-refused", "depth-order", "depth-past-core")


def copy_registry(old, new):
    """Objects by link, and no folders without any: what damages them puts new files into their place."""
    for folder, _, files in os.walk(old):
        to = os.path.join(new, os.path.relpath(folder, old))
        if files or "objects" not in folder:
            os.makedirs(to, exist_ok=True)
        for file in files:
            put = os.link if "objects" in folder else shutil.copy
            put(os.path.join(folder, file), os.path.join(to, file))


def verify(reg, arguments):
    done = reg.run("verify", *arguments, "--json")
    rows = json.loads(done.stdout) if done.stdout.strip().startswith("[") else None
    return done, rows


def try_damage(base, folder, programs, row):
    name, function, expected, arguments, doubt = row
    path = os.path.join(folder, name)
    copy_registry(base.path, os.path.join(path, "registry.git"))
    reg = Registry(os.path.join(path, "registry.git"), programs)
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
    if said:
        said.append("told: %s\n%s" % (sorted(told), done.stderr))
    return name, said, {word for word, _ in told}


def known_words(reg):
    return re.findall(r"^  ([a-z]+(?:-[a-z0-9]+)+): ", reg.act("verify", "--help"), re.M)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--bin", required=True)
    parser.add_argument("--only", default="")
    parser.add_argument("--keep")
    arguments = parser.parse_args()
    programs = os.path.abspath(arguments.bin)
    folder = arguments.keep or tempfile.mkdtemp(prefix="damage-")
    failed = []
    told = set()
    try:
        os.makedirs(os.path.join(folder, "sound"))
        base = build(os.path.join(folder, "sound"), programs)
        done, rows = verify(base, [])
        if done.returncode or rows or "0 damaged, 0 wrong, 0 doubtful" not in done.stderr:
            failed.append("the sound registry: exit %d\n%s%s" % (done.returncode, done.stdout, done.stderr))
        cases = [row for row in DAMAGES if arguments.only in row[0]]
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            for name, said, words in pool.map(lambda row: try_damage(base, folder, programs, row), cases):
                told |= words
                failed += ["%s: %s" % (name, line) for line in said]
        words = known_words(base)
        if not arguments.only and (len(words) < 30 or set(words) - told - set(ELSEWHERE)):
            failed.append("not provoked: %s" % sorted(set(words) - told - set(ELSEWHERE)))
    finally:
        if not arguments.keep:
            shutil.rmtree(folder)
    for line in failed:
        print(line)
    print("%d damages, %d words told, %d failures" % (len(cases), len(told), len(failed)))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
