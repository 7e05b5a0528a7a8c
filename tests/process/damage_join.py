# SPDX-License-Identifier: MIT
"""Damages done where two histories are joined: a join carries no decision, so whatever one decides is found."""
import json

from damage_scene import ACT, BAGS, CORE1, CORE2, CORRECTION2, PRINTED, SAMPLES1, SAMPLES2, at_end, damage, find, label_of

JOIN = "Merge branch 'shore'\n"
SAMPLES9 = "holes/U0012A/cores/0009.samples.json"


def aside(reg, *acts):
    """Acts on a side of its own, which the branch then leaves again: its last commit."""
    tip = reg.git("rev-parse", "main")
    for act in acts:
        reg.act(*act)
    side = reg.git("rev-parse", "main")
    reg.git("update-ref", "refs/heads/main", tip)
    return side


def two_sides(reg):
    """A sample here, a sample there; the second is what a joiner has staged, on top of the first."""
    ship = aside(reg, ("sample", "add", "U0012A-1H-5W,10-12"))
    shore = aside(reg, ("sample", "add", "U0012A-2H-5W,10-12"))
    reg.stage(SAMPLES2, reg.text(SAMPLES2, shore))
    return ship, shore


def staged(reg, path, change, state="main"):
    record = json.loads(reg.text(path, state))
    change(record)
    reg.stage(path, record)


@damage(("join-false", None))
def join_that_undoes_an_act(reg):
    sides = two_sides(reg)
    reg.staged = []
    reg.commit(JOIN, parents=sides)


@damage(("join-false", None))
def join_that_drops_a_record(reg):
    sides = two_sides(reg)
    staged(reg, SAMPLES1, lambda record: record["samples"].remove(find(record["samples"], top_m=0.6)), sides[0])
    reg.commit(JOIN, parents=sides)


@damage(("join-false", None))
def join_that_drops_a_file(reg):
    sides = two_sides(reg)
    reg.stage(CORE2, None)
    reg.commit(JOIN, parents=sides)


@damage(("join-false", None))
def join_that_changes_a_value(reg):
    sides = two_sides(reg)
    staged(reg, CORE1, lambda core: core.update(bottom_m=3030.8, version=core["version"] + 1))
    reg.commit(JOIN, parents=sides)


@damage(("join-false", None))
def join_that_adds_a_record(reg):
    sides = two_sides(reg)
    staged(reg, SAMPLES1, lambda record: record["samples"].append(dict(find(record["samples"], top_m=0.6), section=5)), sides[0])
    reg.commit(JOIN, parents=sides)


@damage(("join-false", None), ("file-unknown", "notes.txt"))
def join_that_adds_a_stray(reg):
    sides = two_sides(reg)
    reg.stage("notes.txt", "to do\n")
    reg.commit(JOIN, parents=sides)


@damage(("join-false", None))
def join_that_is_undone_later(reg):
    sides = two_sides(reg)
    text = reg.text(CORE2)
    reg.stage(CORE2, None)
    reg.commit(JOIN, parents=sides)
    reg.stage(CORE2, text)
    reg.commit()


@damage(("join-false", None))
def join_that_decides(reg):
    """Both sides cut one section to two lengths; whoever joins takes the one, and says nothing of the other."""
    ship = aside(reg, ("section", "amend", "U0012A-1H-2", "--curated", "1.48", "--reason", "measured again"))
    shore = aside(reg, ("section", "amend", "U0012A-1H-2", "--curated", "1.47", "--reason", "measured again"))
    reg.commit(JOIN, parents=(ship, shore))


@damage(("join-false", None))
def join_of_nothing_in_common(reg):
    tree = reg.git("rev-parse", "main^{tree}")
    other = reg.git("commit-tree", tree, data="Another beginning\n\nAct: start\nStation: core table\n")
    reg.move(tree, JOIN, parents=("main", other))


@damage(("commit-merged", None))
def join_of_three(reg):
    sides = two_sides(reg)
    third = aside(reg, ("core", "add", "U0012A-9H", "3069.5", "+9.5", "--recovered", "9"))
    reg.commit(JOIN, parents=(*sides, third))


@damage(("act-missing", None))
def join_of_one(reg):
    """What a rebase or a cherry-pick makes of a join: acts of others, as nobody's."""
    reg.edit(CORE1, lambda core: core.update(bottom_m=3030.8, version=core["version"] + 1),
             message="Join of 0123456789 and 9876543210\n\nAct: join\n")


