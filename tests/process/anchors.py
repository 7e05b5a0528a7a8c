#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Whoever rewrites a history is caught by one label or one report that was printed before.

    anchors.py --bin DIR [--labels N] [--keep FOLDER]

A registry is made act by act, and after each act a report, and now and then labels, leave it. Then its history is
rewritten at every act and in every way: message, author, date, committer, a record, an act dropped,
two acts changed over. Each anchor is held against each of these histories. What must come out is asked of git
(rev-list) and of the files of labels, read here. Then what is handed in wrongly, other lines, tags, renamed cores.
"""
import hashlib
import json
import os
import re
import sys
import time
import zlib

from table import Table, asked, place

CORE = ("--recovered", "9", "--sections", "6x1.5")
ACTS = (
    ("hole", "add", "U0012A", "--returns", "seafloor", "--rig-floor", "11.2", "--seafloor", "3021.4", "--seafloor-by", "tagged"),
    ("core", "add", "U0012A-1H", "3021.4", "+9.5", *CORE),
    ("label", "print", "U0012A-1H", "--out", "1.pdf"),
    ("core", "add", "U0012A-2H", "3030.9", "+9.5", *CORE),
    ("sample", "add", "U0012A-1H-3W, 45-47 cm", "--volume", "10"),
    ("label", "print", "--new", "--what", "core,sample", "--out", "2.pdf"),
    ("correction", "add", "U0012A", "tally", "+9.62", "--top", "3025", "--reason", "joint missed", "--evidence", "sheet 7"),
    ("core", "amend", "U0012A-1H", "--recovered", "9.1", "--reason", "tape read at the wrong end"),
    ("label", "print", "U0012A-1H", "--out", "3.pdf"),
    ("core", "amend", "U0012A-2H", "--name", "4H", "--reason", "driller's sheet 14"),
    ("sample", "withdraw", "U0012A-1H-3W, 45-47 cm", "--reason", "taken from 4H"),
)
WAYS = ("message", "author", "date", "committer", "record", "drop", "swap")


WORDS = {"anchor-lost", "anchor-beside", "anchor-unclear", "label-unrecorded", "label-differs"}


class Anchors(Table):
    def told(self, *words, at="registry.git", code=None, **more):
        """Rows by the anchor that they tell of; code: how it must end."""
        done = self.run("verify", "--quick", *words, "--registry", self.under(at), "--json", **more)
        if not done.stdout.startswith("[") or (code is not None and done.returncode != code):
            self.fail(words, "exit", done.returncode, done.stdout, done.stderr)
            return {}
        return {row["item"]: row for row in json.loads(done.stdout)}

    def put(self, name, text):
        with open(self.under(name), "wb") as file:
            file.write(text if isinstance(text, bytes) else text.encode())
        return self.under(name)

    def symbols(self):
        return [row["symbol"] for row in self.rows("label", "list")]


class Printed:
    """What left the registry: a state or the text of a label, its commit, and how many acts there were by then."""

    def __init__(self, text, state, acts):
        self.text, self.state, self.acts = text, state, acts
        self.is_label = "*" in text


def make(table):
    table.act("start", "901", "--title", "Slope fans")
    printed, known = [Printed(table.tip(), table.tip(), 1)], set()
    for number, words in enumerate(ACTS, 2):
        before = table.tip()
        table.act(*words)
        printed.append(Printed(table.tip(), table.tip(), number))
        for symbol in table.symbols():
            if symbol not in known:
                known.add(symbol)
                printed.append(Printed(symbol, before, number - 1))
                if not before.startswith(symbol.split()[3].lower()):
                    table.fail(symbol, "does not name the state before its act,", before)
    return printed


class Forger:
    """A repository of its own with the same history, rewritten: objects of git, written here."""

    def __init__(self, table, name):
        self.at = table.under(name)
        table.start(["git", "init", "-q", "--bare", "-b", "main", self.at], codes=(0,))
        ids = table.git("rev-list", "--reverse", "main").split()
        self.blobs, self.acts, files = {}, [], {}
        for one in ids:
            raw = table.start(["git", "-C", table.under("registry.git"), "cat-file", "commit", one], codes=(0,), text=False).stdout
            head, message = raw.split(b"\n\n", 1)
            now = dict(reversed(line.split("\t")) for line in table.git("ls-tree", "-r", one).splitlines())
            now = {path: told.split()[2] for path, told in now.items()}
            change = {path: now.get(path) for path in {*files, *now} if files.get(path) != now.get(path)}
            for blob in {*change.values()} - {None, *self.blobs}:
                self.blobs[blob] = table.start(["git", "-C", table.under("registry.git"), "cat-file", "blob", blob], codes=(0,),
                                               text=False).stdout
                self.put("blob", self.blobs[blob])
            who = [line for line in head.split(b"\n") if not line.startswith((b"tree ", b"parent "))]
            self.acts.append((who, message, change))
            files = now

    def put(self, kind, data):
        data = b"%s %d\0%s" % (kind.encode(), len(data), data)
        name = hashlib.sha1(data).hexdigest()
        path = os.path.join(self.at, "objects", name[:2], name[2:])
        if not os.path.exists(path):
            os.makedirs(os.path.dirname(path), exist_ok=True)
            with open(path, "wb") as file:
                file.write(zlib.compress(data, 1))
        return name

    def tree(self, files):
        """files: path to blob."""
        entries, folders = {}, {}
        for path, blob in files.items():
            first, _, rest = path.partition("/")
            if rest:
                folders.setdefault(first, {})[rest] = blob
            else:
                entries[first] = (b"100644 %s\0" % first.encode(), blob)
        for name, inside in folders.items():
            entries[name + "/"] = (b"40000 %s\0" % name.encode(), self.tree(inside))
        return self.put("tree", b"".join(head + bytes.fromhex(blob) for _, (head, blob) in sorted(entries.items())))

    def altered(self, act, way):
        who, message, change = act
        if way == "message":
            message = message.replace(b"\n", b" \n", 1)
        if way in ("author", "committer"):
            who = [line.replace(b"Mira", b"Myra") if line.startswith(way.encode()) else line for line in who]
        if way == "date":
            who = [re.sub(rb"> (\d+)", lambda found: b"> %d" % (int(found.group(1)) + 60), line) for line in who]
        if way == "record":
            path = max(path for path, blob in change.items() if blob)
            data = self.blobs[change[path]]
            digit = re.search(rb"\d(?=\D*$)", data)
            data = data[:digit.start()] + b"%d" % ((int(digit.group()) + 1) % 10) + data[digit.end():]
            change = {**change, path: self.put("blob", data)}
            self.blobs[change[path]] = data
        return who, message, change

    def rewrite(self, first, way):
        """A branch whose act number first (from 0) is another; its files at the end."""
        line = list(self.acts)
        if way == "drop":
            del line[first]
        elif way == "swap":
            line[first:first + 2] = line[first + 1:first - 1:-1]
        else:
            line[first] = self.altered(line[first], way)
        files, parent = {}, None
        for who, message, change in line:
            files.update(change)
            files = {path: blob for path, blob in files.items() if blob}
            head = [b"tree " + self.tree(files).encode(), *([b"parent " + parent.encode()] if parent else []), *who]
            parent = self.put("commit", b"\n".join(head) + b"\n\n" + message)
        branch = f"forged-{first}-{way}"
        for name in ("main", branch):
            with open(os.path.join(self.at, "refs", "heads", name), "w", encoding="ascii") as file:
                file.write(parent + "\n")
        return branch, files

    def is_renaming(self, first, way):
        return way == "record" and any(path.endswith("/renamed.json") for path in self.acts[first][2])

    def labels(self, files):
        """As recorded in all files, so that a renamed core is found without knowing of it."""
        return {(label["name"], label.get("copy", 1), label["scale"], label["state"], label.get("top_m"), label.get("bottom_m"))
                for path, blob in files.items() if path.endswith(".labels.json")
                for label in json.loads(self.blobs[blob])["labels"]}


def as_recorded(printed):
    """What the registry must have of the text of a label."""
    name, depth, scale, _, *copy = printed.text.split()
    top, bottom = (None, None) if depth == "+" else [float(end) for end in depth.split("/")]
    return (name.split("*")[0].replace(":", ",").replace("$", "#"), int(copy[0]) if copy else 1, scale, printed.state, top, bottom)


def try_forged(table, printed):
    """Every anchor against every history."""
    forger = Forger(table, "forged.git")
    everything = table.put("everything.txt", "\n".join(one.text for one in printed))
    histories, caught, words = 0, 0, set()
    for first in range(len(forger.acts)):
        for way in WAYS:
            if way in ("drop", "swap") and first in (0, len(forger.acts) - 1):
                continue  # without its last act it is an earlier state, and without its first no registry
            branch, files = forger.rewrite(first, way)
            history = set(table.git("rev-list", branch, at="forged.git").split())
            labels = forger.labels(files)
            rows = table.told("--as-of", branch, "--against", everything, at="forged.git", code=8)
            histories += 1
            for one in printed:
                holds = one.state in history and (not one.is_label or as_recorded(one) in labels)
                row = rows.get(one.text)
                words |= {row["flaw"]} if row else set()
                caught += not holds
                if one.is_label and holds and row and forger.is_renaming(first, way):
                    continue  # the list by which a renamed core is found is what was altered
                if holds == (row is not None) or (row and row["flaw"] not in WORDS):
                    table.fail(branch, one.text, "holds" if holds else "does not hold", row)
                if one.acts > first and holds:
                    table.fail(branch, one.text, "was printed after act", first, "and holds")
    table.expect(f"words {words}", words >= {"anchor-lost", "label-unrecorded", "label-differs"})
    return histories, caught


def try_reports(table):
    """Each kind of report holds, and of a history rewritten before it none does."""
    made = {"audit.html": ("audit", "--out", "audit.html"), "audit.txt": ("audit", "--out", "audit.txt")}
    for words in made.values():
        table.act(*words)
    for name, words in (("acts.txt", ("acts",)), ("acts.csv", ("acts", "--csv")), ("acts.json", ("acts", "--json")),
                        ("compare.txt", ("compare", table.git("rev-parse", "main~3"))), ("labels.csv", ("label", "list", "--csv")),
                        ("history.txt", ("history", "U0012A-1H")), ("history.json", ("history", "U0012A-1H", "--json")),
                        ("explain.txt", ("explain", "U0012A-1H"))):
        table.put(name, table.act(*words))
        made[name] = words
    branch, _ = Forger(table, "early.git").rewrite(1, "author")
    for name in made:
        held = table.run("verify", "--quick", "--against", table.under(name), codes=(0,)).stdout
        counted = re.match(r"\S+: (\d+) states?(?:, (\d+) labels?)? in \d+ lines?: (\d+) holds?, 0 fail", held)
        if not counted or int(counted.group(1)) + int(counted.group(2) or 0) != int(counted.group(3)):
            table.fail(name, held)
        told = table.told("--as-of", branch, "--against", table.under(name), at="early.git", code=8)
        with open(table.under(name), encoding="utf-8") as file:
            is_of_first = not name.endswith(".txt") and table.git("rev-list", "--max-parents=0", "main")[:10] in file.read()
        if not counted or len(told) != int(counted.group(3)) - is_of_first:
            table.fail(name, "of a rewritten history:", len(told), "told")


def try_written(table, printed):
    """As scanners, editors and people write it."""
    symbol = next(one.text for one in printed if one.is_label)
    whole, ten = table.tip(), table.tip()[:10]
    good = {
        "a byte-order mark": b"\xef\xbb\xbf" + symbol.encode() + b"\r\n" + whole.encode() + b"\r\n",
        "lower case, blanks": f"   {symbol.lower()}  \n\t{whole.upper()} \n", "no line end": f"{symbol}\n{ten}",
        "blanks inside": symbol.replace(" ", "   ") + "\n" + ten, "empty lines": f"\n\n{symbol}\n\n{ten}\n\n",
        "a table of a scanner": f"time,read\n14:02,{symbol}\n14:03,{ten}x\n14:04,commit {ten}\n",
        "both in one line": f"{symbol}\tstate {ten}\n"}
    for name, text in good.items():
        done = table.run("verify", "--quick", "--against", table.put("written", text))
        table.expect(name, done.returncode == 0 and re.search(r": 1 state, 1 label in \d+ lines?: 2 hold, 0 fail", done.stdout), done)
        done = table.run("verify", "--quick", "--against", "-", given=text if isinstance(text, str) else text.decode())
        table.expect(name + ", read from standard input", done.returncode == 0 and "2 hold, 0 fail" in done.stdout, done)
    for name, words, code, said in (
            ("no file", table.under("nowhere.txt"), 5, "there is no file and no tag"), ("an empty file", table.put("empty", ""), 3, "it is empty"),
            ("no text", table.put("bytes", os.urandom(5000).replace(b"*", b"")), 3, "it holds no state of a registry and no label"),
            ("nothing in it", table.put("letter.txt", "dear all,\nthe state of things\n"), 3, "it holds no state of a registry and no label"),
            ("a page of labels", table.under("1.pdf"), 3, "a page of labels is a picture"),
            ("a folder", table.work, 3, "folder"), ("a time", "2026-03-05", 5, "there is no file and no tag"),
            ("a label cut short", table.put("cut", symbol[:-1] + "\n"), 0, "1 more cannot be read"),
            ("a wrong check character", re.sub(r"\*.", "*%s" % ("A" if "*A" not in symbol else "B"), symbol), 0, "scan the label again"),
            ("another expedition", "902-U0012A-1H*%s 0.000/9.000 CSF-A %s", 8, "of expedition 902")):
        if "%s" in words:
            words = words % (check_character("902-U0012A-1H"), whole[:10].upper())
        done = table.run("verify", "--quick", "--against", words)
        table.expect(name, done.returncode == code and said in done.stdout + done.stderr, done)
    done = table.run("verify", "--hook", "pre-receive", "--against", whole)
    table.expect("a hook", done.returncode == 2, done)


def check_character(name):
    """ISO/IEC 7064 MOD 37,36, pure Python."""
    alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    product = 36
    for letter in name:
        total = (product + alphabet.index(letter if letter in alphabet else "Z")) % 36 or 36
        product = total * 2 % 37
    return alphabet[(37 - product % 36) % 36]


def try_many(table, printed, lines, seconds):
    """A night's work of a scanner that sends all it has again and again."""
    texts = [one.text for one in printed]
    path = table.put("many.txt", "".join(texts[at % len(texts)] + "\r\n" for at in range(lines)))
    begun = time.monotonic()
    done = table.run("verify", "--quick", "--against", path)
    took = time.monotonic() - begun
    table.expect("many lines", done.returncode == 0 and f"in {lines} lines" in done.stdout and took < seconds, done)
    return took


