# SPDX-License-Identifier: MIT
"""What a forger changes besides what his commit says: every kind of record, every way. Versions are counted and files written
as the program does, so that the meaning alone is wrong."""
import copy
import json

from forged_scene import A, B, C, R, S, written

CORE = "holes/%s/cores/%04d.json"
SAMPLES = "holes/%s/cores/%04d.samples.json"
LABELS = "holes/%s/cores/%04d.labels.json"
CORRECTION = "holes/%s/corrections/%04d.json"
SIGNED = "holes/%s/corrections/%04d.signed.json"
BAGS = f"holes/{R}/bags/bag-0001.json"
BAG_LABELS = f"holes/{R}/bags/bag-0001.labels.json"
LOG = f"holes/{R}/log/2026-03-0%d.log"
OTHER = "8ab686eafeb1f44702738c8b0f24f2567c36da6d"  # the hash of nothing here
LISTS = ("sections", "samples", "labels", "renamings", "signatures", "intervals", "states", "pumps", "checks", "bags")
BEHIND = ("doubt", "withdrawn", "was", "version")  # the last keys of a record, in their order


def arranged(record):
    """Keys in the order of the program: what every record may have stands behind its own, and before its items."""
    own = {key: value for key, value in record.items() if key not in (*BEHIND, *LISTS)}
    own.update({key: record[key] for key in BEHIND if key in record})
    own.update({key: record[key] for key in LISTS if key in record})
    return own


def counted(record, **values):
    """An amendment: None takes a key out."""
    record.update(values)
    for key in [key for key, value in record.items() if value is None]:
        del record[key]
    record["version"] = record.get("version", 1) + 1
    ordered = arranged(record)
    record.clear()
    record.update(ordered)


def item(number, /, **values):
    return lambda record: counted(items_of(record)[number], **values)


def items_of(record):
    return next(record[key] for key in LISTS if key in record)


def gone(number):
    return lambda record: items_of(record).pop(number)


def appended(**values):
    return lambda record: items_of(record).append(values)


def changed(number, /, **values):
    """Without a count: of what has none."""
    return lambda record: items_of(record)[number].update(values)


def whole(**values):
    return lambda record: counted(record, **values)


def plain(**values):
    return lambda record: record.update(values)


def log_row(text, at, how):
    lines = text.split("\n")
    first = next(n for n, line in enumerate(lines) if line.startswith("rows "))
    if how == "changed":
        cells = lines[first + at].split(" ")
        lines[first + at] = " ".join([cells[0], str(int(cells[1]) + 500000), *cells[2:]])
        cells = lines[first + at + 1].split(" ")
        lines[first + at + 1] = " ".join([cells[0], str(int(cells[1]) - 500000), *cells[2:]])
    else:
        lines[first] = "rows %d" % (int(lines[first][5:]) + (1 if how == "added" else -1))
        if how == "added":
            lines.insert(first + at, "0 1000000 900000")
        else:
            del lines[first + at]
    return "\n".join(lines)


