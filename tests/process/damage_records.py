# SPDX-License-Identifier: MIT
"""Damages to what records mean: names, references, rules, labels."""
from damage_scene import (ACT, BAGS, BAG_LABELS, CHECKS, CORE1, CORE3, CORRECTION1, CORRECTION2, DAY, DRILLED, LABELS1, PRINTED,
                          PUMPS, SAMPLES1, SAMPLES2, WELL, at_end, damage, find, label_of)
from table import CLOCK


# --- records that contradict one another ---

@damage(("name-twice", SAMPLES1))
def sample_name_twice(reg):
    reg.edit(SAMPLES1, lambda record: record["samples"].insert(1, {key: value for key, value in record["samples"][0].items()
                                                                   if key != "lab_id"}))


@damage(("name-twice", SAMPLES1))
def lab_id_twice(reg):
    reg.edit(SAMPLES1, lambda record: find(record["samples"], top_m=0.6).update(lab_id=record["samples"][0]["lab_id"]))


@damage(("record-order", SAMPLES1))
def samples_out_of_order(reg):
    reg.edit(SAMPLES1, lambda record: record["samples"].reverse())


@damage(("name-twice", PUMPS))
def pump_number_twice(reg):
    reg.edit(PUMPS, lambda record: record["pumps"][1].update(number=1))


@damage(("record-order", PUMPS))
def pump_that_delivers_nothing(reg):
    reg.edit(PUMPS, lambda record: record["pumps"][0].pop("bore_m"))


@damage(("record-order", CORE1))
def sections_out_of_order(reg):
    reg.edit(CORE1, lambda core: core["sections"].reverse())


@damage(("record-order", CORRECTION2))
def correction_of_no_amount(reg):
    reg.edit(CORRECTION2, lambda it: it.pop("amount_m"))


@damage(("reference-missing", SAMPLES1))
def section_of_sample_withdrawn(reg):
    def change(core):
        find(core["sections"], section="3").update(withdrawn="by hand", version=2)
    reg.edit(CORE1, change)


@damage(("reference-missing", SAMPLES1))
def core_of_samples_withdrawn(reg):
    def change(core):
        version = core.pop("version")
        at_end(core, "withdrawn", "by hand")
        at_end(core, "version", version + 1)
    reg.edit(CORE1, change)


@damage(("reference-missing", SAMPLES1))
def parent_of_sub_sample_missing(reg):
    reg.edit(SAMPLES1, lambda record: next(item for item in record["samples"] if "of" in item).update(of="3W,46-47"))


@damage(("reference-missing", CORRECTION2))
def correction_of_no_core(reg):
    reg.edit(CORRECTION2, lambda it: it.update(core=77))


def supersede(reg, number, path=CORRECTION2):
    it = reg.record(path)
    it["supersedes"] = number
    reg.stage(path, it)
    reg.commit()


@damage(("reference-missing", "holes/U0012A/corrections/0005.json"))
def supersedes_what_is_not_there(reg):
    it = reg.record(CORRECTION2)
    it.update(number=5, core=1, supersedes="4")
    reg.stage("holes/U0012A/corrections/0005.json", it)
    reg.commit()


@damage(("reference-loop", CORRECTION2))
def supersedes_itself(reg):
    supersede(reg, "2")


@damage(("reference-missing", CORRECTION1), ("record-removed", None))
def evidence_removed(reg):
    reg.stage("evidence/" + reg.record(CORRECTION1)["evidence_file"], None)
    reg.commit()


@damage(("act-false", None), ("evidence-unused", None))
def evidence_of_nothing(reg):
    blob = reg.blob("a page\n")
    reg.stage("evidence/" + blob, blob)
    reg.commit()


def sidetrack(reg, name, parent):
    hole = {"format": 1, "kind": "hole", "site": name[:-1], "letter": name[-1], "returns": "ship", "parent": parent,
            "kickoff_m": 1200}
    reg.stage("holes/%s/hole.json" % name, hole)


@damage(("reference-missing", "holes/U0013B/hole.json"))
def parent_hole_missing(reg):
    sidetrack(reg, "U0013B", "U0044A")
    reg.commit()


@damage(("reference-loop", "holes/U0013B/hole.json"), ("reference-loop", "holes/U0013C/hole.json"))
def sidetracks_in_a_circle(reg):
    sidetrack(reg, "U0013B", "U0013C")
    sidetrack(reg, "U0013C", "U0013B")
    reg.commit()


# --- what a rule refuses ---

def add_sample(reg, path, **keys):
    def change(record):
        record["samples"].append(keys)
        record["samples"].sort(key=lambda it: (it["section"], "of" in it, it["top_m"], it["bottom_m"]))
    reg.edit(path, change)


