# SPDX-License-Identifier: MIT
"""A registry made by the program, and plain git's ways to damage it: what damage.py and hook.py share."""
import copy
import json
import os
import re
import shutil

from table import Table

CORE1 = "holes/U0012A/cores/0001.json"
CORE2 = "holes/U0012A/cores/0002.json"
CORE3 = "holes/U0012A/cores/0003.json"
SAMPLES1 = "holes/U0012A/cores/0001.samples.json"
SAMPLES2 = "holes/U0012A/cores/0002.samples.json"
LABELS1 = "holes/U0012A/cores/0001.labels.json"
CORRECTION1 = "holes/U0012A/corrections/0001.json"
CORRECTION2 = "holes/U0012A/corrections/0002.json"
DRILLED = "holes/U0012A/drilled.json"
LOG = "holes/U0013A/log/2026-02-28.log"
PUMPS = "holes/U0013A/pumps.json"
WELL = "holes/U0013A/well.json"
CHECKS = "holes/U0013A/lag-checks.json"
BAGS = "holes/U0013A/bags/bag-0001.json"
BAG_LABELS = "holes/U0013A/bags/bag-0001.labels.json"
# Says what kind of act it was, and not what it did: act-false and act-line stand beside many a damage (forged.py has them).
ACT = "Changed by hand\n\nAct: core amend\nStation: core table\nReason: by hand\n"
PRINTED = "Labels: 1 printed as small\n\nAct: label print\nStation: core table\n"

DAY = "2026-03-01T05:00:00Z"  # of what plain git does


def written(record):
    """A record as the program writes it: a line a key, a line an item."""
    lines = []
    for key, value in record.items():
        if isinstance(value, list):
            items = ",\n".join(json.dumps(item, separators=(",", ":"), ensure_ascii=False) for item in value)
            lines.append('"%s":[\n%s\n]' % (key, items))
        else:
            lines.append('"%s":%s' % (key, json.dumps(value, ensure_ascii=False)))
    return "{\n" + ",\n".join(lines) + "\n}\n"


class Registry(Table):
    """One at path, in a folder of its own; what is staged becomes a commit of plain git."""

    def __init__(self, path, programs, by_hand=True):
        super().__init__(programs, os.path.dirname(path), by_hand=by_hand, GIT_AUTHOR_DATE=DAY, GIT_COMMITTER_DATE=DAY)
        self.path, self.staged = path, []

    def copy(self, folder):
        """The same in another folder, its objects by link, and no folders without any: what damages them puts new files
        into their place."""
        for at, _, files in os.walk(self.path):
            to = os.path.join(folder, "registry.git", os.path.relpath(at, self.path))
            if files or "objects" not in at:
                os.makedirs(to, exist_ok=True)
            for file in files:
                put = os.link if "objects" in at else shutil.copy
                put(os.path.join(at, file), os.path.join(to, file))
        return self.beside(os.path.join(folder, "registry.git"))

    def beside(self, path):
        """Another registry with the commands of this one."""
        other = copy.copy(self)
        other.path, other.work, other.staged = path, os.path.dirname(path), []
        return other

    def run(self, *words, clock=None, **more):
        return super().run(*words, env={"CORETALLY_CLOCK": clock} if clock else None, **more)

    def git(self, *words, data=None, **variables):
        data = data.encode() if isinstance(data, str) else data
        done = self.start(["git", "-C", self.path, *words], data, env=variables, codes=(0,), text=False)
        return done.stdout.decode("utf-8", "replace").strip()

    def text(self, path, state="main"):
        return self.start(["git", "-C", self.path, "show", state + ":" + path], codes=(0,), text=False).stdout.decode()

    def record(self, path):
        return json.loads(self.text(path))

    def blob(self, data):
        return self.git("hash-object", "-w", "--stdin", data=data)

    def stage(self, path, data, mode="100644"):
        """data None removes, a blob's id is taken as it is."""
        if data is not None and not (isinstance(data, str) and re.fullmatch("[0-9a-f]{40}", data)):
            data = self.blob(data if isinstance(data, (str, bytes)) else written(data))
        self.staged.append((path, mode, data))

    def commit(self, message=ACT, parents=("main",), when=None):
        index = {"GIT_INDEX_FILE": os.path.join(self.path, "index-of-test")}
        self.git("read-tree", parents[0], **index) if parents else self.git("read-tree", "--empty", **index)
        lines = "".join("%s %s\t%s\n" % (mode if blob else "0", blob or "0" * 40, path) for path, mode, blob in self.staged)
        self.git("update-index", "--index-info", data=lines, **index)
        self.staged = []
        return self.move(self.git("write-tree", **index), message, parents, when)

    def move(self, tree, message=ACT, parents=("main",), when=None, written=None):
        words = [word for parent in parents for word in ("-p", parent)]
        dates = {"GIT_AUTHOR_DATE": when, "GIT_COMMITTER_DATE": written or when} if when else {}
        commit = self.git("commit-tree", tree, *words, data=message, **dates)
        self.git("update-ref", "refs/heads/main", commit)
        return commit

    def message(self):
        """That of the newest act."""
        return self.git("log", "-1", "--format=%B", "main") + "\n"

    def again(self, message=None, **dates):
        """The newest act with other words or at another time, and otherwise as it is."""
        tree, parent = self.git("rev-parse", "main^{tree}", "main~1").splitlines()
        return self.move(tree, message or self.message(), (parent,), **dates)

    def edit(self, path, change, **options):
        record = self.record(path)
        change(record)
        self.stage(path, record)
        return self.commit(**options)

    def object_file(self, name):
        found = self.git("rev-parse", name)
        return os.path.join(self.path, "objects", found[:2], found[2:])

    def lose(self, name):
        os.remove(self.object_file(name))


