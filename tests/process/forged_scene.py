# SPDX-License-Identifier: MIT
"""A registry with every kind of record, made by the program; honest acts of every kind on top of it, each by itself; and commits
of plain git by the hundred, made by one git. What forged.py and its changes share."""
import json
import os
import pathlib
import subprocess
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "join"))
import acts  # noqa: E402  pylint: disable=wrong-import-position
import engine  # noqa: E402  pylint: disable=wrong-import-position
from table import environment  # noqa: E402  pylint: disable=wrong-import-position

A, B, R, C, S = acts.A, acts.B, acts.R, "U0030C", "U0030D"
SHIP, SHORE, LAB = acts.SHIP, acts.SHORE, acts.LAB
WHY = ("--reason", "sheet 4")
UNTIL = acts.START + 30 * 86400  # the clock of who verifies
TABLES = {**acts.TABLES, "more.csv": acts.TABLES["samples.csv"].replace(",60,62,", ",70,72,").replace(",64,66,", ",74,76,"),
          "tide.csv": "time,height_m\n2026-02-24T00:00:00Z,0.2\n2026-02-25T12:00:00Z,0.6\n2026-03-06T00:00:00Z,0.1\n",
          "splice.csv": "hole,order,core,top_section,top_cm,bottom_section,bottom_cm\n%s,1,1,1,0,2,20\n%s,2,2,1,0,3,20\n" % (A, A),
          "cores.csv": "hole,core,type,top,bottom,recovered\n%s,3,H,3041,3050.5,9\n%s,4,H,3050.5,3060,9\n" % (B, B),
          "sections.csv": "hole,core,type,section,curated_m\n%s,1,H,4,1.5\n%s,1,H,5,1.4\n" % (B, B)}

# Acts that are signed: where their words stand among others, their commit is meant.
LETTER = ("core", "amend", f"{A}-5H", "--name", "5X", *WHY)
TAKEN = ("section", "withdraw", f"{A}-4R-2", *WHY)

# On top of what tests/join begins with: what that has not.
MORE = (
    ("core", "add", f"{A}-5H", "3059.4", "+9.5", "--recovered", "8", "--sections", "5x1.5"),
    LETTER,
    ("sample", "add", f"{A}-5X-2W,10-12", "--volume", "10"),
    ("sample", "add", f"{A}-1H-4A,10-12", "--volume", "10"),
    ("sample", "withdraw", f"{A}-1H-4A,10-12", "--reason", "not taken after all"),
    ("sample", "amend", f"{A}-1H-2W,10-12", "--used-up", "yes", *WHY),
    TAKEN,
    (LAB, "sign", LETTER),
    ("core", "add", f"{B}-7H", "3100", "+9.5", "--recovered", "8", "--sections", "2x1.5", "--sure"),
    ("core", "withdraw", f"{B}-7H", "--reason", "never cored"),
    ("drilled", "withdraw", A, "2", *WHY),
    ("correction", "add", A, "reading", "3H", "--core-top", "3040.3", "--core-bottom", "3049.8", "--reason", "misread"),
    ("correction", "add", A, "composite", "offsets.csv", "--reason", "matched"),
    ("correction", "add", A, "stretch", "heat", "--rise", "12", "--reason", "warm"),
    ("correction", "add", A, "survey", "survey-1.csv", "--reason", "gyro", "--evidence-file", "sheet.txt"),
    ("correction", "add", A, "growth", "growth.csv", "--reason", "it grows"),
    ("correction", "add", B, "shift", "2H", "+0.2", "--reason", "slid", "--evidence-file", "sheet.txt"),
    ("correction", "withdraw", B, "1", "--reason", "it had not slid"),
    ("hole", "add", S, "--returns", "seafloor", "--parent", A, "--kickoff", "3045", "--rig-floor", "11.2"),
    ("core", "add", f"{S}-1R", "3045", "+9.5", "--recovered", "5", "--sections", "3x1.5"),
    ("correction", "add", S, "tide", "tide.csv", "--first-core", "9", "--last-core", "9", "--reason", "gauge", "--sure"),
    ("hole", "add", C, "--returns", "seafloor", "--seafloor", "3020", "--seafloor-by", "tagged"),
    ("hole", "withdraw", C, "--reason", "never spudded"),
    ("hole", "add", "U0034A", "--returns", "seafloor", "--seafloor", "3020", "--seafloor-by", "tagged"),
    ("pump", "add", R, "2", "--from", "2026-03-01T00:00:00Z", *acts.PUMP),
    ("pump", "withdraw", R, "2", *WHY),
    ("well", "add", R, "--from", "2026-03-01T20:00:00Z", "--flowline", "4m3"),
    ("well", "withdraw", R, "2", *WHY),
    ("check", "add", R, "2026-03-01T13:00:00Z", "2026-03-01T15:40:00Z", "--tracer", "rice", "--sure"),
    ("check", "withdraw", R, "2", *WHY),
    ("log", "add", R, "log-2a.csv", "--set", acts.MAPPING, "--gap", "600"),
    ("bag", "add", R, "2026-03-01T16:00:00Z", "2026-03-01T16:10:00Z", "--lithology", "sand"),
    ("bag", "withdraw", R + "-BAG3", *WHY),
    ("label", "print", f"{A}-3H", f"{A}-3H-4A,100-102", f"{A}-5X", f"{S}-1R", "--out", "more.svg"),
    ("label", "print", f"{A}-5X", f"{S}-1R", "--out", "again.svg"),
)
# Two sides that leave fields open; the ship's acts first.
SIDES = tuple((("section", "amend", f"{A}-2H-4", "--curated", curated, *WHY), ("sample", "amend", f"{A}-3H-4A,100-102", "--volume", volume, *WHY),
               ("core", "amend", f"{S}-1R", "--name", name, *WHY)) for curated, volume, name in (("1.47", "6", "2R"), ("1.48", "7", "3R")))