EDITS = (
    ("expedition number", "expedition.json", whole(number="904")),
    ("expedition title", "expedition.json", whole(title="Fans of old")),
    ("hole seafloor", f"holes/{A}/hole.json", whole(seafloor_m=3020.9)),
    ("hole returns", f"holes/{R}/hole.json", whole(returns="seafloor")),
    ("hole withdrawn", "holes/U0034A/hole.json", whole(withdrawn="sheet 4")),
    ("hole restored", f"holes/{C}/hole.json", whole(withdrawn=None)),
    ("hole kickoff", f"holes/{S}/hole.json", whole(kickoff_m=3041)),
    ("core top", CORE % (A, 3), whole(top_m=3040.9)),
    ("core recovered", CORE % (B, 1), whole(recovered_m=4)),
    ("core remark", CORE % (B, 2), whole(remark="slumped")),
    ("core withdrawn", CORE % (B, 2), whole(withdrawn="sheet 4")),
    ("core restored", CORE % (B, 7), whole(withdrawn=None)),
    ("core kept", CORE % (B, 1), whole()),
    ("core type", CORE % (A, 4), whole(type="X")),
    ("core was", CORE % (A, 4), whole(was="4H")),
    ("section curated", CORE % (A, 5), item(1, curated_m=1.2)),
    ("section withdrawn", CORE % (A, 5), item(4, withdrawn="sheet 4")),
    ("section restored", CORE % (A, 4), item(1, withdrawn=None)),
    ("section removed", CORE % (A, 5), gone(4)),
    ("section added", CORE % (A, 5), appended(section="6", curated_m=0.5)),
    ("sample moved", SAMPLES % (A, 5), item(0, top_m=0.2, bottom_m=0.22, was="2W,10-12")),
    ("sample volume", SAMPLES % (A, 5), item(0, volume_cm3=40)),
    ("sample withdrawn", SAMPLES % (A, 5), item(0, withdrawn="sheet 4")),
    ("sample restored", SAMPLES % (A, 1), item(1, withdrawn=None)),
    ("sample removed", SAMPLES % (A, 2), gone(1)),
    ("sample added", SAMPLES % (A, 5), appended(section="4", half="W", top_m=0.3, bottom_m=0.32)),
    ("sample was", SAMPLES % (A, 5), item(0, was="3W,10-12")),
    ("drilled bottom", f"holes/{A}/drilled.json", item(0, bottom_m=3082)),
    ("drilled withdrawn", f"holes/{A}/drilled.json", item(0, withdrawn="sheet 4")),
    ("drilled restored", f"holes/{A}/drilled.json", item(1, withdrawn=None)),
    ("drilled removed", f"holes/{A}/drilled.json", gone(1)),
    ("drilled added", f"holes/{A}/drilled.json", appended(number=3, top_m=3120, bottom_m=3125, datum="rig-floor")),
    ("pump efficiency", f"holes/{R}/pumps.json", item(0, efficiency_pct=94)),
    ("pump withdrawn", f"holes/{R}/pumps.json", item(0, withdrawn="sheet 4")),
    ("pump restored", f"holes/{R}/pumps.json", item(1, withdrawn=None)),
    ("pump removed", f"holes/{R}/pumps.json", gone(1)),
    ("well inlet", f"holes/{R}/well.json", item(0, inlet_m=990)),
    ("well restored", f"holes/{R}/well.json", item(1, withdrawn=None)),
    ("well removed", f"holes/{R}/well.json", gone(1)),
    ("check seen", f"holes/{R}/lag-checks.json", item(0, seen="2026-03-01T14:39:00Z")),
    ("check withdrawn", f"holes/{R}/lag-checks.json", item(0, withdrawn="sheet 4")),
    ("check restored", f"holes/{R}/lag-checks.json", item(1, withdrawn=None)),
    ("check removed", f"holes/{R}/lag-checks.json", gone(1)),
    ("bag time", BAGS, item(1, to="2026-03-01T15:20:00Z")),
    ("bag lithology", BAGS, item(0, lithology="sand")),
    ("bag withdrawn", BAGS, item(0, withdrawn="sheet 4")),
    ("bag restored", BAGS, item(2, withdrawn=None)),
    ("bag removed", BAGS, gone(2)),
    ("bag added", BAGS, appended(number=4, **{"from": "2026-03-01T19:00:00Z"})),
    ("bag was", BAGS, item(1, was="9@" + "a" * 40)),
    ("correction amount", CORRECTION % (A, 1), plain(amount_m=2)),
    ("correction reason", CORRECTION % (A, 1), plain(reason="joint 306")),
    ("correction remark", CORRECTION % (A, 3), whole(remark="as agreed")),
    ("correction withdrawn", CORRECTION % (A, 1), whole(withdrawn="sheet 4")),
    ("correction restored", CORRECTION % (B, 1), whole(withdrawn=None)),
    ("correction evidence", CORRECTION % (A, 7), plain(evidence_file=OTHER)),
    ("signature changed", SIGNED % (A, 1), changed(0, remark="looked at twice")),
    ("signature time", SIGNED % (A, 1), changed(0, time="2026-03-03T20:00:00Z")),
    ("signature of another", SIGNED % (A, 1), changed(0, name="Ida Lindqvist", mail="ida@example.org")),
    ("label depth", LABELS % (A, 5), changed(0, top_m=38.9, bottom_m=46.4)),
    ("label layout", LABELS % (A, 5), changed(0, layout="large")),
    ("label removed", LABELS % (A, 3), gone(0)),
    ("label of a bag", BAG_LABELS, changed(0, printed="2026-03-04T00:07:00Z")),
    ("renaming changed", f"holes/{A}/renamed.json", changed(0, **{"from": "5R"})),
    ("renaming added", f"holes/{A}/renamed.json", appended(number=2, **{"from": "4R", "to": "4X"})),
)
REMOVED = ("expedition.json", f"holes/{S}/hole.json", CORE % (B, 7), SAMPLES % (A, 5), LABELS % (A, 5), CORRECTION % (B, 1),
           SIGNED % (A, 1), f"holes/{A}/drilled.json", f"holes/{A}/renamed.json", f"holes/{R}/pumps.json", f"holes/{R}/well.json",
           f"holes/{R}/lag-checks.json", BAGS, BAG_LABELS, LOG % 1)


class Change:
    """changes: {path: (mode, bytes) or None}."""

    def __init__(self, name, changes):
        self.name, self.changes = name, changes


