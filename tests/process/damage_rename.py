# SPDX-License-Identifier: MIT
"""Damages to renamed cores: files moved by plain git, with more or less than a renaming has."""
from damage_scene import CORE2, at_end, damage

OLD = "holes/U0012A/cores/0005"
NEW = "holes/U0012A/cores/0006"
RENAMED = "holes/U0012A/renamed.json"
RENAMES = ("Core 901-U0012A-5H amended: it is 901-U0012A-6H now, with 6 sections, 1 sample, 1 label\n\n"
           "Act: core amend\nStation: core table\nReason: sheet 5\n")


def record_core(reg):
    """Core 5H with a sample and a label, still under its old name."""
    reg.act("core", "add", "U0012A-5H", "3060", "+9.5", "--recovered", "9", "--sections", "6x1.5")
    reg.act("sample", "add", "U0012A-5H-1W,5-7", "--volume", "5")
    reg.act("label", "print", "U0012A-5H", "--layout", "small", "--out", "5H.svg")


def rename(reg, core=None, samples=None, labels=None, story=None, leave=(), message=RENAMES):
    """As core amend does it, but for what is to be wrong."""
    record = reg.record(OLD + ".json")
    record["number"] = 6
    at_end(record, "was", "5H")
    at_end(record, "version", 2)
    if core:
        core(record)
    files = {".json": record}
    for ending, change in ((".samples.json", samples), (".labels.json", labels)):
        files[ending] = dict(reg.record(OLD + ending), core=6)
        if change:
            change(files[ending])
    for ending, record in files.items():
        if ending in leave:
            continue
        reg.stage(OLD + ending, None)
        reg.stage(NEW + ending, record)
    if story is None:
        story = [{"number": 1, "from": "5H", "to": "6H"}]
    if story:
        reg.stage(RENAMED, {"format": 1, "kind": "renamed", "hole": "U0012A", "renamings": story})
    reg.commit(message)


def renamed(reg):
    record_core(reg)
    reg.act("core", "amend", "U0012A-5H", "--name", "6H", "--reason", "sheet 5")


@damage(doubt=True)
def renamed_as_an_act_does(reg):
    record_core(reg)
    rename(reg)


@damage(("record-removed", OLD + ".json"), ("version-count", NEW + ".json"), ("name-history", NEW + ".json"))
def moved_without_a_renaming(reg):
    record_core(reg)
    rename(reg, story=[])


@damage(("record-changed", NEW + ".json"))
def moved_and_amended(reg):
    record_core(reg)
    rename(reg, core=lambda core: core.update(recovered_m=8.9))


@damage(("record-changed", NEW + ".json"))
def moved_and_a_section_amended(reg):
    record_core(reg)
    rename(reg, core=lambda core: core["sections"][0].update(curated_m=1.4))


@damage(("version-count", NEW + ".json"))
def moved_in_its_version(reg):
    record_core(reg)
    rename(reg, core=lambda core: core.update(version=3))


@damage(("record-changed", NEW + ".json"), ("name-history", NEW + ".json"))
def moved_and_its_name_forgotten(reg):
    record_core(reg)
    rename(reg, core=lambda core: core.pop("was"))


@damage(("reference-missing", OLD + ".samples.json"))
def samples_left_behind(reg):
    record_core(reg)
    rename(reg, leave=(".samples.json",))


@damage(("record-changed", NEW + ".samples.json"))
def samples_amended_on_the_way(reg):
    record_core(reg)
    rename(reg, samples=lambda it: it["samples"][0].update(volume_cm3=6))


@damage(("record-changed", NEW + ".labels.json"))
def labels_written_anew(reg):
    record_core(reg)
    rename(reg, labels=lambda it: it["labels"][0].update(name="901-U0012A-6H"))


@damage(("record-removed", OLD + ".labels.json"))
def labels_dropped_on_the_way(reg):
    record_core(reg)
    reg.stage(NEW + ".labels.json", None)
    reg.stage(OLD + ".labels.json", None)
    rename(reg, leave=(".labels.json",))


@damage(("record-changed", OLD + ".json"), ("reference-missing", RENAMED))
def renaming_without_a_move(reg):
    record_core(reg)
    rename(reg, leave=(".json", ".samples.json", ".labels.json"))


@damage(("record-changed", RENAMED))
def two_renamings_in_one_commit(reg):
    record_core(reg)
    rename(reg, core=lambda core: core.update(was="5H 7H"),
           story=[{"number": 1, "from": "5H", "to": "7H"}, {"number": 2, "from": "7H", "to": "6H"}])


@damage(("record-changed", RENAMED))
def renamed_by_another_act(reg):
    record_core(reg)
    rename(reg, message="Moved\n\nAct: core add\nStation: core table\n")


@damage(("act-missing", None))
def renamed_by_no_act(reg):
    record_core(reg)
    rename(reg, message="git mv\n")


@damage(("record-order", RENAMED))
def renamings_out_of_order(reg):
    record_core(reg)
    rename(reg, story=[{"number": 2, "from": "5H", "to": "6H"}])


