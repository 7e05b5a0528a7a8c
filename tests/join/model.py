# SPDX-License-Identifier: MIT
"""What a join must be, worked out a second time: from the JSON of the two sides and of their last common state, by tags and
not by numbers, so that it shares neither code nor way with src/join.

A thing is known by (kind, hole, tag): the tag that acts.py typed into it, of sections their core's and their number. Fields
are those of its JSON.
"""
import re

SETS = {"drilled": ("intervals", "drilled"), "pumps": ("pumps", "pump"), "well": ("states", "state"), "lag-checks": ("checks", "check"),
        "bags": ("bags", "bag"), "samples": ("samples", "sample")}
HEAD = ("format", "kind", "hole", "hundred")
KEY = ("section", "half", "top_m", "bottom_m")
NAMES = {"sample": KEY + ("ordinal", "of", "number"), "core": ("number", "type"), "correction": ("number", "supersedes")}
SUFFIX = re.compile(r"_(m|cm3|g|pct|m3|s|kN|mm2|kg_m|GPa|kg_m3|um_m_K|K|mPa_s|deg)$")
UNTOLD = ("version", "was", "doubt")


def field_name(key):
    return SUFFIX.sub("", key)


def centimetres(metres):
    return "%g" % round(metres * 100, 4)


def sample_key(sample):
    """The name of a sample in its core."""
    if "of" in sample:
        return f"{sample['of']}/{sample['number']}"
    ordinal = f"#{sample['ordinal']}" if "ordinal" in sample else ""
    return "%s%s,%s-%s%s" % (sample["section"], sample.get("half", ""), centimetres(sample["top_m"]), centimetres(sample["bottom_m"]),
                             ordinal)


def own_fields(record, *without):
    return {key: value for key, value in record.items() if key not in HEAD and key not in without}


def rows_of(blob):
    """A day of the pump log as a set: each row with the head of its block."""
    head, rows, left, found = [], None, 0, set()
    for line in blob.decode().split("\0", 1)[1].splitlines():
        words = line.split()
        if left:
            steps = [0 if word == "-" else int(word) for word in words] + [0] * (width - len(words))
            step = 0 if rows is None else step + steps[0]
            rows = steps if rows is None else [rows[0] + step, *(cell + by for cell, by in zip(rows[1:], steps[1:]))]
            found.add((tuple(head), tuple(rows)))
            left -= 1
        elif words[0] == "columns":
            head, rows, step, width = [line], None, 0, len(words)
        elif words[0] == "rows":
            left = int(words[1])
        elif head:
            head.append(line)
    return frozenset(found)


class State:
    """A registry at one commit."""

    def __init__(self, registry, commit):
        self.commit, self.registry = commit, registry
        self.time = registry.commit(commit).time
        self.things = {}    # (kind, hole, tag): fields
        self.places = {}    # (kind, hole, tag): (path, item)
        self.twice = set()  # tags of more than one thing
        self.labels, self.signatures, self.evidence, self.open, self.days = set(), set(), set(), {}, {}
        self.files = registry.files(commit)
        read = {path: registry.read(name) for path, name in self.files.items() if not path.endswith(".log")}
        self.cores = {path[:-5]: record.get("order_note", path) for path, record in read.items() if self.is_core(path)}
        self.tags = {path[:-5]: record.get("remark", path) for path, record in read.items() if re.search(r"corrections/\d+\.json$", path)}
        for path, name in self.files.items():
            self.take(path, read.get(path), name)

    @staticmethod
    def is_core(path):
        return re.search(r"/cores/\d+\.json$", path) is not None

    def add(self, thing, fields, path, item):
        if thing in self.things:
            self.twice.add(thing)
        self.things[thing] = fields
        self.places[thing] = (path, item)

    def take(self, path, record, name):
        parts = path.split("/")
        hole = parts[1] if len(parts) > 1 else None
        if parts[0] == "evidence":
            self.evidence.add(path)
        elif path.endswith(".log"):
            self.days[(hole, parts[-1])] = name, rows_of(self.registry.find(name))
        elif "open" in parts[:-1]:
            self.open[path] = record
        elif record["kind"] == "labels":
            self.labels |= {repr(sorted(label.items())) for label in record["labels"]}
        elif record["kind"] == "signatures":
            tag = self.tags.get(path.replace(".signed.json", ""), path)
            self.signatures |= {(hole, tag, one["name"], one["time"], one.get("remark")) for one in record["signatures"]}
        else:
            self.take_record(path, hole, record)

    def take_record(self, path, hole, record):
        kind = record["kind"]
        if kind in ("expedition", "hole"):
            self.add((kind, hole, ""), own_fields(record), path, None)
        elif kind == "core":
            tag = self.cores[path[:-5]]
            self.add((kind, hole, tag), own_fields(record, "sections"), path, None)
            for section in record.get("sections", ()):
                self.add(("section", hole, (tag, section["section"])), own_fields(section, "section"), path, section["section"])
        elif kind == "correction":
            fields = own_fields(record)
            fields["in place of"] = sorted(self.tags.get(f"holes/{hole}/corrections/{int(number):04}", number)
                                           for number in record.get("supersedes", "").split())
            self.add((kind, hole, self.tags[path[:-5]]), fields, path, None)
        elif kind in SETS:
            self.take_set(path, hole, record)

    def take_set(self, path, hole, record):
        items, kind = SETS[record["kind"]]
        by_key = {sample_key(item): item.get("remark") for item in record.get(items, ())} if kind == "sample" else {}
        for item in record.get(items, ()):
            fields = own_fields(item)
            name = str(item.get("number"))
            if kind == "sample":
                name = sample_key(item)
                fields["in core"] = self.cores.get(path.replace(".samples.json", ""), path)
                if "of" in item:
                    fields["parent"] = by_key.get(item["of"], item["of"])
            tag = item.get("remark", f"{path} {name}")
            self.add((record.get("what", kind), hole, tag), fields, path, name)


