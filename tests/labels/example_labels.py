#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""The labels of the example expedition, through the program itself.

  * Every page that the story printed is read by decoders that are not ours (zbar, libdmtx), at 203 and 300 dots an inch:
    what they read is exactly what the registry says was printed.
  * Things of the example are printed with every layout in every format, and read likewise.
  * Right after the tally slip was recorded, the list of stale labels is exactly the labels whose printed depth differs
    from that day's: the printed ones are read from the files by git, that day's from `coretally depth`.

  example_labels.py --program PROGRAM --example FOLDER
"""
import argparse
import concurrent.futures
import csv
import io
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

from PIL import Image

LONG = "TESTS_LONG" in os.environ  # each page at both resolutions, each layout in each format
LAYOUTS = {"vial": "matrix"}  # the others have QR codes
SOME = ["U0012A-3H", "U0012A-10R-1W", "U0012A-2H-CCA", "U0012A-2H-3W,45-47", "U0012A-2H-3W,45-47/1",
        "U0012B-2H-6W,148-150", "U0013A-BAG3", "U0013A-GAS1"]


class Example:
    def __init__(self, program, example, folder):
        self.program = program
        self.folder = folder
        self.environment = {"PATH": os.environ["PATH"], "HOME": str(folder), "LC_ALL": "C.UTF-8", "TZ": "UTC",
                            "CORETALLY": str(program), "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1",
                            "GIT_AUTHOR_NAME": "Ida Lindqvist", "GIT_AUTHOR_EMAIL": "ida@shore.example",
                            "CORETALLY_STATION": "shore laboratory", "NO_COLOR": "1"}
        for name in ("ASAN_OPTIONS", "LSAN_OPTIONS", "UBSAN_OPTIONS"):
            if name in os.environ:
                self.environment[name] = os.environ[name]
        self.run(["bash", example / "story.sh"])

    def run(self, words, expect=(0,)):
        result = subprocess.run([str(word) for word in words], cwd=self.folder, env=self.environment, timeout=300,
                                stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        if result.returncode not in expect:
            sys.exit("%s: exit %d\n%s\n%s" % (words, result.returncode, result.stdout.decode()[-2000:],
                                              result.stderr.decode()[-2000:]))
        return result.stdout

    def coretally(self, *words):
        return self.run([self.program, *words])

    def labels(self, *words):
        return json.loads(self.coretally("label", "list", "--json", *words))

    def cells(self, page, layout, dpi):
        """The labels of a sheet cut out one by one, as a person holds the scanner over one of them."""
        text = self.coretally("label", "layout", layout).decode()
        numbers = {}
        for key, a, unit_a, b, unit_b in re.findall(r"^(\w+) = ([\d.]+)(in|cm)? x ([\d.]+)(in|cm)?", text, re.M):
            factors = [{"in": 25.4, "cm": 10}.get(unit, 1) * dpi / 25.4 for unit in (unit_a, unit_b)]
            numbers[key] = (float(a) * factors[0], float(b) * factors[1])
        width, height = numbers["label"]
        left, top = numbers.get("first", (0, 0))
        right, down = numbers.get("step", (width, height))
        columns, rows = (round(number * 25.4 / dpi) for number in numbers["grid"])
        image = Image.open(page)
        for at in range(columns * rows):
            x, y = left + at % columns * right, top + at // columns * down
            cell = page.with_name("%s-cell-%d.png" % (page.stem, at))
            image.crop((round(x), round(y), round(x + width), round(y + height))).save(cell)
            yield cell

    def texts(self, path, dpi, layout=None):
        """All that the decoders read on a page file, each once, sorted. Sheets are read whole and label by label."""
        with tempfile.TemporaryDirectory() as folder:
            target = pathlib.Path(folder) / "page"
            if path.suffix == ".pdf":
                self.run(["pdftoppm", "-r", dpi, "-gray", "-png", path, target])
            elif path.suffix == ".svg":
                self.run(["rsvg-convert", "-d", dpi, "-p", dpi, "-b", "white", "-o", str(target) + ".png", path])
            else:
                (pathlib.Path(folder) / "page.png").write_bytes(path.read_bytes())
            pages = sorted(pathlib.Path(folder).glob("*.png"))
            if layout in ("a4", "letter"):
                pages += [cell for page in pages for cell in self.cells(page, layout, dpi)]
            read = []
            if "matrix" in path.name:
                for page in pages:
                    read.append(self.run(["dmtxread", "-N1", "-m5000", page], (0, 1)).decode())
            else:
                read = self.run(["zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", *pages],
                                (0, 4)).decode().splitlines()
        return sorted(set(read))


def check_story(example):
    """The texts of the printed pages are those of the registry, each as often."""
    recorded = sorted(label["symbol"] for label in example.labels("--every"))
    sheets = {"2-march-samples": "a4", "14-march-samples": "a4", "5-march-hole-b": "letter"}
    pages = [path for path in sorted((example.folder / "labels").iterdir()) if path.stem != "proof"]
    if len(recorded) < 100 or len(pages) < 7:
        return ["the story printed %d labels on %d files: the test has lost its subject" % (len(recorded), len(pages))]
    faults = []
    for dpi in (203, 300) if LONG else (203,):
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            read = sorted(text for texts in pool.map(
                lambda path: example.texts(path, dpi, sheets.get(path.stem)), pages) for text in texts)
        if read != recorded:
            faults.append("%d dpi: %d labels recorded, %d read; not read %s; not recorded %s"
                          % (dpi, len(recorded), len(read), sorted(set(recorded) - set(read))[:5],
                             sorted(set(read) - set(recorded))[:5]))
    if example.texts(example.folder / "labels" / "proof.png", 300):
        faults.append("a symbol was read on a proof")
    return faults


def check_layouts(example):
    """Some things of the example in every layout and format; each text scanned leads back to its name."""
    layouts = [row["layout"] for row in json.loads(example.coretally("label", "layout", "--json"))]
    faults = []
    for at, layout in enumerate(layouts):
        forms = (("pdf", 203), ("svg", 300), ("png", 203))
        for form, dpi in forms if LONG else forms[at % 3:at % 3 + 1]:
            name = "%s%s-%d.%s" % (LAYOUTS.get(layout, "qr") + "-", layout, dpi, form)
            before = {label["symbol"] for label in example.labels("--every")}
            example.coretally("label", "print", *SOME, "--layout", layout, "--out", name, "--dpi", dpi)
            printed = sorted({label["symbol"] for label in example.labels("--every")} - before)
            stem = name.rsplit(".", 1)[0]
            files = sorted(example.folder.glob(stem + "*." + form))
            read = sorted(text for path in files for text in example.texts(path, dpi, layout))
            if len(printed) != len(SOME) or read != printed:
                faults.append("%s: printed %s, read %s" % (name, printed, read))
    for text in read:
        traced = json.loads(example.coretally("trace", "--json", text))
        name = text.split("*")[0].replace(":", ", ").replace("$", "#")
        if traced["name"].replace(" cm", "") != name or traced["stale"]:
            faults.append("%s was traced to %s" % (text, traced["name"]))
        if not any(", the one in hand" in label["is"] for label in traced["labels"]):
            faults.append("%s is not known as printed" % text)
    return faults


def depths_on(example, name, scale, state):
    """Top and bottom of a name in a state, as the depth command says, rounded as labels are."""
    out = example.coretally("depth", "--scale", scale, "--csv", "--as-of", state, name).decode()
    row = next(csv.DictReader(io.StringIO(out)))
    places = 2 if scale in ("MRF", "MSF") else 3
    return tuple(round(float(row[key]) + 0.0, places) if row[key] else None for key in ("top_m", "bottom_m"))


def check_stale(example):
    git = ["git", "-C", "registry.git"]
    commits = example.run([*git, "log", "--format=%H %s"]).decode().splitlines()
    slip = [line.split()[0] for line in commits if "Correction 1 of hole U0012A, tally" in line][-1]
    newest = {}
    for path in example.run([*git, "ls-tree", "-r", "--name-only", slip]).decode().splitlines():
        if path.endswith(".labels.json"):
            for label in json.loads(example.run([*git, "show", "%s:%s" % (slip, path)]))["labels"]:
                newest[label["name"]] = label
    expected = set()
    for name, label in newest.items():
        if depths_on(example, name, label["scale"], slip) != (label.get("top_m"), label.get("bottom_m")):
            expected.add(name)
    listed = {label["name"] for label in example.labels("--stale", "--as-of", slip)}
    if not expected or len(expected) == len(newest):
        return ["%d of %d labels went stale: the test has lost its subject" % (len(expected), len(newest))]
    return [] if expected == listed else ["stale by depth: %s; listed: %s"
                                          % (sorted(expected - listed), sorted(listed - expected))]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", type=pathlib.Path, required=True)
    parser.add_argument("--example", type=pathlib.Path, required=True)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        example = Example(options.program.resolve(), options.example.resolve(), pathlib.Path(folder))
        faults = check_story(example) + check_stale(example) + check_layouts(example)
    for fault in faults:
        print(fault)
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
