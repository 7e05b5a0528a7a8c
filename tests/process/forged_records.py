# SPDX-License-Identifier: MIT
"""Commits that are wrong in what one kind of record has, each in its own way."""
import copy
import json
import re

import forged_changes as change
from forged_changes import CORE, CORRECTION, LABELS, SAMPLES, SIGNED, appended, both, counted, edited, item, items_of, plain, whole
from forged_said import REASON, Forgery, message, person, said
from forged_scene import A, B, R, SHIP, SHORE, acts, written



def signatures(scene):
    """Under a correction, and under an act."""
    for act in [act for act in scene.next if act.kind in ("correction sign", "sign")]:
        path = next(iter(act.changes))
        mine = json.loads(act.changes[path][1])

        def other(path=path, mine=mine, **values):
            record = copy.deepcopy(mine)
            items_of(record)[-1].update(values)
            return {path: ("100644", written(record))}

        def put(name, changes, text=act.message, act=act, **more):
            return Forgery("signature", f"{act.subject} | {name}", text, changes, **{"act": act, **more})

        yield put("of another", other(name="Chidi Okonjo", mail="chidi@example.org"))
        yield put("of another, told", other(name="Chidi Okonjo", mail="chidi@example.org"),
                  said(act, re.sub("by .*", "by Chidi Okonjo", act.subject)))
        yield put("another mail", other(mail="ida@shore.example"))
        yield put("another time", other(time="2026-03-05T00:00:00Z"))
        for who in (SHIP, "Chidi Okonjo"):
            yield Forgery("committed", f"{act.subject} | committed by {who}", act.message, act.changes, act=act, committer=person(who))
        yield put("by the recorder", other(name=SHIP, mail="mira@example.org"), said(act, re.sub("by .*", "by " + SHIP, act.subject)),
                  author=person(SHIP))
        twice = copy.deepcopy(mine)
        items_of(twice).append(dict(items_of(twice)[-1], name="Chidi Okonjo", mail="chidi@example.org"))
        yield put("two at once", {path: ("100644", written(twice))})
        yield put("with a core", {**act.changes, **edited(scene, CORE % (B, 1), whole(recovered_m=4))})
        if act.kind == "sign":
            for name, commit in (("of a join", scene.base), ("of the start", scene.done[acts.BASE[0]]), ("of none", change.OTHER)):
                yield put(name, {f"signed/{commit}.json": ("100644", written({**mine, "act": commit, "signatures": items_of(mine)[-1:]}))},
                          said(act, act.subject.replace(mine["act"][:10], commit[:10])))
            yield put("of another act", {f"signed/{scene.done['core', 'withdraw', f'{B}-7H', '--reason', 'never cored']}.json": act.changes[path]})
        else:
            yield put("of other contents", other(record=change.OTHER))
            yield put("of another correction", {SIGNED % (A, 4): act.changes[path]})
            yield put("with a change of what is signed", {**act.changes, **edited(scene, CORRECTION % (A, mine["number"]), whole(remark="agreed"))})
            yield put("of a withdrawn correction", {SIGNED % (B, 1): ("100644", written({**mine, "hole": B, "number": 1}))})


# Printed at a state that is not the one before: what is left when an act is set on top of others. verify doubts it, or not.
REBASED = ("state", "earlier state")


def labels(scene):
    for act in [act for act in scene.next if act.kind == "label print"]:
        for path, (mode, data) in act.changes.items():
            mine = json.loads(data)
            first = items_of(mine)[-1]
            for name, values in (("depth", {"top_m": first["top_m"] + 0.5, "bottom_m": first["bottom_m"] + 0.5}),
                                 ("bottom", {"bottom_m": first["bottom_m"] + 0.01}), ("state", {"state": change.OTHER}),
                                 ("copy", {"copy": 7}), ("printed", {"printed": "2026-03-01T00:00:00Z"}),
                                 ("layout", {"layout": "large"}), ("scale", {"scale": "DSF"}),
                                 ("earlier state", {"state": scene.sides[0]}), ("thing", {"name": first["name"][:-1] + "9"})):
                record = copy.deepcopy(mine)
                last = items_of(record)[-1]
                last.update(values)
                ordered = {key: last[key] for key in ("name", "copy", "printed", "state", "scale", "top_m", "bottom_m", "layout") if key in last}
                last.clear()
                last.update(ordered)
                yield Forgery("label", f"{act.subject} | {path.rpartition('/')[2]} {name}", act.message,
                              {**act.changes, path: (mode, written(record))}, act=act, honest=name in REBASED and "4 printed" not in act.subject)
            record = copy.deepcopy(mine)
            items_of(record).pop()
            if items_of(record) and len(act.changes) > 1:
                yield Forgery("label", f"{act.subject} | {path.rpartition('/')[2]} one less", act.message,
                              {**act.changes, path: (mode, written(record))}, act=act)


