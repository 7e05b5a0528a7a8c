# SPDX-License-Identifier: MIT
"""Commits whose message says one thing and whose change is another: each a Forgery, with whether an honest act could have made
exactly that."""
import re

import forged_changes as change
from forged_changes import CORE, both, counted, whole
from forged_scene import A, SHIP, UNTIL, written

DAY = 86400
REASON = "sheet 4"


def person(who):
    return "%s <%s@example.org>" % (who, who.split()[0].lower())


class Forgery:
    def __init__(self, family, name, message, changes, **more):
        self.family, self.name, self.message, self.changes = family, name, message, changes
        act = more.get("act")  # whose author and time it has, where it is not told
        self.author, self.honest = more.get("author", act.author if act else person(SHIP)), more.get("honest", False)
        self.when, self.parents = more.get("when", act.time if act else None), more.get("parents")
        self.on = more.get("on")  # the forgery that it stands on
        self.committer, self.committed = more.get("committer", self.author), more.get("committed", self.when)

    def __str__(self):
        return f"{self.family}: {self.name}"


def said(act, subject=None, kind=None, reason=None, **trailers):
    """The message of an act, in part another one; reason "": none."""
    own = dict(act.trailers)
    own.update(trailers)
    if kind is not None:
        own["Act"] = kind
    if reason is not None:
        own["Reason"] = reason
    lines = "".join(f"{name}: {own[name]}\n" for name in ("Act", "Station", "Reason") if own.get(name))
    return f"{act.subject if subject is None else subject}\n\n{lines}"


def message(subject, kind, reason=REASON):
    return f"{subject}\n\nAct: {kind}\nStation: core table\n" + (f"Reason: {reason}\n" if reason else "")


def thing(act):
    return tuple(word for word in act.words[1:4] if not word.startswith("--"))


def could_be(one, other):
    """Could the act that is told as one have changed what the other did?"""
    same_rows = one.kind == "import" and re.sub("from [^:]*", "", one.subject) == re.sub("from [^:]*", "", other.subject)
    return one.kind == other.kind and (one.subject == other.subject or same_rows)


def by_kind(scene):
    kinds = {}
    for act in [*scene.next, *[act for act in scene.history() if act.kind == "start"]]:
        kinds.setdefault(act.kind, []).append(act)
    return kinds


# --- every kind of act x every kind of record ---