# Honest acts, each on top of the same state: (who, words).
NEXT = (
    (SHIP, "expedition", "amend", "--title", "Fans", *WHY),
    (SHIP, "expedition", "amend", "--remark", "second leg", *WHY),
    (SHIP, "hole", "add", "U0033A", "--returns", "seafloor", "--seafloor", "3000", "--seafloor-by", "tagged"),
    (SHIP, "hole", "amend", A, "--seafloor", "3020.4", *WHY),
    (SHIP, "hole", "amend", A, "--tolerance", "0.5", *WHY),
    (SHIP, "hole", "amend", R, "--rig-floor", "28.5", *WHY),
    (SHIP, "hole", "amend", S, "--kickoff", "3046", *WHY),
    (SHIP, "hole", "withdraw", "U0034A", *WHY),
    (SHIP, "hole", "amend", C, "--restore", *WHY),
    (SHIP, *acts.core(A, "6H", "3080", "3x1.5", "six")),
    (SHIP, *acts.core(A, "7H", "3089.5", "3x1.5", "seven")),
    (SHIP, "core", "amend", f"{A}-2H", "--top", "3031.2", "--bottom", "3040.7", *WHY),
    (SHIP, "core", "amend", f"{A}-2H", "--top", "3030.7", "--bottom", "3040.2", *WHY),
    (SHIP, "core", "amend", f"{A}-2H", "--recovered", "9.4", *WHY),
    (SHIP, "core", "amend", f"{A}-3H", "--remark", "gas", *WHY),
    (SHIP, "core", "amend", f"{A}-1H", "--name", "1X", *WHY),
    (SHIP, "core", "amend", f"{A}-5X", "--name", "6X", *WHY),
    (SHIP, "core", "withdraw", f"{A}-4R", *WHY),
    (SHIP, "core", "amend", f"{B}-7H", "--restore", *WHY),
    (SHIP, "section", "add", f"{A}-1H-8", "0.3"),
    (SHIP, "section", "amend", f"{A}-1H-2", "--curated", "1.48", *WHY),
    (SHIP, "section", "amend", f"{A}-2H-5", "--voids", "31,34", *WHY),
    (SHIP, "section", "withdraw", f"{A}-1H-CC", *WHY),
    (SHIP, "sample", "add", f"{A}-1H-3W,45-47", "--volume", "10", "--purpose", "isotopes"),
    (SHIP, "sample", "add", "--of", f"{A}-2H-3W,45-47", "46-47", "--volume", "1"),
    (SHIP, "sample", "amend", f"{A}-2H-3W,45-47", "--volume", "12", *WHY),
    (SHIP, "sample", "amend", f"{A}-2H-3W,45-47", "--top", "44", "--bottom", "46", *WHY),
    (SHIP, "sample", "amend", f"{A}-3H-4W,21-23", "--section", "2", *WHY),
    (SHIP, "sample", "withdraw", f"{A}-3H-4W,21-23", *WHY),
    (SHIP, "sample", "amend", f"{A}-1H-4A,10-12", "--restore", *WHY),
    (SHIP, "drilled", "add", A, "3100", "3110"),
    (SHIP, "drilled", "amend", A, "1", "--bottom", "3079", *WHY),
    (SHIP, "drilled", "withdraw", A, "1", *WHY),
    (SHIP, "drilled", "amend", A, "2", "--restore", *WHY),
    (SHIP, "pump", "add", R, "3", "--from", "2026-03-01T00:00:00Z", *acts.PUMP),
    (SHIP, "pump", "amend", R, "1", "--efficiency", "95", *WHY),
    (SHIP, "pump", "withdraw", R, "1", *WHY),
    (SHIP, "pump", "amend", R, "2", "--restore", *WHY),
    (SHIP, "well", "add", R, "--from", "2026-03-01T21:00:00Z", "--flowline", "5m3"),
    (SHIP, "well", "amend", R, "1", "--flowline", "3m3", *WHY),
    (SHIP, "well", "amend", R, "1", "--bores", "riser,0,1000,19.5in; open,1000,,12.5in", *WHY),
    (SHIP, "well", "amend", R, "2", "--restore", *WHY),
    (SHIP, "well", "withdraw", R, "1", *WHY, "--sure"),
    (SHIP, "log", "add", R, "log-3.csv", "--set", acts.MAPPING, "--gap", "86400"),
    (SHIP, "log", "add", R, "log-2d.csv", "--set", acts.MAPPING, "--gap", "86400"),
    (SHIP, "log", "withdraw", R, "2026-03-02", *WHY),
    (SHIP, "check", "add", R, "2026-03-01T16:00:00Z", "2026-03-01T18:40:00Z", "--tracer", "dye", "--sure"),
    (SHIP, "check", "amend", R, "1", "--seen", "2026-03-01T14:41:00Z", *WHY, "--sure"),
    (SHIP, "check", "withdraw", R, "1", *WHY),
    (SHIP, "check", "amend", R, "2", "--restore", *WHY, "--sure"),
    (SHIP, "bag", "add", R, "2026-03-01T18:00:00Z", "2026-03-01T18:10:00Z", "--lithology", "clay"),
    (SHIP, "bag", "amend", R + "-BAG2", "--from", "2026-03-01T15:01:00Z", *WHY),
    (SHIP, "bag", "amend", R + "-BAG1", "--lithology", "silt", *WHY),
    (SHIP, "bag", "withdraw", R + "-BAG1", *WHY),
    (SHIP, "bag", "amend", R + "-BAG3", "--restore", *WHY),
    (SHIP, "correction", "add", B, "tally", "+0.5", "--top", "3025", "--reason", "joint"),
    (SHIP, "correction", "add", A, "shift", "1H", "+0.1", "--reason", "slid"),
    (SHIP, "correction", "add", A, "seafloor", "3021.7", "--seafloor-by", "camera", "--supersedes", "standing", "--reason", "seen"),
    (SHIP, "correction", "add", A, "splice", "splice.csv", "--reason", "first splice", "--evidence-file", "tide.csv"),
    (SHORE, "correction", "sign", A, "2", "--remark", "looked at"),
    (LAB, "correction", "sign", A, "3"),
    (SHORE, "sign", LETTER, "--remark", "looked at"),
    (SHORE, "sign", TAKEN),
    (SHIP, "correction", "withdraw", A, "1", "--reason", "the joint was there"),
    (SHIP, "correction", "withdraw", A, "3", "--reason", "it had not slid"),
    (SHIP, "label", "print", f"{A}-2H-3W,45-47", "--out", "1.svg"),
    (SHIP, "label", "print", f"{A}-1H-2", f"{A}-2H-2", "--out", "2.svg"),
    (SHIP, "label", "print", R + "-BAG2", "--out", "3.svg"),
    (SHIP, "import", "samples", "samples.csv"),
    (SHIP, "import", "samples", "more.csv"),
    (SHIP, "import", "bags", "bags.csv"),
    (SHIP, "import", "cores", "cores.csv", "--set", "top = top | m | DRF; bottom = bottom | m | DRF", "--sure"),
    (SHIP, "import", "sections", "sections.csv"),
    (SHIP, "settle", f"{A}-2H-4", "curated", "1.475", *WHY),
    (SHIP, "settle", f"{A}-3H-4A,100-102", "volume", *WHY),
    (SHIP, "settle", f"{S}-3R", "number", "2", *WHY),
    (SHIP, "settle", f"{S}-3R", "number", *WHY),
)


