# SPDX-License-Identifier: MIT
"""What the rules of entry doubt, put into a registry with nobody's word for it, and beside it what somebody was sure of.

The bounds are those that README.md and base/limits.h name: runs overlap by 1 m, advance by 20 m, sections are 3 m long,
a core comes on deck after the one above it.
"""
import os

from damage_join import joined
from damage_scene import BAGS, CORE1, CORE2, CORE3, DRILLED, PUMPS, SAMPLES1, damage, find

SURE = ("--sure", "--reason", "looked at it twice")
UNKEPT = "rule-unkept"


def amend(reg, path, **keys):
    """A core changed as an act changes one, but for what an act says."""
    def change(core):
        version = core.pop("version", 1)
        sections = core.pop("sections", None)
        core.update(keys, version=version + 1)
        if sections is not None:
            core["sections"] = sections
    reg.edit(path, change)


def kept(function):
    """Told as kept, with who and why, and no flaw."""
    def look(reg):
        function(reg)
        rows = [row for row in reg.rows("verify") if row["severity"] != "kept" or not row["by"] or not row["when"]]
        assert not rows, rows
        text = reg.act("verify")
        assert "kept against doubt by whoever was sure" in text and "looked at it twice" in text, text
    look.__name__ = function.__name__
    return look


@damage((UNKEPT, CORE3))
def runs_that_overlap(reg):
    amend(reg, CORE3, top_m=3036)


@damage((UNKEPT, CORE3))
def run_above_an_earlier_one(reg):
    amend(reg, CORE3, top_m=3025, bottom_m=3028)


@damage((UNKEPT, CORE3), arguments=("--since", "TIP"))
def runs_that_overlap_in_a_range(reg):
    amend(reg, CORE3, top_m=3036)


@damage((UNKEPT, CORE3), arguments=("--quick",))
def runs_that_overlap_in_a_state(reg):
    amend(reg, CORE3, top_m=3036)


@damage((UNKEPT, CORE1))
def more_recovered_than_cored(reg):
    amend(reg, CORE1, recovered_m=29.9)


@damage((UNKEPT, CORE1))
def section_longer_than_its_core(reg):
    def change(core):
        section = find(core["sections"], section="1")
        section.update(curated_m=12, version=2)
    reg.edit(CORE1, change)


@damage((UNKEPT, CORE3))
def core_above_the_seafloor(reg):
    amend(reg, CORE3, top_m=2900, bottom_m=2905)


@damage((UNKEPT, DRILLED))
def drilled_twice(reg):
    def change(record):
        record["intervals"].append({**record["intervals"][0], "number": 2, "top_m": 3055, "bottom_m": 3070})
    reg.edit(DRILLED, change)


@damage((UNKEPT, BAGS))
def bags_of_one_window(reg):
    def change(record):
        record["bags"].append({**record["bags"][-1], "number": 4})
    reg.edit(BAGS, change)


@damage((UNKEPT, PUMPS))
def barrels_for_cubic_metres(reg):
    def change(record):
        pump = record["pumps"][1]
        for key in ("bore_m", "stroke_m", "rod_m", "efficiency"):
            pump.pop(key, None)
        pump.update(kind="measured", output_m3=0.102, version=2)
    reg.edit(PUMPS, change)


@damage((UNKEPT, SAMPLES1))
def metres_for_centimetres(reg):
    def change(record):
        record["samples"].insert(0, {"section": "3", "half": "W", "top_m": 0.0045, "bottom_m": 0.0047})
    reg.edit(SAMPLES1, change)


@damage((UNKEPT, SAMPLES1))
def marked_and_by_nobody(reg):
    """The mark alone is nobody's word."""
    def change(record):
        record["samples"].insert(0, {"section": "3", "half": "W", "top_m": 0.0045, "bottom_m": 0.0047,
                                     "doubt": "looks-like-metres"})
    reg.edit(SAMPLES1, change)