def crossed(scene, is_whole):
    """Of every kind an act is told; what is changed instead, or besides, is each kind of change: all of a kind of record, or one."""
    kinds = by_kind(scene)
    others = [*[(act.kind + " " + act.words[-1 if act.kind == "sign" else 3], act.changes, act) for act in scene.next],
              *[(one.name, one.changes, None) for one in change.all_changes(scene)]]
    of_record = {}
    for column, other in enumerate(others):
        of_record.setdefault(other[0].split()[0], []).append((column, *other))
    for row, (kind, acts) in enumerate(sorted(kinds.items())):
        for column, name, changes, other in [one for some in of_record.values() for one in (some if is_whole else [some[row % len(some)]])]:
            act = acts[(row + column) % len(acts)]
            if other is act:
                continue
            is_hidden = (row + column // 2) % 2 == 0 and kind != "start"
            is_same = bool(other) and act.kind == other.kind and thing(act) == thing(other)
            if kind == name.split()[0] + " amend" and set(changes) <= set(act.changes):
                continue  # one of its fields, or another one, and the line may be the same
            besides = both(scene, act.changes, changes) if is_hidden and not is_same else None
            if besides is not None and besides != act.changes:
                yield Forgery("hidden", f"{act.subject} | {name}", act.message, besides, act=act)
            elif changes != act.changes:
                yield Forgery("replaced", f"{act.subject} | {name}", act.message, changes, act=act,
                              honest=bool(other) and could_be(act, other))


def together(scene):
    """Two acts of one kind in one commit."""
    for acts in by_kind(scene).values():
        for one in acts:
            for other in acts:
                if one is other or thing(one) == thing(other):
                    continue
                changes = both(scene, one.changes, other.changes)
                if changes is not None:
                    yield Forgery("two in one", f"{one.subject} | {other.subject}", one.message, changes, act=one)


# --- what is said ---

def empty(scene):
    for act in [*scene.next, *scene.history()[::4]]:
        yield Forgery("empty", act.subject, act.message, {}, act=act)


def bumped(text, which):
    """With the last digit of one of its numbers another one."""
    numbers = list(re.finditer(r"\d+(?:\.\d+)?", text))
    if not numbers:
        return None
    at = numbers[which % len(numbers)].end() - 1
    return text[:at] + str((int(text[at]) + 1) % 10) + text[at + 1:]


def mistold(scene):
    for act in scene.next:
        subjects = {bumped(act.subject, which) for which in range(len(re.findall(r"\d+(?:\.\d+)?", act.subject)))}
        words = [(" amended", " withdrawn"), (" withdrawn", " amended"), (" amended", ""), ("Hole ", "Core "), ("Sample ", "Section "),
                 ("added", "withdrawn"), ("small", "large"), ("tally", "shift"), ("(tagged)", "(camera)"), ("clay", "sand"),
                 ("isotopes", "fossils"), ("signed by", "withdrawn by")]
        subjects |= {act.subject.replace(*pair) for pair in words}
        for subject in sorted(one for one in subjects if one and one != act.subject):
            yield Forgery("mistold", f"{act.subject} | told as: {subject}", said(act, subject), act.changes, act=act)
        yield Forgery("mistold", f"{act.subject} | told as: nothing", said(act, "Done"), act.changes, act=act)


def renamed_kinds(scene):
    kinds = sorted(by_kind(scene))
    for at, act in enumerate(scene.next):
        near = [kind for kind in kinds if kind != act.kind and kind.split()[0] == act.kind.split()[0]]
        for kind in [*near, kinds[(at * 5) % len(kinds)], "import", "label print"]:
            if kind != act.kind:
                yield Forgery("another kind", f"{act.subject} | as {kind}", said(act, kind=kind), act.changes, act=act)
        if at % 8 == 0:
            for name in ("Act", "Station"):
                yield Forgery("another kind", f"{act.subject} | without {name}", said(act, **{name: ""}), act.changes, act=act)
            yield Forgery("another kind", f"{act.subject} | as core mend", said(act, kind="core mend"), act.changes, act=act)


def reasons(scene):
    for act in scene.next:
        reason = act.trailers.get("Reason", "")
        if reason and not reason.startswith("kept"):
            yield Forgery("no reason", act.subject, said(act, reason=""), act.changes, act=act)
            yield Forgery("no reason", act.subject + " | blank", said(act, reason=" "), act.changes, act=act)
        is_stored = act.kind == "correction add" or act.kind.endswith("withdraw") and act.kind != "log withdraw"
        yield Forgery("another reason", act.subject, said(act, reason="as agreed" + ("; " + reason if "kept" in reason else "")),
                      act.changes, act=act, honest=not is_stored)


def kept(scene):
    """What was kept against a doubt, and does not say so."""
    for act in scene.next:
        reason = act.trailers.get("Reason", "")
        if "kept against doubt" in reason:
            yield Forgery("kept silently", act.subject, said(act, reason=reason.split("kept")[0].rstrip("; ")), act.changes, act=act)


def doubted(scene):
    """A date that is only told of hushes nothing."""
    for act in scene.next[2::5]:
        for name, when in (("three days back", act.time - 3 * DAY), ("two days ahead", UNTIL + 2 * DAY)):
            yield Forgery("beside a doubt", f"{act.subject} | {name}, mistold", said(act, bumped(act.subject, -1)), act.changes, act=act, when=when)
            more = both(scene, act.changes, change.edited(scene, CORE % (A, 4), whole(recovered_m=2)))
            if more:
                yield Forgery("beside a doubt", f"{act.subject} | {name}, and a core", act.message, more, act=act, when=when)


def lengthened(scene):
    """More is said than an act says; what git adds where an act is set on top of others is no lie."""
    for act in scene.next[3::9]:
        line, _, trailers = act.message.partition("\n\n")
        for name, text, is_gits in (("another kind above", f"{line}\n\nAct: label print\n{trailers}", False),
                                    ("another kind below", f"{line}\n\n{trailers}Act: label print\n", False),
                                    ("another reason below", f"{line}\n\n{trailers}Reason: as agreed with the co-chiefs\n", False),
                                    ("two lines", f"{line}\nand nothing else\n\n{trailers}", False),
                                    ("signed off", f"{line}\n\n{trailers}Signed-off-by: {SHIP} <mira@example.org>\n", True),
                                    ("picked", f"{line}\n\n{trailers}(cherry picked from commit {act.id})\n", True)):
            yield Forgery("lengthened", f"{act.subject} | {name}", text, act.changes, act=act, honest=is_gits)


def buried(scene):
    """Under an honest act that is the newest one."""
    last = scene.next[0]
    for act in scene.next[4::11]:
        besides = both(scene, act.changes, change.edited(scene, CORE % (A, 4), whole(recovered_m=2)))
        if besides:
            below = Forgery("buried", f"{act.subject} | and a core", act.message, besides, act=act)
            yield below
            yield Forgery("buried", f"{act.subject} | and a core, and then another act", last.message, last.changes, act=last, on=below)


def dates(scene):
    for act in scene.next[::4]:
        for name, when, committed in (("a year ahead", UNTIL + 365 * DAY, None), ("a year back", act.time - 365 * DAY, None),
                                      ("committed a year ahead", act.time, UNTIL + 365 * DAY),
                                      ("written a year ahead", UNTIL + 365 * DAY, act.time), ("in 1971", 40000000, None),
                                      ("a month back", act.time - 30 * DAY, None)):
            yield Forgery("dates", f"{act.subject} | {name}", act.message, act.changes, act=act, when=when,
                          committed=committed or when)


def history(scene):
    """An earlier act, made again with something besides: what came later is not there."""
    for act in scene.history():
        for name, path, how in (("the seafloor", f"holes/{A}/hole.json", dict(seafloor_m=3020.5)), ("the title", "expedition.json", dict(title="Fans")),
                                ("the first core", CORE % (A, 1), dict(top_m=3021.6))):
            if not act.parents or path in act.changes or path not in scene.files(act.parents[0]):
                continue
            record = scene.record(path, act.parents[0])
            counted(record, **how)
            yield Forgery("earlier", f"{act.subject} | {name}", act.message, {**act.changes, path: ("100644", written(record))}, act=act,
                          parents=act.parents)


def reproduced(scene):
    """What must pass."""
    for act in scene.next:
        yield Forgery("honest", act.subject, act.message, act.changes, act=act, honest=True)
        yield Forgery("honest", act.subject + " | set on top of it later by another", act.message, act.changes, act=act, honest=True,
                      committer=act.author if act.kind.endswith("sign") else person("Chidi Okonjo"), committed=act.time + 3600)
    for act in scene.history():
        if act.parents:
            yield Forgery("honest", act.subject, act.message, act.changes, act=act, honest=True, parents=act.parents)
