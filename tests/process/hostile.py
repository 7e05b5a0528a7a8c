#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What may lie where the program expects a file: pipes that nobody writes to, devices, folders, links.

    hostile.py --bin DIR

Each command must end by itself within its few seconds, with the exit code and the words that say what is there; nothing is
recorded, and the command works again when the thing is gone.
"""
import argparse
import os
import subprocess
import sys
import tempfile

from damage_scene import VARIABLES

SECONDS = 10
FAILURES = []


class Scene:
    def __init__(self, folder, programs):
        self.folder = folder
        self.variables = dict(VARIABLES, PATH=programs + ":" + os.environ["PATH"], HOME=folder)
        for words in (("start", "901", "--title", "Slope fans"),
                      ("hole", "add", "U0012A", "--returns", "seafloor", "--rig-floor", "11.2", "--seafloor", "3021.4",
                       "--seafloor-by", "tagged", "--zone", "+05:30"),
                      ("hole", "add", "U0013A", "--returns", "ship", "--rig-floor", "11.2", "--seafloor", "600", "--seafloor-by",
                       "tagged", "--zone", "+00:00"),
                      ("pump", "add", "U0013A", "1", "--from", "2026-02-28 00:00", "--kind", "triplex", "--bore", "200",
                       "--stroke", "300"),
                      ("core", "add", "U0012A-1H", "3021.4", "+9.5", "--recovered", "9.43", "--sections", "6x1.5")):
            code, said = self.run(*words)
            if code:
                raise SystemExit("%s: exit %d\n%s" % (" ".join(words), code, said))

    def path(self, *parts):
        return os.path.join(self.folder, *parts)

    def run(self, *words, shell=None, folder=None, data="", **variables):
        """Exit code and all that was said; None for one that did not end."""
        try:
            done = subprocess.run(["bash", "-c", shell] if shell else ["coretally", *words], cwd=folder or self.folder,
                                  env=dict(self.variables, **variables), input=data, text=True, stdout=subprocess.PIPE,
                                  stderr=subprocess.STDOUT, timeout=SECONDS, check=False)
        except subprocess.TimeoutExpired:
            return None, "did not end within %d s" % SECONDS
        return done.returncode, done.stdout

    def expect(self, what, code, part, *words, **options):
        got, said = self.run(*words, **options)
        if got != code or part not in said:
            FAILURES.append("%s: exit %s, not %d with '%s':\n%s" % (what, got, code, part, said))


def typed_files(scene):
    """Files that a person names: a pipe is not waited for, what a shell hands over is read."""
    pipe = scene.path("pipe")
    os.mkfifo(pipe)
    pipe_words = "this is a pipe, not a file"
    with open(scene.path("names.csv"), "w", encoding="utf-8") as file:
        file.write("name\nU0012A-1H\n")
    scene.expect("trace --file", 3, pipe_words, "trace", "--file", pipe)
    scene.expect("import", 3, pipe_words, "import", "cores", pipe)
    scene.expect("--map", 3, pipe_words, "import", "cores", scene.path("names.csv"), "--map", pipe)
    scene.expect("convert --file", 3, pipe_words, "convert", "U0012A", "--from", "CSF-A", "--to", "CSF-B", "--file", pipe)
    scene.expect("evidence", 3, pipe_words, "correction", "add", "U0012A", "tally", "+1", "--reason", "joint missed",
                 "--evidence-file", pipe)
    scene.expect("correction table", 3, pipe_words, "correction", "add", "U0012A", "tide", pipe, "--reason", "gauge")
    scene.expect("layout", 3, pipe_words, "label", "print", "U0012A-1H", "--layout", pipe, "--out", "page.pdf")
    scene.expect("well file", 3, pipe_words, "well", "add", "U0012A", "--file", pipe)
    scene.expect("calculator", 3, pipe_words, "lag", "--file", pipe, "--bit", "1000", "--flow", "2")
    scene.expect("pump log", 3, pipe_words, "log", "add", "U0013A", pipe)
    scene.expect("device", 3, "this is a device, not a file", "trace", "--file", "/dev/zero")
    scene.expect("folder", 3, "this is a folder, not a file", "trace", "--file", scene.folder)
    scene.expect("standard input", 0, "901-U0012A-1H,0.000", "trace", "--file", "-", data="name\nU0012A-1H\n")
    scene.expect("/dev/stdin", 0, "901-U0012A-1H,0.000", shell="coretally trace --file /dev/stdin < names.csv")
    scene.expect("a shell's pipe", 0, "901-U0012A-1H,0.000", shell="coretally trace --file <(cat names.csv)")
    scene.expect("a shell's pipe, for a well", 0, "lag",
                 shell="coretally lag --bit 1500 --flow 2 --file <(printf 'what,name,top_m,bottom_m,length_m,outside_mm,"
                       "inside_mm\\nbore,casing,0,1500,,,312\\npart,drill pipe,,,,127,108\\n')")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--bin", required=True)
    args = parser.parse_args()
    for test in (typed_files,):
        with tempfile.TemporaryDirectory() as folder:
            test(Scene(folder, os.path.abspath(args.bin)))
    for failure in FAILURES:
        print(failure, file=sys.stderr)
    print("%d failures" % len(FAILURES))
    return 1 if FAILURES else 0


if __name__ == "__main__":
    sys.exit(main())
