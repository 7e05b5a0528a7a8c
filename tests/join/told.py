# SPDX-License-Identifier: MIT
"""Stories that a generator hardly makes: names of cores on two and three sides. Steps as a Plan has them, with minutes instead
of a clock. Each was wrong once."""
import acts

A, B = acts.A, acts.B


def act(side, minute, *words):
    return ("act", side, acts.PERSONS[side][0], acts.START + 60 * minute, [*words, "--sure"])


def rename(side, minute, core, name):
    return act(side, minute, "core", "amend", f"{A}-{core}", "--name", name, "--reason", "sheet")


def join(side, other):
    return ("join", side, other)


def label(side, minute, *names):
    return act(side, minute, "label", "print", *[f"{A}-{name}" for name in names], "--out", f"{side}-{minute}.svg")


def sample(side, minute, name):
    return act(side, minute, "sample", "add", f"{A}-{name},10-12", "--remark", f"told-{side}-{minute}")


def core(side, minute, name, top, tag="told"):
    return act(side, minute, *acts.core(A, name, top, "3x1.5", tag))


def correct(side, minute, *words):
    return act(side, minute, "correction", "add", A, *words, "--reason", "overlap", "--remark", f"told-{side}-{minute}")


STORIES = {
    # 3H is 8H here and 9H there, where 1H is 8H: labels of each name are in the file of the core that had it.
    "one name for two cores": (2, [
        rename(0, 60, "3H", "8H"), label(0, 61, "8H"), sample(0, 62, "8H-1W"),
        rename(1, 1, "3H", "9H"), rename(1, 2, "1H", "8H"), label(1, 3, "8H", "9H"), sample(1, 4, "8H-1W")]),
    "cores that change places both ways": (2, [
        rename(0, 1, "1H", "8H"), rename(0, 2, "3H", "9H"), label(0, 3, "8H", "9H"),
        rename(1, 4, "1H", "9H"), rename(1, 5, "3H", "8H"), label(1, 6, "8H", "9H")]),
    "two numbers": (2, [rename(0, 1, "3H", "8H"), rename(1, 2, "3H", "9H")]),
    "two letters": (2, [rename(0, 1, "3H", "3X"), rename(1, 2, "3H", "3R"), label(0, 3, "3X"), label(1, 3, "3R")]),
    "a number and a letter": (2, [rename(0, 1, "3H", "8H"), rename(1, 2, "3H", "3X"), label(0, 3, "8H"), label(1, 3, "3X")]),
    # Renamings by three sides stand in the order of their acts.
    "three renamings": (3, [rename(0, 2, "3H", "9H"), rename(1, 3, "1H", "8H"), rename(2, 1, "4R", "7R")]),
    "three names for one core": (3, [rename(0, 2, "3H", "7H"), rename(1, 3, "3H", "8H"), rename(2, 1, "3H", "9H"), sample(2, 2, "9H-1W")]),
    # A number that was given to a core which then left it: the new core gives way all the same.
    "a number given and left": (3, [
        rename(0, 1, "4R", "5R"), rename(0, 1, "3H", "4H"),
        core(1, 60, "5H", "3060"), label(1, 61, "5H"), correct(1, 62, "shift", "5H", "+0.5"), sample(1, 63, "5H-1W"), sample(1, 64, "4R-1W"),
        sample(2, 120, "4R-1W"), rename(2, 121, "4R", "7R")]),
    # The join knows what the ship renamed since only through its own list.
    "joined in the middle": (2, [
        rename(1, 1, "3H", "9H"), rename(0, 60, "3H", "8H"), join(1, 0), rename(0, 120, "1H", "7H"), rename(1, 121, "4R", "6R")]),
    # The number that a join gave is that of the next core elsewhere.
    "a free number, and the next core": (2, [
        rename(0, 1, "4R", "5R"), core(1, 2, "5H", "3060"), sample(1, 3, "5H-1W"), join(0, 1), core(1, 60, "6H", "3070", "told too"),
        sample(1, 61, "6H-1W")]),
    "a new core of one number on three sides": (3, [
        rename(0, 1, "4R", "5R"), core(1, 2, "5H", "3060"), core(2, 3, "5X", "3060")]),
    # A new core is what people call it, not what they called it first.
    "typed wrongly, and put right": (2, [core(0, 1, "5H", "3060"), rename(0, 2, "5H", "6H"), core(1, 3, "6H", "3060")]),
    # Who set a value is not who renamed the core since: the shore's is the later one.
    "a value, and a name after it": (2, [
        act(0, 1, "core", "amend", f"{A}-3H", "--top", "3040.5", "--reason", "tape"), rename(0, 60, "3H", "8H"),
        act(1, 30, "core", "amend", f"{A}-3H", "--top", "3040.45", "--reason", "tape")]),
    # Corrections mean the core, signed or not, whichever side is joined first.
    "a signed correction of a renamed core": (3, [
        correct(1, 1, "shift", "3H", "+0.5"), join(2, 1), act(2, 60, "correction", "sign", A, "4"), rename(0, 2, "3H", "8H")]),
    "a composite of a renamed core": (2, [correct(1, 1, "composite", "offsets.csv"), rename(0, 2, "1H", "8H")]),
    "a range without its core": (3, [
        correct(1, 1, "seafloor", "3021.0", "--seafloor-by", "camera", "--supersedes", "2", "--first-core", "2", "--last-core", "3"), join(2, 1),
        sample(2, 60, "3H-1W"), rename(0, 2, "3H", "8H")]),
    "a range, and a core that came in": (2, [
        correct(1, 1, "seafloor", "3021.0", "--seafloor-by", "camera", "--supersedes", "2", "--first-core", "5"), rename(0, 2, "3H", "8H")]),
    "a range, and a new core that gave way": (2, [
        correct(1, 1, "seafloor", "3021.0", "--seafloor-by", "camera", "--supersedes", "2", "--last-core", "5"), core(1, 2, "5H", "3060"),
        rename(0, 3, "4R", "5R")]),
}
