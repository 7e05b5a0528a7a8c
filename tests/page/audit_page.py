#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The audit's page in a browser: it asks nobody for anything, fits a phone, prints, and its figures hold.

    audit_page.py --bin DIR [--keep FOLDER]

Headless Chromium renders the page; its network log is read, and a page that does ask for a picture shows that the log
would tell. Widths are measured in a frame of 360 and of 1280. The printed page is read back by pdftotext. Figures are held against
depths asked for state by state, and the commands that the page itself offers are typed.
"""
import argparse
import html.parser
import json
import os
import re
import shutil
import subprocess
import sys
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
                document.getElementById('told').textContent = 'client ' + root.clientWidth + ' scroll ' + root.scrollWidth +
                    ' right ' + Math.ceil(wide) + ' size ' + getComputedStyle(page.querySelector('td')).fontSize;
            }};</script></body>""")
        told = re.search(r"client (\d+) scroll (\d+) right (\d+) size ([0-9.]+)px",
                         scene.browse("--virtual-time-budget=3000", "--dump-dom", url="file://" + scene.path("frame.html")))
        check(told, "the frame told nothing", width)
        if told:
            client, scroll, right = (int(told.group(at)) for at in (1, 2, 3))
            check(scroll <= client and right <= client, "wider than its frame of", width, told.group(0))
            check(float(told.group(4)) >= 13, "letters smaller than 13 px", told.group(0))


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