def label_of(name, state, scale, top, bottom, **more):
    """One that the commit of plain git, message PRINTED, records."""
    label = {"name": name, "printed": DAY, "state": state, "scale": scale, "top_m": top, "bottom_m": bottom,
             "layout": "small", **more}
    order = ("name", "copy", "printed", "state", "scale", "top_m", "bottom_m", "layout")
    return {key: label[key] for key in order if key in label}


def build(folder, programs, by_hand=True):
    os.makedirs(folder)
    reg = Registry(os.path.join(folder, "registry.git"), programs, by_hand)
    table = os.path.dirname(reg.path)
    reg.act("start", "901", "--title", "Slope fans")
    reg.act("hole", "add", "U0012A", "--returns", "seafloor", "--rig-floor", "11.2", "--seafloor", "3021.4",
            "--seafloor-by", "tagged", "--zone", "+05:30")
    reg.act("core", "add", "U0012A-1H", "3021.4", "+9.5", "--recovered", "9.43", "--sections", "6x1.5,0.20,cc:0.23")
    reg.act("core", "add", "U0012A-2H", "3030.9", "+9.5", "--recovered", "9.86", "--sections", "6x1.5,0.62,cc:0.24")
    reg.act("core", "add", "U0012A-3H", "3040.4", "+9.5", "--recovered", "4.6")
    reg.act("section", "add", "U0012A-3H-1", "1.5", "--whole-rounds", "140,150,pore water")
    reg.act("section", "add", "U0012A-3H-2", "1.5")
    reg.act("section", "add", "U0012A-3H-3", "1.5")
    reg.act("drilled", "add", "U0012A", "3049.9", "3060")
    for name in ("1H-3W,45-47", "1H-3W,60-62", "1H-4A,10-12", "2H-1W,20-22", "2H-2W,30-35", "3H-1W,20-25"):
        reg.act("sample", "add", "U0012A-" + name, "--volume", "10", "--lab-id", "L" + name.replace(",", "-"))
    reg.act("sample", "add", "--of", "U0012A-1H-3W,45-47", "45-46", "--purpose", "foraminifers")
    reg.act("sample", "amend", "U0012A-2H-2W,30-35", "--used-up", "yes", "--reason", "nothing is left")
    reg.act("sample", "withdraw", "U0012A-1H-4A,10-12", "--reason", "not taken after all")
    sheet = os.path.join(table, "sheet-7.txt")
    with open(sheet, "w", encoding="utf-8") as file:
        file.write("joint 306 missed\n")
    # Labels are printed before the corrections, and with them.
    printed = ("label", "print", "U0012A-1H-3W,45-47", "U0012A-2H", "--layout", "small", "--out")
    reg.act(*printed, "before.svg")
    reg.act("correction", "add", "U0012A", "tally", "+9.62", "--top", "3030", "--reason", "joint 306 missed",
            "--evidence-file", sheet)
    reg.act("correction", "add", "U0012A", "shift", "3H", "0.5", "--reason", "overlap")
    build_riser(reg, table)
    reg.act(*printed, "after.svg")
    for scale in ("MRF", "MSF"):
        reg.act("label", "print", "U0013A-BAG1", "--layout", "bag", "--scale", scale, "--out", scale + ".svg")
    reg.act("core", "amend", "U0012A-1H", "--recovered", "9.40", "--reason", "tape read at the wrong end")
    return reg