@damage(("rule-broken", CORE1))
def sections_of_an_empty_barrel(reg):
    def change(core):
        version = core.pop("version")
        core_sections = core.pop("sections")
        core.update(recovered_m=0, version=version + 1, sections=core_sections)
    reg.edit(CORE1, change)


@damage(("rule-broken", SAMPLES1))
def sample_outside_section(reg):
    add_sample(reg, SAMPLES1, section="7", half="W", top_m=0.5, bottom_m=0.6)


@damage(("rule-broken", SAMPLES1))
def sub_sample_outside_parent(reg):
    reg.edit(SAMPLES1, lambda record: next(item for item in record["samples"] if "of" in item).update(bottom_m=0.5, version=2))


@damage(("rule-broken", "holes/U0012A/cores/0003.samples.json"))
def sample_in_whole_round(reg):
    add_sample(reg, "holes/U0012A/cores/0003.samples.json", section="1", half="W", top_m=1.41, bottom_m=1.43)


@damage(("rule-broken", SAMPLES2))
def sampled_after_used_up(reg):
    add_sample(reg, SAMPLES2, section="2", half="W", top_m=0.31, bottom_m=0.33)


@damage(("rule-broken", SAMPLES2), arguments=("--quick",))
def used_up_twice(reg):
    add_sample(reg, SAMPLES2, section="2", half="W", top_m=0.31, bottom_m=0.33, used_up=True)


@damage(("rule-broken", DRILLED))
def interval_upside_down(reg):
    reg.edit(DRILLED, lambda record: record["intervals"][0].update(bottom_m=3040, version=2))


@damage(("rule-broken", BAGS))
def window_upside_down(reg):
    reg.edit(BAGS, lambda record: record["bags"][0].update(to="2026-02-28T01:05:00Z", version=2))


@damage(("rule-broken", CHECKS))
def same_tracer_twice(reg):
    def change(record):
        record["checks"].append(dict(record["checks"][0], number=2))
    reg.edit(CHECKS, change)


@damage(("rule-broken", WELL))
def gap_between_bores(reg):
    reg.edit(WELL, lambda record: [record["states"][0]["bores"][1].update(top_m=700), record["states"][0].update(version=2)])


@damage(("rule-broken", "holes/U0012A/hole.json"))
def seafloor_without_method(reg):
    def change(hole):
        hole.pop("seafloor_by")
        hole["version"] = 2
    reg.edit("holes/U0012A/hole.json", change)


@damage(("rule-broken", "holes/U0012A/corrections/0003.json"))
def correction_twice(reg):
    it = reg.record(CORRECTION2)
    it["number"] = 3
    reg.stage("holes/U0012A/corrections/0003.json", it)
    reg.commit()


# --- labels ---

def new_label(reg, path, like, **keys):
    def change(record):
        label = dict(record["labels"][like], **{"copy": 3, "printed": DAY, **keys})
        record["labels"].append(label_of(top=label.pop("top_m"), bottom=label.pop("bottom_m"), **label))
    reg.edit(path, change, message=PRINTED)


@damage(("record-changed", LABELS1), ("label-depth", LABELS1))
def label_edited(reg):
    reg.edit(LABELS1, lambda record: record["labels"][0].update(top_m=3.46))


@damage(("label-depth", LABELS1))
def label_of_another_depth(reg):
    new_label(reg, LABELS1, 0, top_m=3.55)


@damage(("label-depth", "holes/U0012A/cores/0002.labels.json"))
def label_of_another_state(reg):
    new_label(reg, "holes/U0012A/cores/0002.labels.json", 0, state=reg.git("rev-parse", "main"))


@damage(("label-depth", BAG_LABELS))
def bag_label_of_another_depth(reg):
    new_label(reg, BAG_LABELS, 0, top_m=1611.11)


@damage(("label-state", LABELS1))
def label_of_no_state(reg):
    new_label(reg, LABELS1, 0, state="0f3a9c21bd00112233445566778899aabbccddee", top_m=3.55)


@damage(("label-rebased", LABELS1), doubt=True)
def label_of_a_commit_beside_the_history(reg):
    new_label(reg, LABELS1, 0, state=reg.git("commit-tree", "main^{tree}", "-p", "main~3", data=ACT))


@damage(("label-rebased", LABELS1), doubt=True)
def label_left_behind_and_its_core_amended_later(reg):
    """What it said was right when it was recorded; it must not be held against it for ever."""
    new_label(reg, LABELS1, 0, state="0f3a9c21bd00112233445566778899aabbccddee")
    reg.act("correction", "add", "U0012A", "shift", "1H", "0.25", "--reason", "slid down in the barrel", "--sure")


@damage(("reference-missing", LABELS1))
def label_of_no_sample(reg):
    new_label(reg, LABELS1, 0, name="901-U0012A-1H-3W,80-82", copy=2)