@damage(("act-unknown", None))
def join_that_says_it_is_an_act(reg):
    reg.commit(ACT, parents=two_sides(reg))


@damage(("reference-missing", SAMPLES2))
def act_after_a_join(reg):
    """The join is as it should be; what follows it breaks a rule by itself."""
    reg.commit(JOIN, parents=two_sides(reg))
    reg.edit(CORE2, lambda core: [at_end(core, "withdrawn", "not ours"), at_end(core, "version", core.get("version", 1) + 1)])


def withdrawn_and_sampled(reg):
    """A section is withdrawn here and sampled there: both may."""
    reg.act("core", "add", "U0012A-9H", "3069.5", "+9.5", "--recovered", "9", "--sections", "6x1.5")
    ship = aside(reg, ("section", "withdraw", "U0012A-9H-6", "--reason", "a liner of 8H"))
    shore = aside(reg, ("sample", "add", "U0012A-9H-6W,10-12"))
    reg.stage(SAMPLES9, reg.text(SAMPLES9, shore))
    reg.commit(JOIN, parents=(ship, shore))


@damage(("rule-open", SAMPLES9), doubt=True)
def rule_that_two_sides_break(reg):
    withdrawn_and_sampled(reg)


@damage(("rule-open", SAMPLES9), doubt=True)
def rule_that_two_sides_broke_long_ago(reg):
    """Acts on the same file, and another join, leave it open."""
    withdrawn_and_sampled(reg)
    reg.act("sample", "add", "U0012A-9H-5W,10-12")
    reg.act("sample", "amend", "U0012A-9H-5W,10-12", "--volume", "10", "--reason", "weighed")
    reg.commit(JOIN, parents=two_sides(reg))


@damage(("rule-open", "holes/U0012A/cores/0008.samples.json"), doubt=True)
def rule_that_two_sides_broke_under_another_name(reg):
    withdrawn_and_sampled(reg)
    reg.act("core", "amend", "U0012A-9H", "--name", "8H", "--reason", "numbered anew", "--sure")


@damage(("reference-missing", SAMPLES9), ("rule-open", SAMPLES9))
def rule_broken_beside_one_that_is_open(reg):
    withdrawn_and_sampled(reg)

    def take_another(record):
        record["samples"].append({**record["samples"][0], "top_m": 0.2, "bottom_m": 0.22})
    reg.edit(SAMPLES9, take_another)


def signed(reg, number, name="Mira Tamm", mail="mira@ship.example"):
    path = "holes/U0012A/corrections/%04d" % number
    reg.stage(path + ".signed.json", {"format": 1, "kind": "signatures", "hole": "U0012A", "number": number, "signatures": [
        {"name": name, "mail": mail, "time": "2026-03-01T05:00:00Z", "record": reg.git("rev-parse", "main:%s.json" % path)}]})
    reg.commit("Correction %d of hole U0012A signed\n\nAct: correction sign\nStation: shore\n" % number)


def by_nobody(reg):
    """The join at the tip, by the name of no person."""
    tree, first, second = reg.git("rev-parse", "main^{tree}", "main^1", "main^2").splitlines()
    names = {"GIT_%s_%s" % (who, key): value for who in ("AUTHOR", "COMMITTER")
             for key, value in (("NAME", "coretally"), ("EMAIL", "join@coretally.invalid"))}
    reg.git("update-ref", "refs/heads/main", reg.git("commit-tree", tree, "-p", first, "-p", second, data=JOIN, **names))


@damage(("signature-false", "holes/U0012A/corrections/0003.signed.json"))
def signed_by_who_recorded_it_on_the_other_side(reg):
    ship = aside(reg, ("sample", "add", "U0012A-1H-5W,10-12"))
    shore = aside(reg, ("correction", "add", "U0012A", "shift", "2H", "+0.2", "--reason", "overlap"))
    reg.stage("holes/U0012A/corrections/0003.json", reg.text("holes/U0012A/corrections/0003.json", shore))
    reg.commit(JOIN, parents=(ship, shore))
    by_nobody(reg)
    signed(reg, 3)


# --- the same of a range, which begins where both sides did ---

