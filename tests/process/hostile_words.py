#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Words that command a terminal, or are no text, through every door: what comes out is text, and what is recorded too.

    hostile_words.py --bin DIR [--all]

Each word goes through arguments, options, the environment and cells of tables (without --all a third of the doors a word,
in turn). Whatever comes out is UTF-8 without a control character, an override of direction or a noncharacter; an exit code
is a documented one; JSON parses by Python's parser. A word that has such a character is refused where it would be
recorded, and nothing is recorded then; one that has none is taken and comes back. A registry that holds such characters
already, put there with plain git, still answers every question, and its records can be amended.
"""
import json
import os
import sys

from table import Table, asked, place, verdict

FAILED = []

CONTROLS = [chr(code) for code in (1, 2, 7, 8, 9, 10, 11, 12, 13, 14, 27, 31, 127)]
C1 = [chr(code) for code in (0x80, 0x84, 0x85, 0x8D, 0x90, 0x9B, 0x9C, 0x9D, 0x9F)]
BIDI = [chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))]
ODD = [chr(code) for code in (0x2028, 0x2029, 0xFFF9, 0xFFFB, 0xFDD0, 0xFFFE, 0xFFFF, 0xE0001, 0xE007F, 0x1FFFE)]
BYTES = [b"\xff", b"\x80", b"\xc3", b"\xe2\x80", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\xc0\xaf", b"M\xfcller",
         b"\xf0\x9f\x92", b"\xfe\xff"]
SEQUENCES = ["\x1b[2J", "\x1b]0;title\x07", "\x1b[31mred", "\x9b31m", "\x1b]52;c;Z2l0\x07", "line\r\x1b[Aover",
             "abc\u202etxt.exe", "U0012A-1H\u2066-3"]
HOSTILE = [("x" + c + "y").encode() for c in CONTROLS + C1 + BIDI + ODD] + BYTES + [s.encode() for s in SEQUENCES]
FINE = ["caf\u00e9", "\u03a9", "\u6cb3\u5ca9", "\u0645\u0631\u062c\u0627\u0646", "\U0001f48e", "a \u2013 \u201cb\u201d",
        "=1+1", "+x", "-x", "@x", "'", "\"", "\\u202e", "<U+202E>", "%s%n", "a,b;c"]


def fail(*what):
    FAILED.append(" ".join(str(one) for one in what))


def is_flaw(code):
    return (code < 0x20 or 0x7F <= code <= 0x9F or 0x2028 <= code <= 0x202E or 0x2066 <= code <= 0x2069
            or 0xFFF9 <= code <= 0xFFFB or 0xFDD0 <= code <= 0xFDEF or code & 0xFFFE == 0xFFFE
            or 0xE0000 <= code <= 0xE007F)


def look(what, data):
    """Is it text that commands nothing? Line ends and tabs may be."""
    try:
        text = data.decode("utf-8", "strict")
    except UnicodeDecodeError as error:
        fail(what, "no UTF-8", error, data[:200])
        return ""
    for at, char in enumerate(text):
        if is_flaw(ord(char)) and char not in "\n\t" and text[at:at + 2] != "\r\n":
            fail(what, "raw U+%04X" % ord(char), repr(text[max(0, at - 40):at + 40]))
            break
    return text


class Place(Table):
    """What comes in and goes out are bytes here."""

    def run(self, *words, given=b"", env=None, must=None):
        words = [word if isinstance(word, bytes) else word.encode() for word in words]
        done = self.start([b"coretally", *words], given, env=as_text(env), text=False)
        out = look(words, done.stdout)
        talk = look(words, done.stderr)
        if done.returncode not in (0, 2, 3, 4, 5, 6, 7, 8, 9):
            fail(words, "exit", done.returncode, done.stderr[-500:])
        if must is not None and done.returncode not in must:
            fail(words, "exit", done.returncode, "not", must, talk)
        if b"--json" in words and done.returncode == 0:
            try:
                json.loads(out, parse_constant=lambda word: fail(words, "no JSON:", word))
            except ValueError as error:
                fail(words, "no JSON:", error, out[:300])
        return done.returncode, out, talk

    def git(self, *words, folder="", env=None):
        return self.start(["git", *words], folder=folder, env=as_text(env), codes=(0,), text=False).stdout.strip()

    def tip(self):
        return self.git("-C", "registry.git", "rev-parse", "HEAD")


def as_text(variables):
    """Bytes as the names and values of the environment have them here."""
    return {os.fsdecode(name): os.fsdecode(value) for name, value in (variables or {}).items()}


def scene(place):
    for words in (["start", "901", "--title", "Slope fans"],
                  ["hole", "add", "U0012A", "--returns", "seafloor", "--seafloor", "3021.4", "--seafloor-by", "tagged"],
                  ["core", "add", "U0012A-1H", "3021.4", "+9.5", "--recovered", "9.43", "--sections", "6x1.5,0.4"],
                  ["sample", "add", "U0012A-1H-3W,45-47", "--purpose", "isotopes", "--lab-id", "T-1"],
                  ["correction", "add", "U0012A", "tally", "+1", "--top", "3000", "--reason", "joint", "--evidence",
                   "sheet"],
                  ["label", "print", "U0012A-1H", "--out", "labels.pdf"]):
        place.run(*words, must=(0,))


ARGUMENTS = [
    ["W"], ["W", "list"], ["hole", "W"], ["hole", "list", "--W"], ["depth", "W"], ["depth", "W", "--json"], ["trace", "W"],
    ["explain", "W"], ["history", "W"], ["name", "W"], ["name", "W", "--json"], ["sample", "add", "W"],
    ["core", "add", "W", "1", "2"], ["core", "add", "U0012A-3H", "W", "+9.5"], ["hole", "add", "W", "--returns", "ship"],
    ["hole", "add", "U0014A", "--returns", "W"], ["hole", "add", "U0014A", "--returns", "ship", "--zone", "W"],
    ["depth", "U0012A-1H", "--scale", "W"], ["depth", "1H", "--hole", "W"], ["core", "show", "U0012A-1H", "--as-of", "W"],
    ["convert", "U0012A", "W", "--from", "CSF-A", "--to", "CSF-B"], ["section", "amend", "U0012A-1H-3", "--voids", "W",
                                                                       "--reason", "r"],
    ["sample", "amend", "U0012A-1H-3W,45-47", "--top", "W", "--reason", "r"], ["schema", "W"], ["template", "W"],
    ["import", "samples", "W"], ["import", "samples", "-", "--set", "W"], ["import", "samples", "-", "--map", "W"],
    ["label", "print", "U0012A-1H", "--layout", "W", "--dry-run"], ["label", "print", "U0012A-1H", "--out", "W",
                                                                      "--dry-run"],
    ["label", "print", "U0012A-1H", "--what", "W"], ["hole", "list", "--registry", "W"], ["hole", "list", "--registry", "W",
                                                                                        "--json"],
    ["lag", "--bores", "W", "--string", "dp,,5in", "--flow", "300gpm"], ["lag", "--file", "W"], ["compare", "W"],
    ["log", "add", "U0012A", "W"], ["correction", "add", "U0012A", "W", "+1", "--reason", "r"],
    ["correction", "add", "U0012A", "composite", "W", "--reason", "r"], ["correction", "show", "U0012A", "W"],
    ["correction", "add", "U0012A", "tally", "+1", "--top", "1", "--reason", "r", "--evidence-file", "W"],
    ["verify", "--since", "W"], ["audit", "U0012A", "--from", "W"], ["completion", "W"],
]
RECORDED = [
    (["sample", "add", "U0012A-1H-4W,1-3", "--remark", "W"], {}),
    (["sample", "add", "U0012A-1H-4W,1-3", "--lab-id", "W"], {}),
    (["sample", "add", "U0012A-1H-4W,1-3", "--station", "W"], {}),
    (["sample", "amend", "U0012A-1H-3W,45-47", "--mass", "3", "--reason", "W"], {}),
    (["section", "amend", "U0012A-1H-3", "--whole-rounds", b"1,2,W", "--reason", "r"], {}),
    (["correction", "add", "U0012A", "tally", "+2", "--top", "3025", "--reason", "r", "--evidence", "W"], {}),
    (["sample", "add", "U0012A-1H-4W,1-3"], {b"GIT_AUTHOR_NAME": b"W"}),
    (["sample", "add", "U0012A-1H-4W,1-3"], {b"GIT_AUTHOR_EMAIL": b"W"}),
    (["sample", "add", "U0012A-1H-4W,1-3"], {b"CORETALLY_STATION": b"W"}),
    (["start", "902", "--title", "W", "--at", "other.git"], {}),
]


def put(word, words):
    return [part.replace(b"W", word) if isinstance(part, bytes) else word if part == "W"
            else part.replace("W", "").encode() + word if part == "--W" else part for part in words]


def through_arguments(place, whole):
    for number, word in enumerate(HOSTILE):
        for door, words in enumerate(ARGUMENTS):
            if whole or (number + door) % 3 == 0:
                place.run(*put(word, words))
        for name in (b"CORETALLY_HOLE", b"CORETALLY_REGISTRY", b"CORETALLY_CLOCK"):
            if whole or (number + len(name)) % 3 == 0:
                place.run("depth", "1H", "--json", env={name: word})


def through_cells(place, whole):
    for number, word in enumerate(HOSTILE):
        quoted = b'"' + word.replace(b'"', b'""') + b'"'
        tables = [
            (["trace", "--file", "-"], b"name,note\n" + quoted + b",x\nU0012A-1H-3," + quoted + b"\n"),
            (["trace", "--file", "-"], b"name," + quoted + b"\nU0012A-1H-3,x\n"),
            (["convert", "U0012A", "--file", "-", "--from", "CSF-A", "--to", "CSF-B"],
             b"depth_m,note\n" + quoted + b",x\n3," + quoted + b"\n"),
            (["depth", "-"], word + b"\n"),
            (["import", "samples", "-"], b"hole,core,type,section,half,top_cm,bottom_cm,remark," + quoted
             + b"\nU0012A,1,H,3,W,60,62," + quoted + b",x\n"),
        ]
        for door, (words, given) in enumerate(tables):
            if whole or (number + door) % 3 == 0:
                before = place.tip()
                code, _, _ = place.run(*words, given=given)
                if words[0] == "import" and (code == 0 or place.tip() != before):
                    fail("import took", word)


def through_records(place):
    for word in HOSTILE:
        for words, env in RECORDED:
            if word == b"x\ny" and "--reason" in words and words[-1] == "W":
                continue  # a reason may have lines
            before = place.tip()
            code, _, talk = place.run(*put(word, words), env={key: word for key in env})
            if code != 3 or place.tip() != before or os.path.exists(os.path.join(place.work, "other.git")):
                fail(words, env, word, "was not refused:", code, talk)
    for number, word in enumerate(FINE):
        sample = f"U0012A-1H-5W,{number}-{number + 1}"
        place.run("sample", "add", sample, "--remark", word, "--sure", must=(0,))
        shown = place.run("sample", "show", sample, "--json", must=(0,))[1]
        if json.loads(shown)["record"].get("remark") != word:
            fail(word, "came back as", shown)


def through_a_well(place):
    """A whole record as JSON, where a character may hide behind an escape."""
    place.run("hole", "add", "U0013A", "--returns", "ship", "--rig-floor", "25", "--seafloor", "1000", "--seafloor-by",
              "tagged", must=(0,))
    for remark, code in (("plain", 0), ("x\u202ey", 3), ("x\u0085y", 3)):
        state = {"number": 1, "from": "2026-02-0%dT00:00:00Z" % (1 + code),
                 "bores": [{"kind": "open", "top_m": 0, "diameter_m": 0.3}],
                 "string": [{"name": "pipe", "outside_m": 0.127}], "remark": remark}
        with open(os.path.join(place.work, "well.json"), "w", encoding="ascii") as file:
            json.dump({"format": 1, "kind": "well", "hole": "U0013A", "states": [state]}, file)
        place.run("well", "add", "U0013A", "--file", "well.json", "--sure", must=(code,))


QUESTIONS = [
    ["expedition", "show"], ["hole", "list"], ["hole", "show", "U0012A"], ["core", "list", "U0012A"],
    ["core", "show", "U0012A-1H"], ["core", "show", "U0012A-1H", "--history"], ["sample", "list", "U0012A"],
    ["sample", "show", "U0012A-1H-3W,45-47"], ["sample", "show", "U0012A-1H-3W,45-47", "--history"],
    ["section", "list", "U0012A"], ["depth", "U0012A-1H-3W,45-47"], ["trace", "U0012A-1H-3W,45-47"],
    ["explain", "U0012A-1H-3W,45-47"], ["history", "U0012A-1H-3W,45-47"], ["correction", "list", "U0012A"],
    ["correction", "show", "U0012A", "1"], ["label", "list"], ["recovery"], ["compare", "2026-03-01"], ["verify"],
]


def through_an_old_registry(place):
    """Records and commits made with plain git, as an earlier version or another hand may have left them."""
    place.git("clone", "-q", "registry.git", "work")
    work = os.path.join(place.work, "work")
    odd = "".join(C1 + BIDI + ODD)
    for name in ("holes/U0012A/cores/0001.json", "holes/U0012A/cores/0001.samples.json",
                 "holes/U0012A/corrections/0001.json"):
        path = os.path.join(work, name)
        with open(path, encoding="utf-8") as file:
            text = file.read()
        for plain in ('"purpose":"isotopes"', '"evidence":"sheet"', '"recovered_m":9.43'):
            key = "hazard" if "recovered" in plain else "purpose" if "purpose" in plain else "evidence"
            hostile = f'"{key}":"{odd}"'
            text = text.replace(plain, plain + "," + hostile if key == "hazard" else hostile)
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
    for number, word in enumerate([b"M\xfcller \x9b31m", "Eve \u202e\u2066".encode(), "\x1b[2JMallory".encode()]):
        with open(os.path.join(work, "note%d" % number), "wb") as file:
            file.write(word)
        place.git("add", "-A", folder=work)
        place.git("rm", "-q", "--cached", "note%d" % number, folder=work)
        place.git("commit", "-q", "--allow-empty", "-m", b"done " + word + b"\n\nStation: " + word + b"\nReason: " + word,
                  folder=work, env={b"GIT_AUTHOR_NAME": word, b"GIT_COMMITTER_NAME": word,
                                 b"GIT_COMMITTER_EMAIL": b"x@example.invalid"})
    place.git("push", "-q", "origin", "HEAD", folder=work)
    for words in QUESTIONS:
        for form in ("--json", "--csv", None):
            code, _, talk = place.run(*words, *([form] if form else []))
            if code not in ((0, 8) if words[0] == "verify" else (0,)):
                fail(words, form, "exit", code, talk)
    for out in ("page.html", "page.txt"):
        place.run("audit", "U0012A", "--out", out, must=(0,))
        with open(os.path.join(place.work, out), "rb") as file:
            look(["audit", out], file.read())
    place.run("audit", "U0012A", must=(0,))
    place.run("core", "amend", "U0012A-1H", "--recovered", "9.4", "--reason", "read again", "--sure", must=(0,))
    place.run("core", "amend", "U0012A-1H", "--hazard", "H2S", "--reason", "plain words", "--sure", must=(0,))


def main():
    args = asked(__doc__, all=False)
    assert len(HOSTILE) >= 51
    with place(args) as where:
        table = Place(args.bin, where, by_hand=True)
        scene(table)
        through_arguments(table, args.all)
        through_cells(table, args.all)
        through_records(table)
        through_a_well(table)
        through_an_old_registry(table)
    return verdict(FAILED, f"{len(HOSTILE)} hostile words, {len(FINE)} others, {len(ARGUMENTS)} doors:")


if __name__ == "__main__":
    sys.exit(main())
