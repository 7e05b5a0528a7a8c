# SPDX-License-Identifier: MIT
"""Damages to what two sides claim: fields that are open until somebody decides."""
from damage_scene import CORE1, SAMPLES1, damage


def open_path(it):
    """Where a contradiction stands: FNV-1a of what it is about, a zero byte after each part."""
    value = 0xcbf29ce484222325
    for byte in b"".join(it.get(key, "").encode() + b"\0" for key in ("path", "item", "field")):
        value = (value ^ byte) * 0x100000001b3 % 2 ** 64
    return "%sopen/%016x.json" % ("holes/%s/" % it["hole"] if "hole" in it else "", value)


def claims(reg, *values):
    """Two acts of this history; which, does not matter here."""
    commits = reg.git("rev-list", "-n", "%d" % len(values), "main").splitlines()
    return [{"value": value, "commit": commit} for value, commit in zip(values, commits)]


def contradiction(reg, values, **keys):
    return {"format": 1, "kind": "contradiction", "hole": "U0012A", **keys, "claims": claims(reg, *values)}


def put(reg, it, path=None):
    reg.stage(path or open_path(it), it)
    reg.commit()


SECTION = {"path": CORE1, "item": "2", "field": "curated"}
SAMPLE = {"path": SAMPLES1, "item": "3W,45-47", "field": "volume"}


@damage(("record-order", open_path({"hole": "U0012A", **SECTION})))
def one_claim(reg):
    put(reg, contradiction(reg, ["1.5"], **SECTION))


@damage(("record-order", open_path({"hole": "U0012A", **SECTION, "path": "holes/U0013A/cores/0001.json"})))
def open_record_of_another_hole(reg):
    put(reg, contradiction(reg, ["1.5", "1.4"], **{**SECTION, "path": "holes/U0013A/cores/0001.json"}))


@damage(("record-place", "holes/U0012A/open/0123456789abcdef.json"))
def open_under_another_name(reg):
    put(reg, contradiction(reg, ["1.5", "1.4"], **SECTION), "holes/U0012A/open/0123456789abcdef.json")


@damage(("reference-missing", open_path({"hole": "U0012A", **SECTION})))
def claim_of_no_act(reg):
    it = contradiction(reg, ["1.5", "1.4"], **SECTION)
    it["claims"][1]["commit"] = "0123456789" * 4
    put(reg, it)


@damage(("reference-missing", open_path({"hole": "U0012A", **SECTION, "item": "9"})))
def open_section_that_is_not_there(reg):
    put(reg, contradiction(reg, ["1.5", "1.4"], **{**SECTION, "item": "9"}))


@damage(("reference-missing", open_path({"hole": "U0012A", **SECTION, "path": "holes/U0012A/cores/0077.json"})))
def open_core_that_is_not_there(reg):
    put(reg, contradiction(reg, ["1.5", "1.4"], **{**SECTION, "path": "holes/U0012A/cores/0077.json"}))


@damage(("reference-missing", open_path({"hole": "U0012A", **SAMPLE, "field": "colour"})))
def open_field_that_is_none(reg):
    put(reg, contradiction(reg, ["10", "11"], **{**SAMPLE, "field": "colour"}))


@damage(("reference-missing", open_path({"path": "expedition.json", "field": "colour"})))
def open_field_of_the_expedition_that_is_none(reg):
    it = contradiction(reg, ["red", "blue"], path="expedition.json", field="colour")
    del it["hole"]
    put(reg, it)


@damage(("file-unknown", "open/notes.txt"))
def stray_beside_what_is_open(reg):
    reg.stage("open/notes.txt", "decide this\n")
    reg.commit()


@damage(("record-changed", open_path({"hole": "U0012A", **SAMPLE})))
def claims_changed_by_hand(reg):
    it = contradiction(reg, ["10", "11"], **SAMPLE)
    put(reg, it)
    it["claims"][0]["value"] = "12"
    put(reg, it)


@damage(("record-removed", open_path({"hole": "U0012A", **SAMPLE})))
def taken_away_undecided(reg):
    put(reg, contradiction(reg, ["10", "11"], **SAMPLE))
    reg.stage(open_path({"hole": "U0012A", **SAMPLE}), None)
    reg.commit()