@damage(("join-false", None), arguments=("TIP..",))
def join_in_a_range(reg):
    sides = two_sides(reg)
    reg.staged = []
    reg.commit(JOIN, parents=sides)


@damage(("version-count", CORE1), arguments=("TIP..",))
def act_on_the_other_side(reg):
    """The join is as it should be; of the second parent one act is not."""
    ship = aside(reg, ("sample", "add", "U0012A-2H-5W,10-12"))
    tip = reg.git("rev-parse", "main")
    shore = reg.edit(CORE1, lambda core: core.update(bottom_m=3030.8))
    reg.git("update-ref", "refs/heads/main", tip)
    reg.stage(CORE1, reg.text(CORE1, shore))
    reg.commit(JOIN, parents=(ship, shore))


@damage(("rule-open", SAMPLES9), arguments=("--since", "TIP"), doubt=True)
def rule_that_two_sides_break_in_a_range(reg):
    withdrawn_and_sampled(reg)


@damage(("rule-open", SAMPLES9), arguments=("--quick",), doubt=True)
def rule_that_two_sides_break_in_a_state(reg):
    withdrawn_and_sampled(reg)


# --- joined by the program ---

def joined(reg, *sides):
    """Acts on either side, and what coretally makes of them."""
    tips = [aside(reg, *acts) for acts in sides]
    reg.git("update-ref", "refs/heads/main", tips[0])
    reg.git("update-ref", "refs/heads/other", tips[1])
    reg.act("join", "other")


@damage(doubt=True)
def labels_of_two_sides(reg):
    """Two papers with one copy number: each was right."""
    joined(reg, [("label", "print", "U0012A-3H", "--out", "a.pdf")],
           [("sample", "add", "U0012A-1H-5W,10-12"), ("label", "print", "U0012A-3H", "--out", "b.pdf")])
    labels = reg.record("holes/U0012A/cores/0003.labels.json")["labels"]
    assert len(labels) == 2 and labels[0]["name"] == labels[1]["name"], labels


@damage(("signature-false", "holes/U0012A/corrections/0004.signed.json"))
def signed_by_who_recorded_it_under_another_number(reg):
    joined(reg, [("correction", "add", "U0012A", "shift", "2H", "+0.2", "--reason", "overlap")],
           [("correction", "add", "U0012A", "shift", "1H", "+0.1", "--reason", "overlap")])
    signed(reg, 4)


@damage(("join-false", None))
def join_that_decides_as_it_is_made(reg):
    """The file of a field that is open is left out, as if somebody had decided."""
    joined(reg, [("section", "amend", "U0012A-1H-2", "--curated", "1.48", "--reason", "measured again")],
           [("section", "amend", "U0012A-1H-2", "--curated", "1.47", "--reason", "measured again")])
    sides = reg.git("rev-parse", "main^1", "main^2").splitlines()
    reg.stage(CORE1, reg.text(CORE1))
    reg.commit(JOIN, parents=sides)


# --- former numbers: joins alone write them ---

CORRECTION3 = "holes/U0012A/corrections/0003.json"
LABELS3 = "holes/U0012A/cores/0003.labels.json"
NOWHERE = "9@" + "a" * 40


def bag(number, **keys):
    """A bag changed as an act would, but for these keys; before its version."""
    def change(record):
        one = find(record["bags"], number=number)
        version = one.pop("version", 1)
        one.update(keys, version=version + 1)
    return change


@damage(("record-changed", BAGS))
def former_number_made_up(reg):
    reg.edit(BAGS, bag(2, was=NOWHERE))


@damage(("record-changed", CORRECTION3))
def former_number_of_a_new_correction(reg):
    record = reg.record(CORRECTION2)
    record.update(number=3, core=1)
    at_end(record, "was", NOWHERE)
    reg.stage(CORRECTION3, record)
    reg.commit()


@damage(("record-changed", BAGS))
def former_number_of_a_new_bag(reg):
    reg.act("bag", "add", "U0013A", "2026-02-28 05:00", "2026-02-28 05:05")
    record = reg.record(BAGS)
    find(record["bags"], number=4).update(was="1@" + reg.git("rev-parse", "main~3"))
    reg.git("update-ref", "refs/heads/main", "main~1")
    reg.stage(BAGS, record)
    reg.commit()