@damage(("record-removed", RENAMED), ("name-history", NEW + ".json"))
def renaming_forgotten_later(reg):
    renamed(reg)
    reg.stage(RENAMED, None)
    reg.commit()


@damage(("record-changed", RENAMED), ("name-history", NEW + ".json"))
def renaming_told_otherwise_later(reg):
    renamed(reg)
    reg.edit(RENAMED, lambda it: it["renamings"][0].update({"from": "4H"}))


@damage(("record-changed", CORE2), ("name-history", CORE2))
def former_name_made_up(reg):
    def change(core):
        at_end(core, "was", "7H")
        at_end(core, "version", 2)
    reg.edit(CORE2, change)


@damage(("record-changed", CORE2))
def letter_changed_without_a_renaming(reg):
    def change(core):
        core["type"] = "X"
        at_end(core, "version", 2)
    reg.edit(CORE2, change)


@damage(("name-history", RENAMED))
def renamings_that_contradict(reg):
    renamed(reg)
    reg.edit(RENAMED, lambda it: it["renamings"].append({"number": 2, "from": "2H", "to": "6H"}))


@damage(("record-place", NEW + ".labels.json"))
def label_of_a_name_it_never_had(reg):
    renamed(reg)
    reg.edit(NEW + ".labels.json", lambda it: it["labels"].append(dict(it["labels"][0], name="901-U0012A-4H")))


def sample_set_on_top(reg, mail, committed):
    """A sample of 5H by somebody, which git set on top of what is there."""
    reg.act("sample", "add", "U0012A-5H-2W,5-7", "--volume", "5")
    parent, tree = reg.git("rev-parse", "main~1", "main^{tree}").splitlines()
    moved = reg.git("commit-tree", tree, "-p", parent, data=reg.message(), GIT_AUTHOR_NAME="B",
                    GIT_AUTHOR_EMAIL=mail, GIT_COMMITTER_DATE=committed)
    reg.git("update-ref", "refs/heads/main", moved)


def set_on_top(reg, mail, committed="2026-03-01T06:00:00Z"):
    """Core 5H becomes 6H, another 5H is recorded, and a sample taken in ignorance of both is set on top by git."""
    renamed(reg)
    reg.act("core", "add", "U0012A-5H", "3050", "+9.5", "--recovered", "9", "--sections", "6x1.5", "--sure")
    sample_set_on_top(reg, mail, committed)


@damage(("name-unseen", OLD + ".samples.json"), doubt=True)
def sample_of_who_had_not_seen_the_renaming(reg):
    set_on_top(reg, "brandt@shore.example")


@damage(doubt=True)
def sample_of_who_did_the_renaming(reg):
    set_on_top(reg, reg.git("log", "-1", "--format=%ae", "main"))


@damage(doubt=True)
def sample_that_was_not_set_on_top(reg):
    set_on_top(reg, "brandt@shore.example", committed="2026-03-01T05:00:00Z")


def set_on_top_of_a_join(reg, mail, *acts):
    """The renaming came by one side of a join; acts of brandt@shore.example on the other one, which is its first parent."""
    record_core(reg)
    reg.act("core", "add", "U0012A-8H", "3075", "+9.5", "--recovered", "9")
    tip = reg.git("rev-parse", "main")
    reg.act("core", "amend", "U0012A-5H", "--name", "6H", "--reason", "sheet 5")
    reg.act("core", "add", "U0012A-5H", "3050", "+9.5", "--recovered", "9", "--sections", "6x1.5", "--sure")
    other = reg.git("rev-parse", "main")
    reg.git("update-ref", "refs/heads/main", tip)
    for words in acts:
        reg.act(*words)
    early = "2026-03-01T03:00:00Z"
    tree = reg.git("rev-parse", "main^{tree}")
    done = reg.message()
    first = "g"
    for again in range(100):
        if first < other:
            break
        first = reg.git("commit-tree", tree, "-p", reg.git("rev-parse", "main~1"),
                        data=done.replace("Station: core table", "Station: shore %d" % again),
                        GIT_AUTHOR_NAME="B", GIT_AUTHOR_EMAIL="brandt@shore.example", GIT_AUTHOR_DATE=early, GIT_COMMITTER_DATE=early)
    reg.git("update-ref", "refs/heads/main", first)
    reg.git("update-ref", "refs/heads/other", other)
    reg.act("join", "other")
    sample_set_on_top(reg, mail, "2026-03-01T06:00:00Z")


@damage(("name-unseen", OLD + ".samples.json"), doubt=True)
def sample_of_who_acted_beside_the_renaming(reg):
    set_on_top_of_a_join(reg, "brandt@shore.example", ("sample", "add", "U0012A-2H-5W,10-12"))


@damage(doubt=True)
def sample_of_who_did_one_of_two_renamings(reg):
    set_on_top_of_a_join(reg, reg.git("log", "-1", "--format=%ae", "main"),
                         ("core", "amend", "U0012A-8H", "--name", "9H", "--reason", "sheet 3"))
