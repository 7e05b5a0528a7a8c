# SPDX-License-Identifier: MIT
"""Damages to git's own objects and to the history."""
import os
import zlib

from damage_scene import BAG_LABELS, CORE1, CORE2, SAMPLES1, SAMPLES2, damage, find
from damage_records import bag_label_of_another_depth


# --- git's own objects ---

@damage(("object-unreadable", CORE2))
def blob_lost(reg):
    reg.lose("main:" + CORE2)


@damage(("object-unreadable", CORE2))
def blob_of_other_bytes(reg):
    path = reg.object_file("main:" + CORE2)
    text = reg.text(CORE2).replace("3030.9", "3031.9").encode()
    os.remove(path)
    with open(path, "wb") as file:
        file.write(zlib.compress(b"blob %d\0" % len(text) + text))


@damage(("object-unreadable", CORE2))
def blob_cut_short(reg):
    path = reg.object_file("main:" + CORE2)
    with open(path, "rb") as file:
        data = file.read()
    os.remove(path)
    with open(path, "wb") as file:
        file.write(data[:20])


@damage(("object-unreadable", "holes/U0012A/cores"))
def folder_lost(reg):
    reg.lose("main:holes/U0012A/cores")


@damage(("object-unreadable", None))
def root_lost(reg):
    reg.lose("main^{tree}")


@damage(("object-unreadable", None))
def commit_lost(reg):
    reg.lose("main~5")


@damage(("object-unreadable", SAMPLES1))
def earlier_version_lost(reg):
    versions = reg.git("log", "--format=%H", "main", "--", SAMPLES1).splitlines()
    reg.lose(versions[1] + ":" + SAMPLES1)


@damage(("object-unreadable", None))
def branch_to_nowhere(reg):
    with open(os.path.join(reg.path, "refs/heads/main"), "w", encoding="utf-8") as file:
        file.write("0f3a9c21bd00112233445566778899aabbccddee\n")


# --- history ---

@damage(("act-missing", None))
def commit_of_no_act(reg):
    reg.edit(CORE1, lambda core: core.update(bottom_m=3030.8, version=core["version"] + 1), message="fix depth\n")


@damage(("act-unknown", None))
def commit_of_another_act(reg):
    reg.edit(CORE1, lambda core: core.update(bottom_m=3030.8, version=core["version"] + 1),
             message="Mended\n\nAct: core mend\nStation: core table\n")


@damage(("act-false", None))
def act_that_gives_no_reason(reg):
    reg.again(reg.message().replace("Reason: tape read at the wrong end\n", ""))


@damage(("act-false", CORE1))
def act_of_another_kind(reg):
    reg.again(reg.message().replace("core amend", "core add"))


@damage(("act-line", ""))
def act_that_says_another_length(reg):
    reg.again(reg.message().replace("9.400 m (98.9 %)", "9.430 m (99.3 %)"))


@damage(("time-back", ""), doubt=True)
def commit_of_last_year(reg):
    reg.again(when="2025-03-01T05:00:00Z")


@damage(("time-ahead", ""), doubt=True)
def commit_of_next_year(reg):
    reg.again(when="2027-03-01T05:00:00Z")


@damage(("time-ahead", ""), doubt=True)
def commit_of_two_days_after_git_wrote_it(reg):
    reg.again(when="2026-03-01T04:12:00Z", written="2026-02-27T04:12:00Z")


@damage(("history-rewritten", None), arguments=("--since", "TIP"))
def history_rewritten(reg):
    reg.git("update-ref", "refs/heads/main", "main~4")
    reg.act("core", "add", "U0012A-9H", "3069.5", "+9.5", "--recovered", "9")


@damage(("history-rewritten", None), arguments=("--since", "TIP"))
def history_rewritten_and_swept(reg):
    history_rewritten(reg)
    reg.git("reflog", "expire", "--expire=now", "--all")
    reg.git("gc", "--prune=now", "-q")


@damage(("record-removed", CORE2), arguments=("TIP..",))
def in_a_range(reg):
    reg.stage(CORE2, None)
    reg.commit()


@damage(("reference-missing", SAMPLES2), arguments=("TIP..",))
def what_hangs_on_a_range(reg):
    reg.stage(CORE2, None)
    reg.commit()


@damage(("record-removed", SAMPLES1), ("label-depth", BAG_LABELS), ("object-unreadable", CORE2), ("file-unknown", "notes.txt"))
def four_at_once(reg):
    reg.stage("notes.txt", "to do\n")
    reg.commit()
    reg.edit(SAMPLES1, lambda record: record["samples"].remove(find(record["samples"], top_m=0.6)))
    bag_label_of_another_depth(reg)
    reg.lose("main:" + CORE2)