def renamings(scene):
    for act in [act for act in scene.next if "it is" in act.subject]:
        new = [path for path, data in act.changes.items() if data and "renamed" not in path]
        for path in new:
            old = path.replace("0006", "0005")
            before = scene.content(old if old in scene.listed[scene.base] else path)
            rest = {key: value for key, value in act.changes.items() if key not in (path, old)}
            if "cores/0006" in path:
                yield Forgery("renaming", f"{act.subject} | {path} left behind", act.message, rest, act=act)
                yield Forgery("renaming", f"{act.subject} | {path} lost", act.message, {**rest, old: None}, act=act)
                yield Forgery("renaming", f"{act.subject} | {path} copied", act.message, {**rest, path: act.changes[path]}, act=act)
            yield Forgery("renaming", f"{act.subject} | {path} as before", act.message, {**act.changes, path: ("100644", before)}, act=act)
            record = json.loads(act.changes[path][1])
            for key, value in (("top_m", 3050), ("recovered_m", 3), ("remark", "slid")):
                if path.endswith("6.json") or path.endswith("1.json"):
                    yield Forgery("renaming", f"{act.subject} | {path} {key}", act.message,
                                  {**act.changes, path: ("100644", written(change.arranged({**record, key: value})))}, act=act)
            for key, value in (("curated_m", 1.2), ("volume_cm3", 90), ("top_m", 0.3)):
                if key in items_of(record)[0]:
                    moved = copy.deepcopy(record)
                    items_of(moved)[0][key] = value
                    yield Forgery("renaming", f"{act.subject} | {path} item {key}", act.message, {**act.changes, path: ("100644", written(moved))},
                                  act=act)
        unlisted = {path: data for path, data in act.changes.items() if "renamed" not in path}
        yield Forgery("renaming", f"{act.subject} | not in the list", act.message, unlisted, act=act)


def settlings(scene):
    opened = [path for path in scene.files(scene.base) if "/open/" in path]
    for act in [act for act in scene.next if act.kind == "settle"]:
        def put(name, changes, text=act.message, act=act):
            return Forgery("settle", f"{act.subject} | {name}", text, changes, act=act)

        other = next(path for path in opened if path not in act.changes)
        own = next(path for path in opened if path in act.changes)
        yield put("both gone", {**act.changes, other: None})
        yield put("the other gone", {**{path: data for path, data in act.changes.items() if path != own}, other: None})
        yield put("nothing gone", {path: data for path, data in act.changes.items() if path != own})
        yield put("another value is told", act.changes, said(act, re.sub(r"(curated|volume|number) \S+", r"\1 9", act.subject)))
        yield put("another section", {**act.changes, **edited(scene, CORE % (A, 1), item(0, curated_m=1.4))})
        yield put("another field", {**act.changes, **edited(scene, SAMPLES % (A, 3), item(0, volume_cm3=9, requester="Varga"))})
        yield put("as an amendment", {own: None}, said(act, act.subject.replace("settled", "amended"), kind="section amend"))


def followers(scene):
    """A sub-sample goes where its sample goes, and nowhere else."""
    path = SAMPLES % (A, 2)
    for act in [act for act in scene.next if act.kind == "sample amend" and path in act.changes]:
        record = json.loads(act.changes[path][1])
        at = next(n for n, one in enumerate(items_of(record)) if "of" in one)
        for values in ({"top_m": 0.2, "bottom_m": 0.21}, {"section": "4"}, {"half": "A"}, {"of": "3W,45-47#2"}, {"number": 4}, {"was": "3W,45-47/2"},
                       {"volume_cm3": 3}, {"withdrawn": REASON}):
            forged = copy.deepcopy(record)
            one = items_of(forged)[at]
            one.update(values)
            ordered = change.arranged(one)
            one.clear()
            one.update(ordered)
            yield Forgery("follower", f"{act.subject} | {values}", act.message, {path: ("100644", written(forged))}, act=act)


def undecided(scene):
    """An open field goes with an act that changes its file, and not it."""
    for path in [path for path in scene.files(scene.base) if "/open/" in path]:
        it = scene.record(path)
        for act in scene.next:
            if it["path"] in act.changes and act.changes[it["path"]] and path not in act.changes:
                yield Forgery("undecided", f"{act.subject} | {it['item']} {it['field']}", act.message, {**act.changes, path: None}, act=act)