def corrected(record):
    """The keys of a correction: its remark and withdrawal stand last; it counts no versions unless it is withdrawn."""
    if record.get("kind") != "correction":
        return record
    last = ("reason", "evidence", "evidence_file", "evidence_name", "remark", "withdrawn", "version")
    own = {key: value for key, value in record.items() if key not in last}
    own.update({key: record[key] for key in last if key in record})
    return own


def edited(scene, path, how):
    record = copy.deepcopy(scene.record(path))
    how(record)
    return {path: ("100644", written(corrected(record)))}


def others(scene):
    """What is no edit of one record."""
    open_path = next(path for path in scene.files(scene.base) if "/open/" in path)
    evidence = next(path for path in scene.files(scene.base) if path.startswith("evidence/"))
    contradiction = scene.record(open_path)
    contradiction["claims"][0]["value"] = "8"
    day = scene.content(LOG % 1).decode()
    yield "log row changed", {LOG % 1: ("100644", log_row(day, 70, "changed").encode())}
    yield "log row left out", {LOG % 1: ("100644", log_row(day, 70, "removed").encode())}
    day = scene.content(LOG % 2).decode()
    yield "log row added in mid-day", {LOG % 2: ("100644", log_row(day, 30, "added").encode())}
    yield "log row added", {LOG % 2: ("100644", log_row(day, 73, "added").encode())}
    yield "log gap", {LOG % 2: ("100644", day.replace("gap 600", "gap 900").encode())}
    yield "log withdrawn", {LOG % 2: None}
    yield "evidence replaced", {evidence: ("100644", b"joint 306 was counted once\n")}
    yield "evidence removed", {evidence: None}
    yield "evidence added", {"evidence/146d2d617d3045fd4281b8ae0f7225abc28db44d": ("100644", b"a sheet\n")}
    yield "open field decided", {open_path: None}
    yield "open field changed", {open_path: ("100644", written(contradiction))}
    yield "file of unknown path", {"notes.txt": ("100644", b"to do\n")}
    yield "file of another mode", {CORE % (B, 2): ("100755", scene.content(CORE % (B, 2)))}
    yield "link in place of a file", {CORE % (B, 2): ("120000", b"0001.json")}
    yield "core and its name", dict(edited(scene, f"holes/{A}/renamed.json", appended(number=2, **{"from": "4R", "to": "4X"})),
                                    **edited(scene, CORE % (A, 4), whole(type="X", was="4R")))


def all_changes(scene):
    for name, path, how in EDITS:
        yield Change(name, edited(scene, path, how))
    for path in REMOVED:
        yield Change("removed: " + path.rpartition("/")[2], {path: None})
    for name, changes in others(scene):
        yield Change(name, changes)


# --- two changes in one commit ---

def keyed(one):
    for name in ("number", "section", "name"):
        if name in one and "half" not in one:
            return str(one[name]) + str(one.get("copy", ""))
    return json.dumps([one.get(name) for name in ("section", "half", "top_m", "bottom_m", "ordinal", "of", "number")])


def merged_items(base, one, other):
    before = {keyed(it): it for it in base}
    if len(before) != len(base) or len(one) < len(base) or len(other) < len(base):
        return None
    theirs = {keyed(it): it for it in other}
    ours = {keyed(it) for it in one}
    out = []
    for it in one:
        key = keyed(it)
        if key in theirs and key not in before:
            return None
        out.append(merged(before[key], it, theirs[key]) if key in before and key in theirs else it)
    out += [it for it in other if keyed(it) not in ours]
    return None if None in out or len(out) != len(one) + len(other) - len(base) else out


def merged(base, one, other):
    """One record with both changes, its version counted once. None: they change the same thing."""
    out = {}
    for key in [*one, *[key for key in other if key not in one]]:
        values = [it.get(key) for it in (base, one, other)]
        if values[1] == values[2] or values[2] == values[0]:
            out[key] = values[1]
        elif values[1] == values[0]:
            out[key] = values[2]
        elif isinstance(values[1], list):
            out[key] = merged_items(*values)
        else:
            return None
        if out[key] is None and values[0] is None:
            return None
        if out[key] is None:
            del out[key]
    return corrected(arranged(out)) if "format" in base or "version" in out else out


def both(scene, one, other):
    """The files of two changes together; None where they cannot be."""
    out = dict(one)
    for path, theirs in other.items():
        if path not in out or out[path] == theirs:
            out[path] = theirs
            continue
        ours = out[path]
        if not ours or not theirs or not path.endswith(".json") or path not in scene.listed.get(scene.base, {}):
            return None
        record = merged(scene.record(path), json.loads(ours[1]), json.loads(theirs[1]))
        if record is None:
            return None
        out[path] = (ours[0], written(record))
    return out
