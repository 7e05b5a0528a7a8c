#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The audit's page in a browser: it asks nobody for anything, fits a phone, prints, and its figures hold.

    audit_page.py --bin DIR [--keep FOLDER]

Headless Chromium renders the page; its network log is read, and a page that does ask for a picture shows that the log
would tell. Widths are measured in a frame of 360 and of 1280. The printed page is read back by pdftotext. Figures are held against
depths asked for state by state and against depths worked out here from the records alone, and the commands that the page itself offers are typed.
"""
import argparse
import csv
import html.parser
import io
import json
import os
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
from decimal import Decimal

FAILED = []
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync", "--hide-scrollbars", "--allow-file-access-from-files",
         "--host-resolver-rules=MAP * ~NOTFOUND"]
# What people type, at its worst for a page.
HOSTILE = "\"><script>document.title='x'</script><img src=http://asked.invalid/a.png> & </style> 'joint' \u00e9\u4e95 " + "w" * 300


def check(good, *what):
    if not good:
        FAILED.append(what)
        print("FAILED:", *what, file=sys.stderr)


class Scene:
    def __init__(self, programs, where):
        self.where, self.minute = where, 0
        self.programs = programs
        self.environment = dict(os.environ, HOME=where, PATH=programs + ":" + os.environ["PATH"], GIT_AUTHOR_NAME="Mira Tamm",
                                GIT_AUTHOR_EMAIL="mira@ship.example", CORETALLY_STATION="bridge", TZ="UTC", LC_ALL="C.UTF-8")

    def run(self, *words, given=None, binary=False, **own):
        self.minute += 1
        environment = dict(self.environment, CORETALLY_CLOCK="2026-03-01T%02d:%02d:00Z" % divmod(self.minute, 60), **own)
        done = subprocess.run(words, cwd=self.where, env=environment, input=given, capture_output=True, check=False, timeout=200)
        if done.returncode:
            raise SystemExit(f"{words}: exit {done.returncode}\n{done.stdout.decode()}{done.stderr.decode()}")
        return done.stdout if binary else done.stdout.decode()

    def tally(self, *words, **more):
        return self.run("coretally", *words, **more)

    def browse(self, *flags, url):
        profile = os.path.join(self.where, "profile")
        shutil.rmtree(profile, ignore_errors=True)
        return self.run("chromium", *FLAGS, "--user-data-dir=" + profile, *flags, url)

    def path(self, name):
        return os.path.join(self.where, name)

    def write(self, name, text):
        with open(self.path(name), "w", encoding="utf-8") as file:
            file.write(text)

    def read(self, name):
        with open(self.path(name), "rb") as file:
            return file.read()


def record(scene):
    scene.tally("start", "901", "--title", "Slope <fans> & \"more\"")
    scene.tally("hole", "add", "U0012A", "--returns", "seafloor", "--seafloor", "3021.4", "--seafloor-by", "tagged",
                "--seafloor-note", HOSTILE)
    for core in range(1, 31):
        scene.tally("core", "add", f"U0012A-{core}H", str(3021.4 + 9.5 * (core - 1)), "+9.5", "--recovered", "9", "--sections",
                    "6x1.5")
    scene.tally("sample", "add", "U0012A-20H-3W,45-47")
    before = scene.run("git", "-C", "registry.git", "rev-parse", "HEAD").strip()
    scene.write("sheet.csv", "joint,length\n312,9.62\n")
    scene.tally("correction", "add", "U0012A", "tally", "+9.62", "--top", "3100", "--reason", HOSTILE, "--evidence-file",
                "sheet.csv")
    scene.tally("correction", "add", "U0012A", "seafloor", "3021.9", "--seafloor-by", "camera", "--reason", "camera survey")
    scene.tally("correction", "add", "U0012A", "shift", "3H", "+0.31", "--reason", "fell")
    scene.tally("correction", "withdraw", "U0012A", "3", "--reason", "it did not")
    scene.tally("correction", "sign", "U0012A", "1", GIT_AUTHOR_NAME="Ida <Lindqvist>".replace("<", "(").replace(">", ")"),
                GIT_AUTHOR_EMAIL="ida@shore.example")
    scene.tally("core", "amend", "U0012A-5H", "--top", "3059.7", "--reason", "read from the wrong line")
    amended = scene.run("git", "-C", "registry.git", "rev-parse", "HEAD").strip()
    scene.tally("core", "amend", "U0012A-5H", "--top", "3059.4", "--reason", "it was the right line")
    scene.tally("section", "amend", "U0012A-20H-2", "--curated", "1.46", "--reason", "measured again")
    scene.tally("sign", amended, GIT_AUTHOR_NAME="Aino Brandt", GIT_AUTHOR_EMAIL="aino@shore.example")
    scene.tally("hole", "add", "U0012B", "--returns", "seafloor")
    return before


class Reader(html.parser.HTMLParser):
    """Everything that could fetch or run, and the words."""

    def __init__(self):
        super().__init__()
        self.found, self.tags, self.words, self.policy, self.inside = [], set(), [], None, []

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        if tag not in ("meta", "link", "img", "br", "line"):
            self.inside.append(tag)
        for name, value in attrs:
            if name in ("src", "href", "srcset", "data", "action", "background", "poster", "style", "xlink:href") or \
                    name.startswith("on"):
                self.found.append((tag, name, value))
        attributes = dict(attrs)
        if attributes.get("http-equiv") == "Content-Security-Policy":
            self.policy = attributes["content"]

    def handle_endtag(self, tag):
        if not self.inside or self.inside.pop() != tag:
            self.found.append((tag, "does not close what was opened", None))

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)

    def handle_data(self, data):
        if "style" not in self.inside:
            self.words.append(data)


def check_source(page):
    reader = Reader()
    reader.feed(page)
    reader.close()
    check(not reader.found, "something that fetches, runs or is not closed", reader.found[:3])
    check(not reader.inside, "elements left open", reader.inside)
    check(reader.policy is not None and "default-src 'none'" in reader.policy, "policy", reader.policy)
    check(not reader.tags & {"script", "img", "link", "iframe", "object", "embed", "form", "video", "audio", "a", "base"},
          "elements", reader.tags)
    check("url(" not in page and "@import" not in page, "the style fetches something")
    words = " ".join(reader.words)
    check("<script>document.title" in words, "what was typed is shown as it was typed")
    return words


def requests_of(scene, log):
    """What a page asked for; what the browser does on its own account has no page as its initiator."""
    with open(scene.path(log), encoding="utf-8") as file:
        text = file.read()
    try:
        events = json.loads(text)
    except ValueError:  # the browser left before the last bracket
        events = json.loads(text.rstrip().rstrip(",") + "]}")
    found = [event["params"] for event in events["events"] if isinstance(event.get("params"), dict)]
    check(any(str(it.get("url", "")).startswith("file://") for it in found) or len(found) > 100, "the log is empty", log)
    return {it["url"] for it in found if it.get("initiator", "not an origin") != "not an origin"
            and not str(it.get("url")).startswith("file://")}


def check_network(scene):
    scene.write("asks.html", "<!DOCTYPE html><title>asks</title><img src=\"http://asked.invalid/a.png\">")
    asked = {}
    for name in ("asks", "audit"):
        scene.browse("--log-net-log=" + scene.path(name + ".log"), "--dump-dom", url="file://" + scene.path(name + ".html"))
        asked[name] = requests_of(scene, name + ".log")
    check(asked["asks"] == {"http://asked.invalid/a.png"}, "the log does not tell of a request", asked["asks"])
    check(not asked["audit"], "the page asked", asked["audit"])


def check_width(scene):
    for width in (360, 1280):
        scene.write("frame.html", f"""<!DOCTYPE html><body style="margin:0"><iframe id="f" src="audit.html" width="{width}"
            height="800" style="border:0"></iframe><p id="told"></p><script>
            document.getElementById('f').onload = function () {{
                var page = this.contentDocument, root = page.documentElement, wide = 0;
                page.querySelectorAll('body *').forEach(function (it) {{
                    wide = Math.max(wide, it.getBoundingClientRect().right); }});
                var broken = 0, words = 0;
                page.querySelectorAll('th, td bdi').forEach(function (cell) {{
                    var nodes = page.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
                    for (var node = nodes.nextNode(); node; node = nodes.nextNode())
                        for (const word of node.data.matchAll(/[\\p{{L}}\\p{{N}}]+/gu)) {{
                            var range = page.createRange();
                            range.setStart(node, word.index);
                            range.setEnd(node, word.index + word[0].length);
                            var lines = new Set(Array.from(range.getClientRects(), function (it) {{ return Math.round(it.top); }}));
                            words += 1;
                            broken += lines.size > 1;
                        }}
                }});
                document.getElementById('told').textContent = 'first ' +
                    Math.ceil(page.querySelector('.first').getBoundingClientRect().bottom) + ' broken ' + broken + ' of ' +
                    words + ' client ' + root.clientWidth + ' scroll ' + root.scrollWidth +
                    ' right ' + Math.ceil(wide) + ' size ' + getComputedStyle(page.querySelector('td')).fontSize;
            }};</script></body>""")
        told = re.search(r"first (\d+) broken (\d+) of (\d+) client (\d+) scroll (\d+) right (\d+) size ([0-9.]+)px",
                         scene.browse("--virtual-time-budget=3000", "--dump-dom", url="file://" + scene.path("frame.html")))
        check(told, "the frame told nothing", width)
        if told:
            first, broken, words, client, scroll, right = (int(told.group(at)) for at in range(1, 7))
            check(width < 1280 or (words > 100 and not broken), "words broken in tables", told.group(0))
            check(width < 1280 or first <= 800, "the first screen does not fit in 800", told.group(0))
            check(scroll <= client and right <= client, "wider than its frame of", width, told.group(0))
            check(float(told.group(7)) >= 13, "letters smaller than 13 px", told.group(0))


def figures(text):
    return set(re.findall(r"[+-]?\d+\.\d{3}\b", text)), set(re.findall(r"\b[0-9a-f]{10}\b", text))


def check_print(scene, words):
    scene.browse("--no-pdf-header-footer", "--print-to-pdf=" + scene.path("audit.pdf"), url="file://" + scene.path("audit.html"))
    printed = scene.run("pdftotext", "-layout", "audit.pdf", "-")
    for wanted in figures(words):
        missing = {it for it in wanted if it not in printed}
        check(not missing, "not on paper", sorted(missing)[:5])
    check("never for well control" in " ".join(printed.split()), "the caution is not on paper")


def check_figures(scene, before, words):
    """Shifts, from depths before and after."""
    names = "".join(f"U0012A-{core}H\n" for core in range(1, 31)).encode()
    tops = []
    for state in ((), ("--as-of", before)):
        rows = scene.tally("depth", "-", "--scale", "DSF", "--csv", *state, given=names).splitlines()[1:]
        tops.append([Decimal(row.split(",")[3]) for row in rows])
    shifts = [after - then for after, then in zip(*tops)]
    groups = [(shifts[0], 0)] + [(shifts[at], at) for at in range(1, 30) if shifts[at] != shifts[at - 1]]
    check(len(groups) == 2, "two groups were expected", groups)
    flat = " ".join(words.split())
    for shift, first in groups:
        last = max(at for at in range(30) if shifts[at] == shift)
        row = f"{first + 1}H to {last + 1}H {tops[1][first]:.3f} {tops[1][last]:.3f} {tops[0][first]:.3f} {tops[0][last]:.3f} {shift:+.3f}"
        check(row in flat, "row of the plot", row)
    check(f"{min(shifts):+.3f} {max(shifts):+.3f} {sum(shifts) / 30:+.3f}" in flat, "least, greatest, mean of the cores")


def depths_at(scene, commit):
    """CSF-A of everything in U0012A by the records of a commit and nothing else: drilled top, what corrections add to it, less the
    seafloor, and curated lengths above (README, "Depths"); tops and bottoms by name."""
    hole = "holes/U0012A/"
    packed = scene.run("git", "-C", "registry.git", "archive", commit, hole, binary=True)
    with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
        files = {it.name: archive.extractfile(it).read() for it in archive if it.isfile()}
    paths = sorted(files)

    def read(path):
        return json.loads(files[path], parse_float=Decimal, parse_int=Decimal)
    seafloor, standing = read(hole + "hole.json")["seafloor_m"], []
    for path in (it for it in paths if re.search(r"corrections/\d+\.json$", it)):
        standing += [it for it in [read(path)] if "withdrawn" not in it]
    found = {}
    for path in (it for it in paths if re.search(r"cores/\d+\.json$", it)):
        core, top = read(path), Decimal(0)
        for it in standing:
            if it["what"] == "tally" and core["top_m"] >= it["top_m"] or it["what"] == "shift" and core["number"] == it["core"]:
                top += it["amount_m"]
        top += core["top_m"] - next((it["seafloor_m"] for it in standing if it["what"] == "seafloor"), seafloor)
        name = f"901-U0012A-{core['number']}{core['type']}"
        begins, core_top = {}, top
        for section in core["sections"]:
            begins[section["section"]] = top
            top += section["curated_m"]
            found["section", f"{name}-{section['section']}"] = begins[section["section"]], top
        found["core", name] = core_top, top
        samples = path.replace(".json", ".samples.json")
        for sample in read(samples)["samples"] if samples in paths else []:
            cut = "%d-%d cm" % (sample["top_m"] * 100, sample["bottom_m"] * 100)
            found["sample", f"{name}-{sample['section']}{sample['half']}, {cut}"] = tuple(
                begins[sample["section"]] + sample[end] for end in ("top_m", "bottom_m"))
    return found


def shifts_between(before, after):
    """Of the top or, where that stays, of the bottom."""
    both = [(key, before[key], after[key]) for key in before.keys() & after.keys() if after[key] != before[key]]
    return {key: new[0] - old[0] or new[1] - old[1] for key, old, new in both}


def told_of(shifts):
    """As the page tells it: how many, least, greatest, mean."""
    mean = sum(shifts.values()) / len(shifts)
    return f"{len(shifts)} {min(shifts.values()):+.3f} {max(shifts.values()):+.3f} {mean:+.3f}"


def check_moves(scene, before, text):
    """Which depths changed, by how much, by which act, who decided and signed: the page and its list against the records."""
    commits = [before] + scene.run("git", "-C", "registry.git", "rev-list", "--reverse", before + "..HEAD").split()
    depths = [depths_at(scene, commit) for commit in commits]
    rows = list(csv.DictReader(io.StringIO(scene.read("audit-moves.csv").decode())))
    expected, moving = [], []
    for at in range(1, len(commits)):
        shifts = shifts_between(depths[at - 1], depths[at])
        expected += [("act", commits[at], *key, shift) for key, shift in shifts.items()]
        if shifts:
            moving.append(commits[at])
            row = re.search(rf"^{commits[at][:10]}  U0012A  CSF-A +(\S+ +\S+ +\S+ +\S+)  ", text, re.M)
            check(row and " ".join(row.group(1).split()) == told_of(shifts), "row of an act", commits[at], told_of(shifts))
    ends = shifts_between(depths[0], depths[-1])
    expected += [("ends", "", *key, shift) for key, shift in ends.items()]
    for what in ("core", "section", "sample"):
        row = re.search(rf"^U0012A  {what}s +CSF-A +(\S+ +\S+ +\S+ +\S+)  ", text, re.M)
        of_kind = {key: shift for key, shift in ends.items() if key[0] == what}
        check(row and " ".join(row.group(1).split()) == told_of(of_kind), "what moved", what, told_of(of_kind))
    found = [(row["row"], row["act"], row["what"], row["name"], Decimal(row["moved_m"])) for row in rows
             if row["scale"] == "CSF-A"]
    check(sorted(found) == sorted(expected), "the list of moves", sorted(set(found) ^ set(expected))[:4])
    check(len(moving) == 7, "acts that move something", len(moving))
    first = text.split("The acts that moved depths")[0]
    check(len(first.split("\n")) <= 50, "lines of the first screen", len(first.split("\n")))
    check(re.search(r"^sound +yes: verify found 0 damaged, 0 wrong, 0 doubtful", first, re.M), "verify's answer")
    check(re.search(r"^evidence intact +yes: 1 of 1 ", first, re.M), "evidence intact")
    check(re.search(r"^names +typed, not proven", first, re.M), "names are not proven")
    check(re.search(r"^corrections not signed +1  U0012A 2$", first, re.M), "unsigned corrections")
    check(re.search(r"^other acts that moved depths, not signed +3  ", first, re.M), "unsigned amendments")
    amended = commits[-5][:10]
    check(re.search(rf"^{amended}  .*  Mira Tamm +Aino Brandt +none$", text, re.M), "who signed the amendment", amended)


def check_spoilt(scene):
    """A page of a registry in which the bytes of the evidence are others says so."""
    scene.run("git", "clone", "-q", "--bare", "registry.git", "spoilt.git")
    listed = scene.run("git", "-C", "spoilt.git", "ls-tree", "HEAD", "evidence/").split()
    other = scene.run("git", "-C", "spoilt.git", "hash-object", "-w", "--stdin", given=b"joint,length\n312,9.26\n").strip()
    folder = scene.run("git", "-C", "spoilt.git", "mktree", given=f"100644 blob {other}\t{listed[3][9:]}\n".encode()).strip()
    root = scene.run("git", "-C", "spoilt.git", "ls-tree", "HEAD")
    root = re.sub(r"tree [0-9a-f]{40}\tevidence", f"tree {folder}\tevidence", root)
    tree = scene.run("git", "-C", "spoilt.git", "mktree", given=root.encode()).strip()
    commit = scene.run("git", "-C", "spoilt.git", "commit-tree", tree, "-p", "HEAD", "-m", "Labels: 1 printed as small",
                       GIT_COMMITTER_NAME="Mira Tamm", GIT_COMMITTER_EMAIL="mira@ship.example").strip()
    scene.run("git", "-C", "spoilt.git", "update-ref", "HEAD", commit)
    text = scene.tally("audit", "--registry", "spoilt.git")
    check(re.search(r"^sound +NO: ", text, re.M), "a spoilt registry is called sound")
    check(re.search(r"^evidence intact +NO: 0 of 1 ", text, re.M), "spoilt evidence is called intact")


def check_ways(scene, page, words):
    """The commands of the page, typed in a folder with nothing but a clone."""
    scene.run("git", "clone", "-q", "--bare", "registry.git", "clone.git")
    lines = [line for line in words.split("\n") if re.match(r"(git|coretally) ", line)]
    check(len(lines) > 10, "commands of the page", len(lines))
    for line in lines:
        if line.startswith("git clone"):
            continue
        out = scene.run("sh", "-c", line)
        hashed = re.search(r":evidence/([0-9a-f]{40}) \| git hash-object", line)
        if hashed:
            check(out.strip() == hashed.group(1), line, out)
        if line.endswith("0001.json"):
            signed = scene.run("git", "-C", "clone.git", "show", "HEAD:holes/U0012A/corrections/0001.signed.json")
            check(out.strip() in signed, "the hash that was signed", out)
        if "merge-base" in line:
            check(out.strip() == "yes", line, out)
    check(scene.read("again.html") == page, "the same state gave other bytes")


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--bin", required=True)
    parser.add_argument("--keep")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        scene = Scene(os.path.realpath(options.bin), os.path.realpath(options.keep or folder))
        before = record(scene)
        scene.tally("audit", "--from", before, "--out", "audit.html")
        scene.tally("audit", "--from", before, "--out", "audit.txt")
        page = scene.read("audit.html")
        text = scene.read("audit.txt").decode()
        check(text == scene.tally("audit", "--from", before), "the file is what standard output gets")
        words = check_source(page.decode())
        check(figures(text)[1] == figures(words)[1], "commits of text and page", figures(text)[1] ^ figures(words)[1])
        check(figures(text)[0] <= figures(words)[0], "figures of the text that the page lacks")
        check_figures(scene, before, words)
        check_figures(scene, before, text)
        check_moves(scene, before, text)
        check_spoilt(scene)
        check_network(scene)
        check_width(scene)
        check_print(scene, words)
        check_ways(scene, page, words)
        counts = figures(words)
        print(f"{len(page)} bytes, {len(counts[0])} figures, {len(counts[1])} commits; {len(FAILED)} failed")
        if len(counts[0]) < 20 or len(counts[1]) < 5:
            check(False, "too little stood on the page to tell anything")
    return 1 if FAILED else 0


if __name__ == "__main__":
    sys.exit(main())