def clock(seconds):
    return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(seconds))


class Act:
    """A commit: its message, who, when, and what it changed: {path: (mode, bytes), None for a file that is gone}."""

    def __init__(self, scene, commit):
        self.id = commit
        found = scene.registry.commit(commit)
        self.message, self.author, self.time = found.message, found.author + ">", found.time
        self.parents = found.parents
        before = scene.files(found.parents[0]) if found.parents else {}
        after = scene.files(commit)
        self.changes = {path: ("100644", scene.bytes(after[path])) if path in after else None
                        for path in sorted(set(before) | set(after)) if before.get(path) != after.get(path)}
        head, _, trailers = self.message.rpartition("\n\n")
        self.subject = head.split("\n")[0]
        self.trailers = dict(line.split(": ", 1) for line in trailers.split("\n") if ": " in line)
        self.kind = self.trailers.get("Act", "")


class Scene:
    """folder: its own. Its tip is the state that everything is forged on."""

    def __init__(self, binaries, folder):
        self.folder = folder
        os.makedirs(folder)
        self.env = environment(binaries, folder, CORETALLY_CLOCK=clock(UNTIL))
        self.programs = engine.Programs(binaries, self.env)
        for name, text in TABLES.items():
            pathlib.Path(folder, name).write_text(text, encoding="utf-8")
        self.when = acts.START - 90000
        self.path = os.path.join(folder, "registry.git")
        self.registry = engine.Registry(self.path)
        self.done = {}  # the commit of an act by its words
        for words in (*acts.BASE, *MORE):
            self.act(*(words if words[0] == LAB else (SHIP, *words)))
        self.join()
        self.base = self.registry.tip()
        self.listed = {}
        self.next = [self.alone(*words) for words in NEXT]

    def act(self, who, *words):
        self.when += 60
        said = self.run(who, self.when, [self.done.get(word, word) for word in words])
        if said.code:
            raise SystemExit(f"{words}: {said.code} {said.out}{said.err}")
        self.done[words] = self.registry.tip()

    def run(self, who, when, words):
        mail = who.split()[0].lower() + "@example.org"
        return self.programs.run([str(word) for word in words], self.folder, CORETALLY_CLOCK=clock(when), GIT_AUTHOR_NAME=who,
                                 GIT_AUTHOR_EMAIL=mail, GIT_COMMITTER_NAME=who, GIT_COMMITTER_EMAIL=mail)

    def join(self):
        begun, tips = self.registry.tip(), []
        for words in SIDES:
            self.registry.set_tip(begun)
            for one in words:
                self.act(SHIP, *one)
            tips.append(self.registry.tip())
        self.sides = tips
        joined, said = self.programs.join(self.path, tips[0])
        if not joined or len(joined["contradictions"]) != 3:
            raise SystemExit(f"two sides are not joined as they should be: {joined} {said.err}")

    def alone(self, *words):
        """An honest act on top of the base, taken back."""
        self.when = acts.START + 86400  # all at one time
        self.act(*words)
        done = Act(self, self.registry.tip())
        if done.parents != [self.base]:
            raise SystemExit(f"{words}: no act")
        done.words = tuple(self.done.get(word, word) for word in words)
        self.registry.set_tip(self.base)
        return done

    def files(self, commit):
        return self.registry.files(commit)

    def bytes(self, name):
        return self.registry.find(name).split(b"\0", 1)[1]

    def content(self, path, commit=None):
        commit = commit or self.base
        if commit not in self.listed:
            self.listed[commit] = self.files(commit)
        return self.bytes(self.listed[commit][path])

    def record(self, path, commit=None):
        return json.loads(self.content(path, commit))

    def history(self):
        """The acts behind the base, newest first, without the join."""
        waiting, seen = [self.base], {}
        while waiting:
            name = waiting.pop()
            if name not in seen:
                seen[name] = self.registry.commit(name)
                waiting += seen[name].parents
        return [Act(self, name) for name, found in seen.items() if len(found.parents) < 2]


