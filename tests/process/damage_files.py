# SPDX-License-Identifier: MIT
"""Damages to files: strays, swaps, edits by hand."""
import json
import re

from damage_scene import (CORE1, CORE2, CORE3, CORRECTION1, LABELS1, LOG, SAMPLES1, SAMPLES2, at_end, damage, find, rewrite)


# --- files that do not belong, or are missing ---

@damage(("file-unknown", "notes.txt"))
def stray_file(reg):
    reg.stage("notes.txt", "to do\n")
    reg.commit()


@damage(("file-unknown", "holes/U0012A/cores/12.json"))
def number_in_two_digits(reg):
    reg.stage("holes/U0012A/cores/12.json", reg.text(CORE1))
    reg.commit()


@damage(("file-unknown", "holes/upper site"))
def stray_hole(reg):
    reg.stage("holes/upper site/hole.json", reg.text("holes/U0012A/hole.json"))
    reg.commit()


@damage(("file-mode", CORE1))
def made_executable(reg):
    reg.stage(CORE1, reg.blob(reg.text(CORE1)), mode="100755")
    reg.commit()


@damage(("file-mode", CORE1))
def made_a_link(reg):
    reg.stage(CORE1, "0002.json", mode="120000")
    reg.commit()


@damage(("file-mode", CORE2))
def made_a_module(reg):
    reg.stage(CORE2, reg.git("rev-parse", "main"), mode="160000")
    reg.commit()


@damage(("file-twice", "/"))
def name_twice_in_folder(reg):
    lines = reg.git("ls-tree", "main").splitlines()
    raw = b""
    for line in lines + [line for line in lines if line.endswith("expedition.json")]:
        mode, _, rest = line.split(" ", 2)
        blob, name = rest.split("\t")
        raw += mode.lstrip("0").encode() + b" " + name.encode() + b"\0" + bytes.fromhex(blob)
    parts = sorted(re.findall(rb"\d+ [^\0]+\0.{20}", raw, re.S), key=lambda part: part.split(b" ", 1)[1].split(b"\0")[0])
    tree = reg.git("hash-object", "-t", "tree", "-w", "--literally", "--stdin", data=b"".join(parts))
    reg.move(tree)


@damage(("file-order", "holes/U0012A/cores"))
def names_out_of_order(reg):
    rewrite(reg, "holes/U0012A/cores", lambda entries: entries[::-1])


@damage(("file-missing", "expedition.json"))
def expedition_removed(reg):
    reg.stage("expedition.json", None)
    reg.commit()


@damage(("file-missing", "holes/U0012A/hole.json"), ("record-removed", "holes/U0012A/hole.json"))
def hole_removed(reg):
    reg.stage("holes/U0012A/hole.json", None)
    reg.commit()


@damage(("record-removed", CORE1), ("reference-missing", SAMPLES1), ("reference-missing", LABELS1))
def core_removed(reg):
    reg.stage(CORE1, None)
    reg.commit()


# --- files that are not what their path says ---

@damage(("record-place", CORE1), ("record-place", CORE2))
def cores_swapped(reg):
    reg.stage(CORE1, reg.text(CORE2))
    reg.stage(CORE2, reg.text(CORE1))
    reg.commit()


@damage(("record-place", SAMPLES1))
def samples_of_another_core(reg):
    reg.stage(SAMPLES1, reg.text(SAMPLES2))
    reg.commit()


@damage(("record-unreadable", SAMPLES1))
def core_for_samples(reg):
    reg.stage(SAMPLES1, reg.text(CORE1))
    reg.commit()


@damage(("record-unreadable", CORE1))
def record_cut_short(reg):
    reg.stage(CORE1, reg.text(CORE1)[:-40])
    reg.commit()


@damage(("record-unreadable", CORE1))
def unknown_key(reg):
    reg.edit(CORE1, lambda core: at_end(core, "depth_m", 12))


@damage(("record-unreadable", CORE1))
def value_out_of_limits(reg):
    reg.edit(CORE1, lambda core: core.update(top_m=30500))


@damage(("record-unreadable", CORE1))
def not_utf8(reg):
    reg.stage(CORE1, reg.text(CORE1).encode().replace(b'"H"', b'"\xff"'))
    reg.commit()


@damage(("format-newer", CORE1))
def future_format(reg):
    reg.edit(CORE1, lambda core: core.update(format=2))


@damage(("record-form", CORE1))
def written_by_an_editor(reg):
    reg.stage(CORE1, json.dumps(reg.record(CORE1), indent=2) + "\n")
    reg.commit()


@damage(("record-form", SAMPLES1))
def line_ends_of_another_system(reg):
    reg.stage(SAMPLES1, reg.text(SAMPLES1).replace("\n", "\r\n"))
    reg.commit()


@damage(("record-place", "holes/U0013A/log/2026-02-27.log"))
def log_under_another_day(reg):
    reg.stage("holes/U0013A/log/2026-02-27.log", reg.text(LOG))
    reg.commit()


@damage(("record-unreadable", LOG))
def log_cut_short(reg):
    reg.stage(LOG, reg.text(LOG)[:-30])
    reg.commit()


@damage(("evidence-hash", None), ("record-changed", None))
def evidence_edited(reg):
    path = "evidence/" + reg.record(CORRECTION1)["evidence_file"]
    reg.stage(path, "joint 307 missed\n")
    reg.commit()


# --- records edited by hand ---

@damage(("version-count", CORE1))
def depth_edited(reg):
    reg.edit(CORE1, lambda core: core.update(bottom_m=3030.8))


@damage(("version-count", CORE1))
def version_jumps(reg):
    reg.edit(CORE1, lambda core: core.update(bottom_m=3030.8, version=9))


@damage(("version-count", CORE1))
def section_edited(reg):
    reg.edit(CORE1, lambda core: find(core["sections"], section="7").update(curated_m=0.21))


@damage(("version-count", SAMPLES1))
def sample_edited(reg):
    reg.edit(SAMPLES1, lambda record: record["samples"][0].update(volume_cm3=20))


@damage(("version-count", "holes/U0012A/cores/0004.json"))
def begins_with_version_two(reg):
    core = reg.record(CORE3)
    core.update(number=4, top_m=3060, bottom_m=3069.5)
    at_end(core, "version", 2)
    reg.stage("holes/U0012A/cores/0004.json", core)
    reg.commit()


@damage(("withdrawn-undone", SAMPLES1))
def withdrawn_made_to_stand(reg):
    reg.edit(SAMPLES1, lambda record: [sample.pop("withdrawn", None) for sample in record["samples"]])


@damage(("record-removed", SAMPLES1))
def sample_removed(reg):
    reg.edit(SAMPLES1, lambda record: record["samples"].remove(find(record["samples"], top_m=0.6)))


@damage(("record-removed", CORE1))
def section_removed(reg):
    reg.edit(CORE1, lambda core: core["sections"].pop())


@damage(("record-changed", CORRECTION1))
def correction_edited(reg):
    reg.edit(CORRECTION1, lambda it: it.update(amount_m=9.26))


@damage(("record-changed", LOG))
def log_edited(reg):
    text = reg.text(LOG)
    lines = text.splitlines()
    at = next(at for at, line in enumerate(lines) if line.startswith("rows")) + 3
    cells = lines[at].split(" ")
    lines[at] = " ".join([cells[0], str(int(cells[1] if len(cells) > 1 else 0) + 1000), *cells[2:]])
    reg.stage(LOG, "\n".join(lines) + "\n")
    reg.commit()


@damage(("record-removed", LOG))
def log_removed(reg):
    reg.stage(LOG, None)
    reg.commit()