def build_riser(reg, table):
    reg.act("hole", "add", "U0013A", "--returns", "ship", "--rig-floor", "11.2", "--seafloor", "600", "--seafloor-by",
            "tagged", "--zone", "+00:00")
    reg.act("well", "add", "U0013A", "--from", "2026-02-28 00:00", "--bores", "riser,0,600,475; open,600,,325",
            "--string", "drill pipe,,125,100")
    reg.act("pump", "add", "U0013A", "1", "--from", "2026-02-28 00:00", "--kind", "triplex", "--bore", "200", "--stroke", "300")
    reg.act("pump", "add", "U0013A", "2", "--from", "2026-02-28 00:00", "--kind", "triplex", "--bore", "200", "--stroke", "300")
    for part in ((0, 240), (240, 420)):
        with open(os.path.join(table, "log.csv"), "w", encoding="utf-8") as file:
            file.write("time,hole_m,strokes_1\n")
            for minute in range(*part):
                file.write("2026-02-28T%02d:%02d:00Z,%.1f,%d\n" % (minute // 60, minute % 60, 1600 + minute * 0.1, minute * 100))
        reg.act("log", "add", "U0013A", "log.csv", "--set", "time = time; hole = hole_m | m; strokes 1 = strokes_1; rate 2 = \"0\" | spm")
    reg.act("check", "add", "U0013A", "2026-02-28 00:20", "2026-02-28 01:30", "--tracer", "carbide", "--sure")
    for hour in (2, 3, 4):
        reg.act("bag", "add", "U0013A", "2026-02-28 0%d:00" % hour, "2026-02-28 0%d:05" % hour)


def find(items, **keys):
    return next(item for item in items if all(item.get(key) == value for key, value in keys.items()))


def at_end(record, key, value):
    """A key put where the table has it: behind the others, before the list."""
    lists = {name: record.pop(name) for name in list(record) if isinstance(record[name], list)}
    record[key] = value
    record.update(lists)


def rewrite(reg, path, change):
    """The folder at path with its entries changed, by hand, as git itself would not write it."""
    entries = []
    for line in reg.git("ls-tree", "main:" + path).splitlines():
        mode, _, rest = line.split(" ", 2)
        blob, name = rest.split("\t")
        entries.append((mode.lstrip("0").encode(), name.encode(), bytes.fromhex(blob)))
    raw = b"".join(mode + b" " + name + b"\0" + blob for mode, name, blob in change(entries))
    tree = reg.git("hash-object", "-t", "tree", "-w", "--literally", "--stdin", data=raw)
    while path:
        above, _, name = path.rpartition("/")
        listed = reg.git("ls-tree", "main:" + above if above else "main").splitlines()
        lines = ["%s\t%s" % ("040000 tree " + tree, name) if line.endswith("\t" + name) else line for line in listed]
        tree = reg.git("mktree", data="\n".join(lines) + "\n")
        path = above
    reg.move(tree)


DAMAGES = []


def damage(*expected, arguments=(), doubt=False):
    """expected: (word, path or None) that must all be told; the first is more than a doubt, where not all is."""
    def keep(function):
        DAMAGES.append((function.__name__, function, expected, arguments, doubt))
        return function
    return keep