def bulk(scene):
    """What is read from a file: its rows are counted, and nothing else changes."""
    for act in [act for act in scene.next if act.kind in ("import", "log add", "log withdraw")]:
        def put(name, changes, act=act, **more):
            return Forgery("bulk", f"{act.subject} | {name}", act.message, {**act.changes, **changes}, act=act, **more)

        for path, data in act.changes.items():
            short = path.rpartition("/")[2]
            if path.endswith(".log"):
                yield put(f"{short} as before", {path: ("100644", scene.content(path)) if path in scene.listed[scene.base] else None})
                other = path.replace("2026-03-02", "2026-03-01").replace("2026-03-03", "2026-03-01")
                yield put("another day gone", {other: None})
                yield put("another day changed", {other: ("100644", change.log_row(scene.content(other).decode(), 60, "changed").encode())})
                if data:
                    day = data[1].decode()
                    count = int(re.search("rows (\\d+)", day)[1])
                    for how, at in (("removed", count), ("added", count + 1), ("removed", 1), ("changed", count - 2)):
                        is_new = path not in scene.listed[scene.base] and how == "changed"  # the file may have had it
                        yield put(f"a row {how} at {at}", {path: ("100644", change.log_row(day, at, how).encode())}, honest=is_new)
                continue
            record = json.loads(data[1])
            if path in scene.listed[scene.base]:
                yield put(f"{short} as before", {path: ("100644", scene.content(path))})
            if act.subject.startswith("Import of cores"):
                yield put(f"{short} gone", {path: None})
                for values in ({"withdrawn": REASON}, {"withdrawn": REASON, "version": 2}, {"was": "9H"}, {"version": 4}):
                    forged = change.arranged({**record, **values})
                    yield put(f"{short} {' '.join(values)}", {path: ("100644", written(forged))})
                continue
            for name, how in (("one withdrawn", item(0, withdrawn=REASON)), ("one amended", item(0, remark="late")), ("one less", lambda record: items_of(record).pop())):
                forged = copy.deepcopy(record)
                how(forged)
                yield put(f"{short} {name}", {path: ("100644", written(forged))})


def additions(scene):
    """What is new is never new in this way."""
    for act in [act for act in scene.next if act.kind.endswith(" add") and act.kind not in ("log add",)]:
        for path, data in act.changes.items():
            if not data or not path.endswith(".json"):
                continue
            record = json.loads(data[1])
            is_file = act.kind in ("core add", "hole add", "correction add")
            new = record if is_file else items_of(record)[-1]
            for name, values in (("with versions", {"version": 3}), ("withdrawn", {"withdrawn": REASON, "version": 2}),
                                 ("born withdrawn", {"withdrawn": REASON}), ("with a former name", {"was": "9@" + "a" * 40}),
                                 ("with a doubt", {"doubt": "sample-overlap"})):
                forged = copy.deepcopy(record)
                target = forged if is_file else items_of(forged)[-1]
                target.update(values)
                ordered = change.corrected(change.arranged(target))
                target.clear()
                target.update(ordered)
                yield Forgery("addition", f"{act.subject} | {name}", act.message, {**act.changes, path: (data[0], written(forged))}, act=act)
            if "number" in new:
                forged = copy.deepcopy(record)
                (forged if is_file else items_of(forged)[-1])["number"] = 44
                to = re.sub(r"\d{4}\.json", "0044.json", path) if is_file and act.kind != "hole add" else path
                rest = {key: value for key, value in act.changes.items() if key != path}
                yield Forgery("addition", f"{act.subject} | as number 44", act.message, {**rest, to: (data[0], written(forged))}, act=act)