def try_lines(table):
    """What another copy recorded, joined or not; what was rewritten and is still here; tags."""
    table.start(["git", "clone", "-q", "--bare", table.under("registry.git"), table.under("shore.git")], codes=(0,))
    shore = ("--registry", table.under("shore.git"))
    table.act("core", "add", "U0012A-9H", "3060", "+9.5", *CORE, *shore)
    table.act("label", "print", "U0012A-9H", "--out", "shore.pdf", *shore)
    symbol = next(row["symbol"] for row in table.rows("label", "list", *shore) if "-9H*" in row["symbol"])
    state = symbol.split()[3].lower()
    told = table.told("--against", symbol, code=8)
    if told.get(symbol, {}).get("flaw") not in ("anchor-lost", "label-unrecorded") or len(told) != 1:
        table.fail("a label of shore", told)
    table.git("fetch", "-q", table.under("shore.git"), "main:refs/remotes/shore/main")
    done = table.run("verify", "--quick", "--against", state)
    table.expect("fetched, not joined", done.returncode == 8 and "on the line of shore/main" in done.stdout, done)
    done = table.run("verify", "--quick", "--against", "shore/main")
    table.expect("a branch of shore", done.returncode == 8 and "anchor-beside" in done.stdout, done)
    tip = table.tip()
    table.git("tag", "shift-5")
    table.git("tag", "-a", "-m", "sent ashore", "shift-6", env={"GIT_COMMITTER_DATE": "2026-03-01T05:00:00Z"})
    table.act("core", "amend", "U0012A-1H", "--recovered", "9.2", "--reason", "once more")
    table.act("join", table.under("shore.git"))
    table.told("--against", symbol, code=0)
    for name in ("shift-5", "shift-6", "shore/main", tip, tip[:7].upper(), table.git("rev-parse", "shift-6")):
        table.told("--against", name, code=0)
    done = table.run("verify", "--quick", "--against", "shift-5")
    since = int(table.git("rev-list", "--count", f"{tip}..main"))
    table.expect("what came since", f"; {since} commits since then" in done.stdout, done)
    table.git("tag", "of-a-file", table.git("rev-parse", "main:expedition.json"))
    done = table.run("verify", "--quick", "--against", "of-a-file")
    table.expect("a tag of a file", done.returncode in (5, 8), done)
    # rewritten, and the old line not yet swept away
    newest = table.tip()
    table.git("update-ref", "refs/heads/main", tip)
    table.git("update-ref", "-d", "refs/remotes/shore/main")
    done = table.run("verify", "--quick", "--against", newest)
    table.expect("left behind", done.returncode == 8 and "the commit is still here" in done.stdout, done)
    table.git("branch", "old", newest)
    done = table.run("verify", "--quick", "--against", newest[:10])
    table.expect("on another branch", done.returncode == 8 and "on the line of old" in done.stdout, done)
    # another object that begins with the same digits: only its name is looked at
    folder = table.under("registry.git", "objects", newest[:2])
    os.makedirs(folder, exist_ok=True)
    last = "0" if newest[-1] != "0" else "1"
    with open(os.path.join(folder, newest[2:-1] + last), "wb") as file:
        file.write(zlib.compress(b"blob 0\0"))
    done = table.run("verify", "--quick", "--against", newest[:10])
    table.expect("two with these digits", done.returncode == 8 and "anchor-unclear" in done.stdout, done)