@damage(("record-place", LABELS1))
def label_of_another_core(reg):
    new_label(reg, LABELS1, 0, name="901-U0012A-2H-1W,20-22", copy=2)


@damage(("name-twice", LABELS1))
def copy_twice(reg):
    new_label(reg, LABELS1, 1, copy=2, printed="2026-03-01T04:13:00Z")


@damage(("record-order", LABELS1))
def label_twice(reg):
    new_label(reg, LABELS1, 1, copy=2, printed=CLOCK)


@damage(("record-removed", LABELS1))
def label_removed(reg):
    reg.edit(LABELS1, lambda record: record["labels"].pop())


@damage(("rule-broken", CORE3))
def run_retyped_upside_down(reg):
    it = reg.record(CORRECTION2)
    retyped = {key: it[key] for key in ("format", "kind", "hole")}
    retyped.update(number=3, what="reading", core=3, core_bottom_m=3035, reason="by hand")
    reg.stage("holes/U0012A/corrections/0003.json", retyped)
    reg.commit()


# --- signatures: the scene's corrections were recorded by Mira Tamm, who makes every commit here ---

def sign(reg, name, mail, record=None):
    reg.stage(CORRECTION1.replace(".json", ".signed.json"),
              {"format": 1, "kind": "signatures", "hole": "U0012A", "number": 1,
               "signatures": [{"name": name, "mail": mail, "time": "2026-03-01T05:00:00Z",
                               "record": record or reg.git("rev-parse", "main:" + CORRECTION1)}]})
    reg.commit("Correction 1 of hole U0012A signed\n\nAct: correction sign\nStation: shore\n")


@damage(("signature-false", CORRECTION1.replace(".json", ".signed.json")))
def signed_in_the_name_of_another(reg):
    sign(reg, "Ida Lindqvist", "ida@shore.example")


@damage(("signature-false", CORRECTION1.replace(".json", ".signed.json")))
def signed_by_the_one_who_recorded_it(reg):
    sign(reg, "Mira Tamm", "mira@ship.example")


@damage(("signature-false", CORRECTION1.replace(".json", ".signed.json")))
def signed_other_contents(reg):
    sign(reg, "Ida Lindqvist", "ida@shore.example", "0f3a9c21bd00112233445566778899aabbccddee")


def sign_act(reg, name, mail, act=None):
    act = act or reg.git("rev-parse", "main")
    path = "signed/%s.json" % act
    reg.stage(path, {"format": 1, "kind": "act-signatures", "act": act,
                     "signatures": [{"name": name, "mail": mail, "time": "2026-03-01T05:00:00Z"}]})
    reg.commit("Act %.10s signed by %s\n\nAct: sign\nStation: shore\n" % (act, name))


@damage(("signature-false", None))
def act_signed_in_the_name_of_another(reg):
    sign_act(reg, "Ida Lindqvist", "ida@shore.example")


@damage(("signature-false", None))
def act_signed_by_who_did_it(reg):
    sign_act(reg, "Mira Tamm", "mira@ship.example")


@damage(("signature-lost", "signed/0f3a9c21bd00112233445566778899aabbccddee.json"), doubt=True)
def act_signed_that_was_never_done(reg):
    sign_act(reg, "Mira Tamm", "mira@ship.example", "0f3a9c21bd00112233445566778899aabbccddee")


def sign_by_no_key(reg):
    """The newest commit with what looks like the signature of a key."""
    header, _, rest = reg.git("cat-file", "commit", "main").partition("\n\n")
    text = header + "\ngpgsig -----BEGIN NO SIGNATURE-----\n -----END NO SIGNATURE-----\n\n" + rest + "\n"
    reg.git("update-ref", "refs/heads/main", reg.git("hash-object", "-t", "commit", "-w", "--stdin", data=text))


@damage(("key-false", ""))
def act_signed_by_no_key(reg):
    sign_by_no_key(reg)


@damage(("key-false", ""), ("key-missing", ""))
def act_not_signed_by_a_key_after_one_that_was(reg):
    sign_by_no_key(reg)
    reg.act("section", "add", "U0012A-3H-4", "0.1")


@damage(("reference-missing", "holes/U0012A/corrections/0009.signed.json"))
def signed_what_is_not_there(reg):
    reg.stage("holes/U0012A/corrections/0009.signed.json",
              {"format": 1, "kind": "signatures", "hole": "U0012A", "number": 9,
               "signatures": [{"name": "Ida", "mail": "ida@shore.example", "time": "2026-03-01T05:00:00Z",
                               "record": "0f3a9c21bd00112233445566778899aabbccddee"}]})
    reg.commit("Correction 9 of hole U0012A signed\n\nAct: correction sign\nStation: shore\n")