def corrections(scene):
    for act in [act for act in scene.next if act.kind == "correction add"]:
        path = next(path for path in act.changes if "corrections" in path)
        record = json.loads(act.changes[path][1])
        signed = {"format": 1, "kind": "signatures", "hole": record["hole"], "number": record["number"],
                  "signatures": [{"name": SHORE, "mail": "ida@example.org", "time": "2026-03-06T00:10:00Z", "record": change.OTHER}]}

        def put(name, changes, act=act):
            return Forgery("correction", f"{act.subject} | {name}", act.message, changes, act=act)

        yield put("signed at once", {**act.changes, path.replace(".json", ".signed.json"): ("100644", written(signed))})
        for name, values in (("evidence that is not there", {"evidence_file": change.OTHER, "evidence_name": "sheet.txt"}),
                             ("in place of none", {"supersedes": "77"}), ("in place of another", {"supersedes": "4"}),
                             ("another amount", {"amount_m": 7}), ("another range", {"top_m": 3030}), ("another reason", {"reason": "asked"})):
            if name in ("another amount", "another range") and record["what"] not in ("tally", "shift"):
                continue
            forged = {**record, **values}
            order = [key for key in record if key not in values] if "supersedes" in values else list(record)
            del order
            yield put(name, {**act.changes, path: ("100644", written(change.corrected(forged)))})
        for name, changes in (("ends another", edited(scene, CORRECTION % (A, 3), whole(withdrawn=REASON))),
                              ("changes another", edited(scene, CORRECTION % (A, 3), plain(amount_m=3)))):
            yield put(name, {**act.changes, **changes})


def amendments(scene):
    """One command changes one record, and some fields never."""
    def put(name, subject, kind, path, how, honest=False):
        return Forgery("amendment", name, message(subject, kind), edited(scene, path, how), honest=honest)

    core = "Core 903-U0030A-3H amended: %s m below rig floor, recovered 9.430 m (%s %%), 8 sections"
    yield put("a core's top", core % ("3040.900-3049.900", "104.8"), "core amend", CORE % (A, 3), whole(top_m=3040.9), honest=True)
    yield put("a core's top, told as before", core % ("3040.400-3049.900", "99.3"), "core amend", CORE % (A, 3), whole(top_m=3040.9))
    yield put("a core's remark", core % ("3040.400-3049.900", "99.3"), "core amend", CORE % (A, 3), whole(remark="seen late"), honest=True)

    def top_and_section(record):
        counted(record, remark="seen late")
        items_of(record)[0].update(curated_m=1.4)
        counted(items_of(record)[0])

    yield put("a core and its section", core % ("3040.400-3049.900", "99.3"), "core amend", CORE % (A, 3), top_and_section)
    section = "Section 903-U0030A-3H-%d amended: curated %s m"
    yield put("a section", section % (1, "1.400"), "section amend", CORE % (A, 3), item(0, curated_m=1.4), honest=True)

    def two_sections(record):
        counted(items_of(record)[0], curated_m=1.4)
        counted(items_of(record)[1], curated_m=1.4)

    yield put("two sections", section % (1, "1.400"), "section amend", CORE % (A, 3), two_sections)
    yield put("another section", section % (2, "1.500"), "section amend", CORE % (A, 3), item(0, curated_m=1.4))
    yield put("a section that is told as shorter", section % (1, "1.300"), "section amend", CORE % (A, 3), item(0, curated_m=1.4))
    sample = "Sample 903-U0030A-5X-%s cm amended"
    yield put("a sample", sample % "2W, 10-12", "sample amend", SAMPLES % (A, 5), item(0, volume_cm3=9), honest=True)
    yield put("a sample moved", sample % "2W, 20-22", "sample amend", SAMPLES % (A, 5), item(0, top_m=0.2, bottom_m=0.22, was="2W,10-12"), honest=True)
    yield put("a sample moved, its name kept silent", sample % "2W, 20-22", "sample amend", SAMPLES % (A, 5), item(0, top_m=0.2, bottom_m=0.22))
    yield put("a sample moved, told as before", sample % "2W, 10-12", "sample amend", SAMPLES % (A, 5), item(0, top_m=0.2, bottom_m=0.22, was="2W,10-12"))
    yield put("a sample of another former name", sample % "2W, 10-12", "sample amend", SAMPLES % (A, 5), item(0, was="2W,50-52"))
    yield put("a sample withdrawn as an amendment", sample % "2W, 10-12", "sample amend", SAMPLES % (A, 5), item(0, withdrawn=REASON))
    yield put("the number of a sub-sample", "Sample 903-U0030A-2H-3W, 45-47 cm/2 amended", "sample amend", SAMPLES % (A, 2), item(2, number=2))
    pump = "Pump 1 of hole U0031A amended: triplex, %s l a stroke into the string, from 2026-03-01T00:00:00Z"
    yield put("a pump", pump % "16.513", "pump amend", f"holes/{R}/pumps.json", item(0, efficiency_pct=99), honest=True)
    yield put("a pump's name", (pump % "16.180").replace("Pump 1", "Pump 7"), "pump amend", f"holes/{R}/pumps.json", item(0, name="7"))
    yield put("a drilled interval's number", "Hole U0030A drilled without coring amended: 3080.000-3090.000 m below rig floor", "drilled amend",
              f"holes/{A}/drilled.json", item(1, number=3))
    yield put("the number of the expedition", "Expedition 904 amended", "expedition amend", "expedition.json", whole(number="904"))
    yield put("the expedition, with a hole", "Expedition 903 amended", "expedition amend", "expedition.json", whole(hole=A))
    bag = "Cuttings 903-U0031A-BAG2 amended: 2026-03-01T15:00:00Z to 2026-03-01T15:%s:00Z"
    yield put("a bag", bag % "20", "bag amend", change.BAGS, item(1, to="2026-03-01T15:20:00Z"), honest=True)
    yield put("a bag, told as before", bag % "10", "bag amend", change.BAGS, item(1, to="2026-03-01T15:20:00Z"))

    def two_bags(record):
        counted(items_of(record)[1], to="2026-03-01T15:20:00Z")
        counted(items_of(record)[0], lithology="sand")

    yield put("two bags", bag % "20", "bag amend", change.BAGS, two_bags)
    seafloor = "Hole U0030A amended: seafloor 3020.900 m below rig floor (tagged), returns to seafloor"
    yield put("the seafloor", seafloor, "hole amend", f"holes/{A}/hole.json", whole(seafloor_m=3020.9), honest=True)
    yield put("the seafloor, as a correction", "Correction 9 of hole U0030A, seafloor: 3020.900 m (camera), the whole hole", "correction add",
              f"holes/{A}/hole.json", whole(seafloor_m=3020.9))
    tally = "Correction 1 of hole U0030A withdrawn, tally: +1.000 m"
    yield put("a signed tally withdrawn", tally, "correction withdraw", CORRECTION % (A, 1), whole(withdrawn=REASON), honest=True)
    yield put("a signed tally withdrawn as labels", "Labels: 1 printed as small", "label print", CORRECTION % (A, 1), whole(withdrawn=REASON))
    yield put("a correction brought back", "Correction 1 of hole U0030B amended, shift: +0.200 m", "correction add", CORRECTION % (B, 1), whole(withdrawn=None))
    yield put("a withdrawal whose reason changes", tally.replace("1 of hole U0030A", "1 of hole U0030B"), "correction withdraw", CORRECTION % (B, 1),
              whole(withdrawn=REASON))
    yield put("a withdrawn core amended", "Core 903-U0030B-7H withdrawn: 3100.000-3109.500 m below rig floor, recovered 7.000 m (73.7 %), 2 sections",
              "core withdraw", CORE % (B, 7), whole(recovered_m=7))
    yield put("a label more than is told", "Labels: 1 printed as small, U0030A-5X", "label print", LABELS % (A, 5),
              appended(name="903-U0030A-5X", copy=3, printed="2026-03-04T00:06:00Z", state=scene.base, scale="CSF-A", top_m=38.906, bottom_m=46.406, layout="small"))