@damage(("rule-doubted", CORE2), doubt=True)
def on_deck_out_of_order(reg):
    """Acts of earlier versions did not ask for it."""
    for core, hour in ((1, 10), (2, 12)):
        reg.act("core", "amend", "U0012A-%dH" % core, "--on-deck", "2026-02-20T%d:00Z" % hour, "--reason", "from the log")
    reg.edit(CORE2, lambda core: core.update(on_deck=core["on_deck"].replace("T12", "T09"), version=3), message=reg.message())


@damage(("rule-doubted", CORE3), doubt=True)
def overlap_that_came_with_another_core(reg):
    """Whoever amends a run is told that it passes the top of the next one, and not asked."""
    reg.act("core", "amend", "U0012A-2H", "--bottom", "3046", "--reason", "tally")


@damage(("rule-open", CORE3), doubt=True)
def overlap_of_two_sides(reg):
    joined(reg, [("core", "amend", "U0012A-3H", "--top", "3039.6", "--reason", "tally")],
           [("core", "amend", "U0012A-3H", "--bottom", "3062", "--sure", "--reason", "drilled and cored")])


# --- kept ---

@damage(("rule-kept", CORE3), doubt=True)
@kept
def overlap_kept(reg):
    reg.act("core", "amend", "U0012A-3H", "--top", "3036", *SURE)


@damage(("rule-kept", CORE3), doubt=True)
@kept
def overlap_kept_under_another_name(reg):
    reg.act("correction", "withdraw", "U0012A", "2", "--reason", "it names 3H")
    reg.act("core", "amend", "U0012A-3H", "--top", "3036", *SURE)
    reg.act("core", "amend", "U0012A-3H", "--name", "7H", "--reason", "numbered anew", "--sure")
    reg.act("core", "amend", "U0012A-7H", "--name", "3H", "--reason", "numbered back", "--sure")
    reg.act("core", "amend", "U0012A-3H", "--remark", "laid out", "--reason", "laid out")


@damage(("rule-kept", CORE3), doubt=True)
@kept
def order_kept_of_the_earlier_core(reg):
    """The doubt shows at 3H; the act that was sure is that on 2H."""
    reg.act("core", "amend", "U0012A-2H", "--top", "3041", "--bottom", "3042", *SURE)


@damage(("rule-kept", SAMPLES1), doubt=True)
@kept
def sliver_kept(reg):
    reg.act("sample", "add", "U0012A-1H-3W,0.45-0.47", *SURE)
    reg.act("sample", "add", "U0012A-1H-3W,0.50-0.52", *SURE)


@damage(("rule-kept", BAGS), doubt=True)
@kept
def windows_kept(reg):
    reg.act("bag", "add", "U0013A", "2026-02-28 04:02", "2026-02-28 04:07", *SURE)


@damage(("rule-kept", DRILLED), doubt=True)
@kept
def drilled_twice_kept(reg):
    reg.act("drilled", "add", "U0012A", "3055", "3070", *SURE)


@damage(("rule-kept", None), doubt=True)
def rows_kept_by_an_import(reg):
    """Each with who took the table in; the mapping is what keeps them."""
    table = os.path.join(reg.work, "samples.csv")
    with open(table, "w", encoding="utf-8") as file:
        file.write("hole,core,type,section,half,top_cm,bottom_cm\nA,1,H,3,W,30,30\nA,2,H,3,W,0.4,0.5\n")
    reg.act("import", "samples", table, "--set", "site = \"U0012\"; doubtful = keep")
    rows = reg.rows("verify")
    assert len(rows) == 2 and all(row["by"] and row["severity"] == "kept" for row in rows), rows


@damage((UNKEPT, CORE3))
def kept_once_and_then_moved(reg):
    """Who was sure of 4.4 m did not say anything of 7 m."""
    reg.act("core", "amend", "U0012A-3H", "--top", "3036", *SURE)
    amend(reg, CORE3, top_m=3033.4)


@damage((UNKEPT, SAMPLES1))
def another_sliver_beside_one_that_was_kept(reg):
    reg.act("sample", "add", "U0012A-1H-3W,0.45-0.47", *SURE)

    def change(record):
        record["samples"].insert(0, {"section": "3", "half": "W", "top_m": 0.0035, "bottom_m": 0.0037,
                                     "doubt": "looks-like-metres"})
    reg.edit(SAMPLES1, change)