def try_rebased(table):
    """A label whose act was set on top of others by git pull --rebase: recorded, and its state is gone."""
    for name in ("a", "b"):
        table.start(["git", "clone", "-q", table.under("plain.git"), table.under(name)], codes=(0,))
    there = ("--registry", table.under("b"))
    table.act("core", "add", "U0012A-8H", "3070", "+9.5", *CORE, *there)
    table.act("label", "print", "U0012A-8H", "--out", "8.pdf", *there)
    symbol = next(row["symbol"] for row in table.rows("label", "list", *there) if "-8H*" in row["symbol"])
    table.act("core", "add", "U0012A-7H", "3060", "+9.5", *CORE, "--registry", table.under("a"))
    table.git("push", "-q", at="a")
    table.git("pull", "-q", "--rebase", at="b")
    table.git("push", "-q", at="b")
    row = table.told("--against", symbol, at="plain.git", code=8).get(symbol, {})
    if row.get("flaw") != "anchor-lost" or "git pull --rebase" not in row.get("sentence", ""):
        table.fail("rebased:", row)


def main():
    options = asked(__doc__, lines=(50000, 1000000), seconds=20.0)
    with place(options) as work:
        table = Anchors(options.bin, work, by_hand=True)
        printed = make(table)
        table.told("--against", table.put("list.txt", "\n".join(one.text for one in printed)), code=0)
        histories, caught = try_forged(table, printed)
        try_reports(table)
        try_written(table, printed)
        took = try_many(table, printed, options.lines, options.seconds)
        table.start(["git", "clone", "-q", "--bare", table.under("registry.git"), table.under("plain.git")], codes=(0,))
        try_lines(table)
        try_rebased(table)
        return table.verdict(f"{len(printed)} anchors against {histories} histories, {caught} times caught, {options.lines} lines in",
                             f"{took:.1f} s,")


if __name__ == "__main__":
    sys.exit(main())