def starts(scene):
    first = next(act for act in scene.history() if act.kind == "start")
    for name, path, how in change.EDITS[::6]:
        yield Forgery("start", f"on top: {name}", first.message, edited(scene, path, how))
    yield Forgery("start", "the expedition begun anew", first.message, first.changes)
    every = {path: None for path in scene.files(scene.base)}
    yield Forgery("start", "everything else gone", first.message, {**every, **first.changes})


def joins(scene):
    """What follows from its two parents, and something else."""
    joined = scene.registry.commit(scene.base)
    changes = {path: data for path, data in tree_step(scene, joined.parents[0], scene.base).items()}
    author = joined.author + ">"

    def put(name, more, text=joined.message, parents=tuple(joined.parents), **options):
        return Forgery("join", name, text, more, parents=parents, **{"author": author, "when": joined.time, **options})

    yield put("as it is", changes, honest=True)
    yield put("one side alone", {})
    for name, path, how in change.EDITS[1::4]:
        yield put("and " + name, {**changes, **edited(scene, path, how)})
    for act in scene.next[::9]:
        together_ = both(scene, {path: data for path, data in changes.items() if data}, act.changes)
        if together_:
            yield put("and " + act.subject, together_)
        yield put("told as " + act.subject, act.changes, act.message, act=act)
        yield put("of one parent: " + act.subject, act.changes, joined.message, (scene.base,))


def tree_step(scene, before, after):
    old, new = scene.files(before), scene.files(after)
    return {path: ("100644", scene.bytes(new[path])) if path in new else None for path in sorted(set(old) | set(new)) if old.get(path) != new.get(path)}