def written(record):
    """A record as the program writes it: a line a key, a line an item."""
    lines = []
    for key, value in record.items():
        if isinstance(value, list):
            items = ",\n".join(json.dumps(item, separators=(",", ":"), ensure_ascii=False) for item in value)
            lines.append('"%s":[\n%s\n]' % (key, items))
        else:
            lines.append('"%s":%s' % (key, json.dumps(value, ensure_ascii=False)))
    return ("{\n" + ",\n".join(lines) + "\n}\n").encode()


class Forge:
    """Commits for one git to write, each on top of what it is told."""

    def __init__(self, path):
        self.path, self.lines, self.count = path, [], 0

    def add(self, parents, message, changes, author, committer=None, tree_of=None):
        """author: "Name <mail> seconds +0000". Its mark: ids() has the commits by that."""
        self.count += 1
        put = self.lines.append
        put(b"commit refs/heads/forged\nmark :%d\n" % self.count)
        put(b"author %s\ncommitter %s\n" % (author.encode(), (committer or author).encode()))
        text = message.encode()
        put(b"data %d\n%s\nfrom %s\n" % (len(text), text, parents[0].encode()))
        for other in parents[1:]:
            put(b"merge %s\n" % other.encode())
        for path, change in changes.items():
            if change is None:
                put(b"D %s\n" % path.encode())
            else:
                put(b"M %s inline %s\ndata %d\n%s\n" % (change[0].encode(), path.encode(), len(change[1]), change[1]))
        return self.count

    def write(self):
        """{mark: commit}"""
        marks = os.path.join(self.path, "marks")
        subprocess.run(["git", "-C", self.path, "fast-import", "--quiet", "--force", "--export-marks=" + marks],
                       input=b"".join(self.lines) + b"done\n", check=True)
        with open(marks, encoding="ascii") as file:
            return {int(line.split()[0][1:]): line.split()[1] for line in file}