class Side:
    """The acts of one tip that another one does not have, oldest first, and the states around them."""

    def __init__(self, states, registry, tip, without):
        self.tip = states(tip)
        alone = registry.behind(tip) - registry.behind(without)
        acts = [name for name in alone if len(registry.commit(name).parents) == 1]
        self.acts = sorted(((states(registry.commit(name).parents[0]), states(name)) for name in acts),
                           key=lambda pair: len(registry.behind(pair[1].commit)))
        self.is_line = len(acts) == len(alone)

    def set_by(self, thing, value_of):
        """The acts that may have given a thing what it has: the last one where acts stand in one line."""
        wanted = value_of(self.tip.things[thing])
        found = [after for before, after in self.acts if thing in after.things and value_of(after.things[thing]) == wanted and
                 (thing not in before.things or value_of(before.things[thing]) != wanted)]
        return found[-1:] if self.is_line else found

    def claimed(self, thing):
        """The number that people gave a core which is new here, whatever a join made of it."""
        number = self.tip.things[thing]["number"]
        for before, after in self.acts:
            if thing in after.things and before.things.get(thing, {}).get("number") != after.things[thing]["number"]:
                number = after.things[thing]["number"]
        return number

    def recorded(self, thing):
        return [after for before, after in self.acts if thing in after.things and thing not in before.things]


def is_later(one, other):
    return (one.time, one.commit) > (other.time, other.commit)


