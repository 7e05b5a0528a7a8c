#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What no act put into a folder of the registry is refused by every command that goes through that folder.

    strays.py --bin DIR [--only WORD]

A registry is made by the program itself. Each stray is put in with plain git: a number written in another way, which a
lenient reader takes for a record that is there already; a folder in the place of a file, a file in that of a folder, a
link, another repository; a folder that git does not write. Each command that reads the folder worked before, and now ends
with exit 8 and the path. verify tells it by its own word, and a command that does not go through the folder still answers.
"""
import concurrent.futures
import os
import re
import shutil
import sys

from table import asked, place, verdict
from damage_scene import BAGS, CORE1, CORE2, CORRECTION1, LOG, build, rewrite

# Commands by the folder they go through.
CORRECTIONS = (
    ("depth", "U0012A-2H"), ("depth", "U0012A-2H", "--as-of", "TIP"), ("explain", "U0012A-2H"), ("trace", "U0012A-2H"),
    ("history", "U0012A-2H"), ("recovery", "U0012A"), ("correction", "list", "U0012A"), ("correction", "show", "U0012A", "1"),
    ("correction", "add", "U0012A", "tally", "+1", "--top", "3040", "--reason", "joint missed", "--dry-run"),
    ("correction", "withdraw", "U0012A", "1", "--reason", "wrong", "--dry-run"), ("core", "show", "U0012A-2H"),
    ("core", "list", "U0012A"), ("sample", "list", "U0012A"), ("audit", "U0012A"), ("compare", "TIP"),
    ("convert", "U0012A", "5", "--from", "CSF-A", "--to", "CSF-B"), ("label", "list", "U0012A"),
    ("core", "add", "U0012A-4H", "3060", "+9.5", "--recovered", "9", "--dry-run"), ("hole", "show", "U0012A"))
CORES = (
    ("core", "list", "U0012A"), ("core", "list"), ("recovery", "U0012A"), ("recovery",), ("sample", "list", "U0012A"),
    ("section", "list", "U0012A"), ("audit", "U0012A"), ("compare", "TIP"), ("label", "list", "U0012A"),
    ("convert", "U0012A", "5", "--from", "CSF-A", "--to", "CSF-B"), ("correction", "list", "U0012A", "--reach"),
    ("core", "add", "U0012A-4H", "3060", "+9.5", "--recovered", "9", "--dry-run"))
HOLES = (
    ("hole", "list"), ("core", "list"), ("recovery",), ("expedition", "show"), ("compare", "TIP"), ("audit",), ("label", "list"),
    ("trace", "1H-3W,45-47"))
LOGS = (("log", "list", "U0013A"), ("log", "show", "U0013A"), ("bag", "show", "U0013A-BAG1"),
        ("bag", "list", "U0013A"), ("explain", "U0013A-BAG1"))
BAG_LISTS = (("bag", "list", "U0013A"), ("label", "list", "U0013A"),
             ("pump", "amend", "U0013A", "1", "--from", "2026-02-28 00:00", "--bore", "201", "--reason", "mismeasured", "--dry-run"),
             ("bag", "add", "U0013A", "2026-02-28 05:00", "2026-02-28 05:05", "--dry-run"), ("compare", "TIP"))
OTHERS = ("bag", "show", "U0013A-BAG1")

# What reads a record of a hole looks at what is open of it; what did not change is not read.
OPEN = tuple(words for words in CORRECTIONS if words[0] != "compare")

STRAYS = []


def stray(path, commands, word, verified="file-unknown", other=OTHERS):
    def keep(function):
        STRAYS.append((function.__name__, function, path, commands, word, verified, other))
        return function
    return keep


def again(name, path, commands, of, other=OTHERS):
    """A record once more, under a name that a number can be read from."""
    def put(reg):
        reg.stage(path, reg.text(of))
        reg.commit()
    put.__name__ = name
    stray(path, commands, "no file of a registry has this name", other=other)(put)


again("correction_one_digit", "holes/U0012A/corrections/1.json", CORRECTIONS, CORRECTION1)
again("correction_five_digits", "holes/U0012A/corrections/00001.json", CORRECTIONS, CORRECTION1)
again("correction_past_32_bits", "holes/U0012A/corrections/4294967297.json", CORRECTIONS, CORRECTION1)
again("correction_past_the_last", "holes/U0012A/corrections/10001.json", CORRECTIONS, CORRECTION1)
again("correction_of_an_editor", "holes/U0012A/corrections/0001.json~", CORRECTIONS, CORRECTION1)
again("correction_part", "holes/U0012A/corrections/0001.json.part-77", CORRECTIONS, CORRECTION1)
again("core_one_digit", "holes/U0012A/cores/1.json", CORES, CORE1)
again("core_zero", "holes/U0012A/cores/0.json", CORES, CORE1)
again("core_zeros", "holes/U0012A/cores/0000.json", CORES, CORE1)
again("core_past_the_last", "holes/U0012A/cores/10000.json", CORES, CORE1)
again("core_copy", "holes/U0012A/cores/0001 (copy).json", CORES, CORE1)
again("labels_one_digit", "holes/U0012A/cores/1.labels.json", CORES, CORE1)
again("bags_one_digit", "holes/U0013A/bags/bag-1.json", BAG_LISTS, BAGS, ("depth", "U0012A-2H"))
again("bags_past_the_last", "holes/U0013A/bags/bag-10001.json", BAG_LISTS, BAGS, ("depth", "U0012A-2H"))
again("bags_of_a_kind_unknown", "holes/U0013A/bags/oil-0001.json", BAG_LISTS, BAGS, ("depth", "U0012A-2H"))
again("log_of_no_day", "holes/U0013A/log/2026-02-30.log", LOGS, LOG, ("depth", "U0012A-2H"))
again("log_short_day", "holes/U0013A/log/2026-2-28.log", LOGS, LOG, ("depth", "U0012A-2H"))
again("open_short_name", "holes/U0012A/open/0123.json", OPEN, CORRECTION1)
again("open_in_capitals", "holes/U0012A/open/0123456789ABCDEF.json", OPEN, CORRECTION1)
again("hole_file", "holes/notes.txt", HOLES, CORE1)


@stray("holes/U12A-old", HOLES, "no folder of a registry has this name")
def hole_renamed(reg):
    reg.stage("holes/U12A-old/hole.json", reg.text("holes/U0012A/hole.json"))
    reg.commit()


@stray("holes/u0012a", HOLES, "no folder of a registry has this name")
def hole_in_small_letters(reg):
    reg.stage("holes/u0012a/hole.json", reg.text("holes/U0012A/hole.json"))
    reg.commit()


# A folder in the place of a correction was passed over.
@stray("holes/U0012A/corrections/0003.json", CORRECTIONS, "a folder stands where a file belongs")
def folder_for_a_correction(reg):
    reg.stage("holes/U0012A/corrections/0003.json/0001.json", reg.text(CORRECTION1))
    reg.commit()


@stray(CORE2, (("core", "show", "U0012A-2H"), ("depth", "U0012A-2H"), *CORES), "a folder stands where a file belongs")
def folder_for_a_core(reg):
    reg.stage(CORE2, None)
    reg.stage(CORE2 + "/x", "x")
    reg.commit()


@stray("holes/U0012A/corrections", CORRECTIONS, "a file stands where a folder belongs")
def file_for_the_corrections(reg):
    reg.stage("holes/U0012A/corrections/0001.json", None)
    reg.stage("holes/U0012A/corrections/0002.json", None)
    reg.stage("holes/U0012A/corrections", "none\n")
    reg.commit()


@stray("holes/U0012A/cores", (("core", "show", "U0012A-2H"), ("depth", "U0012A-2H"), *CORES),
       "a file stands where a folder belongs")
def file_for_the_cores(reg):
    for path in reg.git("ls-tree", "--name-only", "main", "holes/U0012A/cores/").splitlines():
        reg.stage(path, None)
    reg.stage("holes/U0012A/cores", "none\n")
    reg.commit()


@stray("holes/U0012A", (("depth", "U0012A-2H"), ("hole", "show", "U0012A"), ("hole", "add", "U0012A", "--returns", "seafloor")),
       "a file stands where a folder belongs")
def file_for_the_hole(reg):
    for path in reg.git("ls-tree", "-r", "--name-only", "main", "holes/U0012A/").splitlines():
        reg.stage(path, None)
    reg.stage("holes/U0012A", "none\n")
    reg.commit()


@stray("holes", (("hole", "list"), ("depth", "U0012A-2H"), ("hole", "add", "U0099A", "--returns", "seafloor")),
       "a file stands where a folder belongs", other=None)
def file_for_all_holes(reg):
    for path in reg.git("ls-tree", "-r", "--name-only", "main", "holes/").splitlines():
        reg.stage(path, None)
    reg.stage("holes", "none\n")
    reg.commit()


@stray(CORE2, (("core", "show", "U0012A-2H"), ("depth", "U0012A-2H"), *CORES), "a symbolic link stands where a file belongs",
       "file-mode")
def link_for_a_core(reg):
    reg.stage(CORE2, "0001.json", mode="120000")
    reg.commit()


@stray("holes/U0012A/corrections/0003.json", CORRECTIONS, "another repository stands where a file belongs", "file-mode")
def module_for_a_correction(reg):
    reg.stage("holes/U0012A/corrections/0003.json", reg.git("rev-parse", "main"), mode="160000")
    reg.commit()


@stray("holes/U0012A/corrections", CORRECTIONS, "a symbolic link stands where a folder belongs", "file-unknown")
def link_for_the_corrections(reg):
    reg.stage("holes/U0012A/corrections/0001.json", None)
    reg.stage("holes/U0012A/corrections/0002.json", None)
    reg.stage("holes/U0012A/corrections", "../U0013A/corrections", mode="120000")
    reg.commit()


@stray("holes/U0012A/corrections", CORRECTIONS, "has this name twice", "file-twice")
def correction_twice(reg):
    rewrite(reg, "holes/U0012A/corrections", lambda entries: entries[:1] + entries)


@stray("holes/U0012A/cores", CORES, "has its names out of order", "file-order")
def cores_out_of_order(reg):
    rewrite(reg, "holes/U0012A/cores", lambda entries: entries[::-1])


def try_stray(base, folder, row):
    name, function, path, commands, word, verified, other = row
    reg = base.copy(os.path.join(folder, name))
    tip = reg.git("rev-parse", "main")
    said = []
    function(reg)
    stands = reg.git("rev-parse", "main")
    for words in commands:
        words = [stands if part == "TIP" and words[0] != "compare" else part.replace("TIP", tip) for part in words]
        done = reg.run(*words)
        if done.returncode != 8 or path not in done.stderr or word not in done.stderr:
            said.append("%s: exit %d\n%s%s" % (" ".join(words), done.returncode, done.stdout[:300], done.stderr))
    done = reg.run("verify")
    if done.returncode != 8 or not re.search(verified, done.stdout):
        said.append("verify: exit %d\n%s%s" % (done.returncode, done.stdout, done.stderr))
    if other and reg.run(*other).returncode:
        said.append("%s does not answer any more" % " ".join(other))
    if reg.git("rev-parse", "main") != stands:
        said.append("something was recorded")
    shutil.rmtree(reg.work)
    return name, said


def main():
    options = asked(__doc__, only="")
    failed = []
    with place(options) as folder:
        base = build(os.path.join(folder, "base"), options.bin)
        tip = base.git("rev-parse", "main")
        for words in {words for row in STRAYS for words in row[3]}:
            done = base.run(*[part.replace("TIP", tip) for part in words])
            if words[1:2] != ("add",) and done.returncode:
                failed.append("%s: exit %d\n%s" % (" ".join(words), done.returncode, done.stderr))
        rows = [row for row in STRAYS if options.only in row[0]]
        with concurrent.futures.ThreadPoolExecutor(max_workers=2) as pool:
            for name, said in pool.map(lambda row: try_stray(base, folder, row), rows):
                failed += ["%s: %s" % (name, line) for line in said]
    return verdict(failed, "%d strays," % len(rows))


if __name__ == "__main__":
    sys.exit(main())