def two_bags(reg):
    joined(reg, [("bag", "add", "U0013A", "2026-02-28 05:00", "2026-02-28 05:05")],
           [("bag", "add", "U0013A", "2026-02-28 05:30", "2026-02-28 05:35")])


@damage(("record-changed", BAGS))
def former_number_taken_away(reg):
    two_bags(reg)
    reg.edit(BAGS, lambda record: (find(record["bags"], number=5).pop("was"), bag(5)(record)))


@damage(("record-changed", BAGS))
def former_number_given_to_another(reg):
    two_bags(reg)
    was = find(reg.record(BAGS)["bags"], number=5)["was"]
    reg.edit(BAGS, lambda record: (find(record["bags"], number=5).pop("was"), bag(5)(record), bag(4, was=was)(record)))


@damage(doubt=True)
def former_numbers_where_acts_leave_them(reg):
    """The sample that kept the key is amended while another one still bears it as its former one."""
    sides = [[("sample", "add", "U0012A-1H-5W,10-12", "--requester", who)] for who in ("Tamm", "Roth")]
    joined(reg, *sides)
    reg.act("sample", "amend", "U0012A-1H-5W,10-12", "--top", "20", "--bottom", "22", "--reason", "ruler", "--sure")
    reg.act("sample", "amend", "U0012A-1H-5W,10-12 #2", "--top", "30", "--bottom", "32", "--reason", "ruler", "--sure")
    reg.act("sample", "amend", "U0012A-1H-5W,30-32", "--volume", "5", "--reason", "weighed")
    samples = [one for one in reg.record(SAMPLES1)["samples"] if one["section"] == "5"]
    assert [one["top_m"] for one in samples] == [0.2, 0.3] and "@" in samples[1]["was"], samples


@damage(("record-changed", BAGS))
def made_up_former_numbers_join_as_none(reg):
    """A commit that is not there does not stop a join; one that is there hands nothing to another thing."""
    real = reg.git("rev-parse", "main~4")
    tip = reg.git("rev-parse", "main")
    reg.act("bag", "add", "U0013A", "2026-02-28 05:00", "2026-02-28 05:05")
    reg.edit(BAGS, bag(1, was=NOWHERE))
    for number in (4, 2):
        reg.edit(BAGS, bag(number, was="3@" + (real if number == 4 else "b" * 40)))
    ship = reg.git("rev-parse", "main")
    reg.git("update-ref", "refs/heads/main", tip)
    reg.act("bag", "add", "U0013A", "2026-02-28 05:30", "2026-02-28 05:35")
    for number in ("1", "3"):
        reg.act("bag", "amend", "U0013A-BAG" + number, "--remark", "seen " + number, "--reason", "seen")
    reg.git("update-ref", "refs/heads/other", ship)
    reg.act("join", "other")
    remarks = {one["number"]: one.get("remark") for one in reg.record(BAGS)["bags"]}
    assert remarks == {1: "seen 1", 2: None, 3: "seen 3", 4: None, 5: None}, remarks


# --- lines that lie between one another in time ---

@damage(("label-rebased", LABELS3), doubt=True)
def label_recorded_before_acts_of_both_sides(reg):
    """The act that recorded it stands behind later ones of its own line, and beside one that did not know of it."""
    tip = reg.git("rev-parse", "main")
    row = reg.rows("depth", "U0012A-3H")[0]
    label = label_of("901-U0012A-3H", "0f3a9c21bd00112233445566778899aabbccddee", "CSF-A", float(row["csf_a_top_m"]),
                     float(row["csf_a_bottom_m"]))
    reg.stage(LABELS3, {"format": 1, "kind": "labels", "hole": "U0012A", "core": 3, "labels": [label]})
    reg.commit(PRINTED)
    reg.act("correction", "add", "U0012A", "shift", "3H", "0.25", "--reason", "slid down", "--supersedes", "2", clock="2026-03-01T07:00:00Z")
    reg.act("label", "print", "U0012A-3H", "--out", "a.pdf", clock="2026-03-01T08:00:00Z")
    ship = reg.git("rev-parse", "main")
    reg.git("update-ref", "refs/heads/main", tip)
    reg.act("label", "print", "U0012A-3H", "--out", "b.pdf", clock="2026-03-01T06:00:00Z")
    reg.git("update-ref", "refs/heads/other", ship)
    reg.act("join", "other")