class Expectation:
    """Base and two sides; what is wrong with a joined state."""

    def __init__(self, states, registry, base, tips):
        self.base = states(base)
        self.sides = [Side(states, registry, tips[0], tips[1]), Side(states, registry, tips[1], tips[0])]
        self.wrong = []
        self.open = {}       # (path, item, field): (commits that may claim it, the first one first)
        self.ranges = set()  # corrections that a core came into, or went out of
        self.forced = set()  # fields of a thing that are open although one side alone changed them

    def say(self, *words):
        self.wrong.append(" ".join(str(word) for word in words))

    def check(self, joined):
        self.joined = joined
        self.names = self.same_cores()
        tips = [side.tip for side in self.sides]
        things = [self.named(tip) for tip in tips]
        found = self.named(joined)
        for thing in sorted(set(things[0]) | set(things[1]) | set(found), key=str):
            self.check_thing(thing, things, found)
        for name in ("labels", "signatures", "evidence"):
            of_sides = getattr(tips[0], name) | getattr(tips[1], name)
            if getattr(joined, name) != of_sides:
                self.say(name, "differ:", getattr(joined, name) ^ of_sides)
        self.check_days(tips)
        self.check_names()
        self.check_ranges(tips)
        self.check_open(tips)
        return self.wrong

    # --- one thing under two tags: a core that both sides recorded under one number ---

    def same_cores(self):
        """{tag: the tag that stands for it}."""
        names = {}
        new = [{(thing[1], side.claimed(thing)): thing[2] for thing in side.tip.things
                if thing[0] == "core" and thing not in self.base.things} for side in self.sides]
        for place in set(new[0]) & set(new[1]):
            names[new[1][place]] = new[0][place]
        return names

    def same(self, tag):
        return self.names.get(tag, tag) if isinstance(tag, str) else (self.names.get(tag[0], tag[0]), tag[1])

    def named(self, state):
        """{thing, by the tag that stands for it: as the state has it}."""
        return {(kind, hole, self.same(tag)): (kind, hole, tag) for kind, hole, tag in state.things}

    def fields(self, state, thing):
        fields = dict(state.things[thing])
        if "in core" in fields:
            fields["in core"] = self.same(fields["in core"])
        return fields

    # --- field by field ---

    def check_thing(self, thing, things, found):
        tips = [side.tip for side in self.sides]
        if any(thing in state.twice for state in (*tips, self.base)):
            return
        if thing not in found:
            self.say(thing, "is gone")
            return
        there = [things[at].get(thing) for at in (0, 1)]
        if not any(there):
            self.say(thing, "is in neither of the two")
            return
        if not all(there):
            at = 0 if there[0] else 1
            self.compare_alone(thing, self.fields(tips[at], there[at]), self.fields(self.joined, found[thing]))
            return
        base = self.common(thing, there)
        if base is None:
            return
        self.compare(thing, there, base, self.fields(self.joined, found[thing]), self.joined.places[found[thing]])

    def common(self, thing, there):
        """What both began with; of what both recorded, what they recorded it as; None: these are two things."""
        if thing in self.base.things:
            return self.fields(self.base, thing)
        if thing[0] in ("core", "section", "hole"):
            return {}
        created = [[after.things[there[at]] for after in self.sides[at].recorded(there[at])][:1] for at in (0, 1)]
        plain = [{key: value for key, value in one[0].items() if key not in UNTOLD} if one else None for one in created]
        if not all(created):
            self.say(thing, "was recorded by no act of one of the two")
            return None
        if plain[0] == plain[1]:
            return created[0][0]
        if thing not in self.joined.twice:
            self.say(thing, "was recorded by both, and not as the same: there must be two of it")
        return None

    def untold(self, thing):
        return UNTOLD + NAMES.get(thing[0], ("number",))

    @staticmethod
    def without_cores(value):
        """A correction of one side follows the cores that it names where the other side renamed them."""
        if isinstance(value, list):
            return sorted((str({key: item for key, item in row.items() if key != "core"}) for row in value))
        return value is not None

    def compare_alone(self, thing, fields, joined):
        untold = self.untold(thing)
        if thing[0] == "correction":
            followed = ("core", "offsets", "intervals")
            untold = (*untold, *followed)
            for key in followed:
                if self.without_cores(fields.get(key)) != self.without_cores(joined.get(key)):
                    self.say(thing, key, "one side alone has", fields.get(key), "and the join", joined.get(key))
        if thing[0] == "sample" and "of" not in fields:
            untold = tuple(key for key in untold if key not in KEY)
        for key in sorted(set(fields) | set(joined)):
            if (key == "version" or key not in untold) and fields.get(key) != joined.get(key):
                self.say(thing, key, "one side alone has", fields.get(key), "and the join", joined.get(key))

    def compare(self, thing, there, base, joined, place):
        sides = [self.fields(self.sides[at].tip, there[at]) for at in (0, 1)]
        untold = self.untold(thing)
        steps = sum(one.get("version", 1) for one in sides) - base.get("version", 1)
        if joined.get("version", 1) != max(steps, 1):
            self.say(thing, "its version is", joined.get("version", 1), "and should be", steps)
        for key in sorted(set(base) | set(sides[0]) | set(sides[1]) | set(joined)):
            if key not in untold:
                self.compare_field(thing, there, base, joined, place, key)
        if thing[0] == "sample" and "of" not in base:
            self.compare_key(thing, there, base, joined, place)
        if thing[0] == "core":
            self.compare_name(thing, there, base, joined, place)

    def compare_field(self, thing, there, base, joined, place, key):
        values = [self.sides[at].tip.things[there[at]].get(key) for at in (0, 1)]
        if key == "in core":
            values = [self.same(value) for value in values]
        before, after = base.get(key), joined.get(key)
        if values[0] == values[1]:
            expected = [values[0]]
        elif key == "withdrawn" and all(values):
            expected = self.first_to(there, values)
        elif values[0] == before:
            expected = [values[1]]
        elif values[1] == before:
            expected = [values[0]]
        else:
            expected = self.contradict(there, place, field_name(key), lambda fields: fields.get(key), values)
        if after not in expected:
            if after in values and self.is_open(place, field_name(key)):
                self.forced.add((place, field_name(key)))
            else:
                self.say(thing, key, "was", before, "the sides have", values, "and the join", after)

    def contradict(self, there, place, field, value_of, values):
        """Both set it: the values that may stand."""
        acts = [self.sides[at].set_by(there[at], value_of) for at in (0, 1)]
        standing, claims = [], []
        for one in acts[0]:
            for other in acts[1]:
                first = is_later(other, one)
                standing.append(values[first])
                claims.append((other.commit, one.commit) if first else (one.commit, other.commit))
        self.open[(*place, field)] = claims
        return standing

    def first_to(self, there, values):
        """Withdrawn by both: no question, and the reason of the earlier one stays."""
        acts = [self.sides[at].set_by(there[at], lambda fields: fields.get("withdrawn")) for at in (0, 1)]
        return [values[is_later(one, other)] for one in acts[0] for other in acts[1]]

    def is_open(self, place, field):
        return any((record["path"], record.get("item"), record.get("field")) == (*place, field) for record in self.joined.open.values())

    def compare_key(self, thing, there, base, joined, place):
        """Section, half and interval of a sample are one value; open is what differs of it."""
        def key_of(fields):
            return tuple(fields.get(key) for key in KEY)
        values = [key_of(self.sides[at].tip.things[there[at]]) for at in (0, 1)]
        before, after = key_of(base), key_of(joined)
        if values[0] == values[1] or values[1] == before:
            expected = [values[0]]
        elif values[0] == before:
            expected = [values[1]]
        else:
            for at, key in enumerate(KEY):
                if values[0][at] != values[1][at]:
                    expected = self.contradict(there, place, field_name(key), key_of, values)
        if after not in expected:
            self.say(thing, "its interval was", before, "the sides have", values, "and the join", after)

    def compare_name(self, thing, there, base, joined, place):
        """Number and letter of a core; renamed on both sides to two names is open."""
        values = [tuple(self.sides[at].tip.things[there[at]].get(key) for key in ("number", "type")) for at in (0, 1)]
        claimed = {self.sides[at].claimed(there[at]) for at in (0, 1)} if thing not in self.base.things else ()
        before = base.get("number", *claimed) if len(claimed) == 1 else base.get("number"), base.get("type")
        after = joined.get("number"), joined.get("type")
        if values[0] == values[1] or values[1] == before:
            expected = values[:1]
        elif values[0] == before:
            expected = values[1:]
        else:
            expected = [(number, letter) for number, _ in self.of_part(0, values, before) for _, letter in self.of_part(1, values, before)]
            for at, field in enumerate(("number", "type")):
                if values[0][at] != values[1][at] and before[at] not in (values[0][at], values[1][at]) and not self.is_open(place, field):
                    self.say(thing, field, "both set:", values, "and nothing is open")
        if after not in expected and not any(self.is_taken(thing, number) for number, _ in expected):
            self.say(thing, "its name was", before, "the sides have", values, "and the join", after)

    @staticmethod
    def of_part(at, values, before):
        """Number or letter is that of whoever changed it; of either, where both did."""
        changed = [value for value in values if value[at] != before[at]]
        return changed or values

    def is_taken(self, thing, number):
        """Has another core of the hole the number in the join?"""
        return any(other[0] == "core" and other[1] == thing[1] and self.same(other[2]) != thing[2] and fields["number"] == number
                   for other, fields in self.joined.things.items())

    # --- names, days, what is open ---

    def check_ranges(self, tips):
        """A correction by numbers of cores is open where one came in or went out by the join alone, and nowhere else."""
        for thing, fields in self.joined.things.items():
            if thing[0] != "correction" or "withdrawn" in fields or not {"first_core", "last_core"} & set(fields):
                continue
            path = self.joined.places[thing][0]
            for core, at in self.named(self.joined).items():
                if core[0] != "core" or core[1] != thing[1]:
                    continue
                number = self.joined.things[at]["number"]
                there = [tip.things[self.named(tip)[core]]["number"] for tip in tips if thing in tip.things and core in self.named(tip)]
                differs = [one for one in there if self.is_within(fields, one) != self.is_within(fields, number)]
                if differs and number not in there:
                    self.ranges.add(path)
        told = {record["path"] for record in self.joined.open.values() if record.get("field") in ("first_core", "last_core")}
        before = {record["path"] for tip in tips for record in tip.open.values() if record.get("field") in ("first_core", "last_core")}
        if not self.ranges <= told or not told <= self.ranges | before:
            self.say("corrections by numbers of cores: open are", told, "and should be", self.ranges)

    @staticmethod
    def is_within(fields, number):
        return fields.get("first_core", 0) <= number <= fields.get("last_core", 9999)

    def check_days(self, tips):
        """What both took in stands together where it goes together: rows of other hours, or all that the other has. Where it
        does not, the day is open; then what stands are rows that somebody took in."""
        none = (None, frozenset())
        for day in set(self.base.days) | set(tips[0].days) | set(tips[1].days):
            values = [tip.days.get(day, none) for tip in tips]
            before, after = self.base.days.get(day, none), self.joined.days.get(day, none)
            known = values[0][1] | values[1][1]
            is_open = any(record["path"] == f"holes/{day[0]}/log/{day[1]}" for record in self.joined.open.values())
            if values[0] == before or values[0] == values[1]:
                is_right = is_open or after == values[1]
            elif values[1] == before:
                is_right = is_open or after == values[0]
            else:
                is_right = is_open or (after[1] == known and before[1] <= values[0][1] & values[1][1])
            if not is_right or not after[1] <= known | self.taken_in(day):
                self.say("the pump log of", day, "was", before[0], "the sides have", values[0][0], values[1][0], "and the join", after[0],
                         "of which is open:", is_open)

    def taken_in(self, day):
        return frozenset().union(*(after.days[day][1] for side in self.sides for _, after in side.acts if day in after.days))

    def check_names(self):
        """Nothing has the name of another thing; what a side called a thing still finds it."""
        seen = {}
        for thing, place in self.joined.places.items():
            if place in seen:
                self.say(thing, "and", seen[place], "are both", place)
            seen[place] = thing
        for side in self.sides:
            for thing, (path, item) in side.tip.places.items():
                if thing in side.tip.twice or thing in self.joined.twice or thing not in self.joined.things or "was" in side.tip.things[thing]:
                    continue
                fields = self.joined.things[thing]
                if "number" not in fields and thing[0] != "sample":
                    continue
                older = item if thing[0] == "sample" else str(side.tip.things[thing]["number"])
                newer = self.joined.places[thing][1] if thing[0] == "sample" else str(fields["number"])
                former = [word.split("@")[0] for word in fields.get("was", "").split()]
                if thing[0] != "core" and older not in (newer, *former):
                    self.say(thing, path, "was called", older, "and is", newer, "formerly", former)

    def check_open(self, tips):
        """Each contradiction stands in its file, and each file is one."""
        before = set(tips[0].open) | set(tips[1].open)
        told = {}
        for path, record in self.joined.open.items():
            told[(record["path"], record.get("item"), record.get("field"))] = [claim["commit"] for claim in record["claims"]], path
        for place, claims in self.open.items():
            if place not in told:
                self.say("open, and not told:", place, claims)
            elif told[place][1] not in before and tuple(told[place][0]) not in claims:
                self.say("told of", place, "as claimed by", told[place][0], "and should be by", claims)
        for place, (commits, path) in told.items():
            if path in before or place in self.open or place[2] is None or (place[:2], place[2]) in self.forced:
                continue
            if re.search(r"/cores/\d+\.json$", place[0]) and place[2] in ("number", "type", "name"):
                continue
            if place[0] in self.ranges and place[2] in ("first_core", "last_core"):
                continue
            self.say("told, and not open:", place, commits)
