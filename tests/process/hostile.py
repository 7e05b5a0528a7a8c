#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What may lie where the program expects a file: pipes that nobody writes to, devices, folders, links.

    hostile.py --bin DIR

Each command must end by itself within its few seconds, with the exit code and the words that say what is there; nothing is
recorded, and the command works again when the thing is gone.
"""
import os
import subprocess
import sys

from table import Table, asked, place, verdict

SECONDS = 10
BOMB = 160 << 20
MEMORY_KB = 150000  # less than the bomb unpacked


class Scene(Table):
    def __init__(self, programs, folder):
        super().__init__(programs, folder)
        for words in (("start", "901", "--title", "Slope fans"),
                      ("hole", "add", "U0012A", "--returns", "seafloor", "--rig-floor", "11.2", "--seafloor", "3021.4",
                       "--seafloor-by", "tagged", "--zone", "+05:30"),
                      ("hole", "add", "U0013A", "--returns", "ship", "--rig-floor", "11.2", "--seafloor", "600", "--seafloor-by",
                       "tagged", "--zone", "+00:00"),
                      ("pump", "add", "U0013A", "1", "--from", "2026-02-28 00:00", "--kind", "triplex", "--bore", "200",
                       "--stroke", "300"),
                      ("core", "add", "U0012A-1H", "3021.4", "+9.5", "--recovered", "9.43", "--sections", "6x1.5")):
            self.act(*words)

    def said(self, *words, shell=None, data="", **variables):
        """Exit code and all that was said."""
        done = self.start(["bash", "-c", shell] if shell else ["coretally", *words], data, env=variables, seconds=SECONDS,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        return done.returncode, done.stdout

    def expect(self, what, code, part, *words, **options):  # pylint: disable=arguments-differ
        got, said = self.said(*words, **options)
        if got != code or part not in said:
            self.fail("%s: exit %s, not %d with '%s':\n%s" % (what, got, code, part, said))


def typed_files(scene):
    """Files that a person names: a pipe is not waited for, what a shell hands over is read."""
    pipe = scene.under("pipe")
    os.mkfifo(pipe)
    pipe_words = "this is a pipe, not a file"
    with open(scene.under("names.csv"), "w", encoding="utf-8") as file:
        file.write("name\nU0012A-1H\n")
    scene.expect("trace --file", 3, pipe_words, "trace", "--file", pipe)
    scene.expect("import", 3, pipe_words, "import", "cores", pipe)
    scene.expect("--map", 3, pipe_words, "import", "cores", scene.under("names.csv"), "--map", pipe)
    scene.expect("convert --file", 3, pipe_words, "convert", "U0012A", "--from", "CSF-A", "--to", "CSF-B", "--file", pipe)
    scene.expect("evidence", 3, pipe_words, "correction", "add", "U0012A", "tally", "+1", "--reason", "joint missed",
                 "--evidence-file", pipe)
    scene.expect("correction table", 3, pipe_words, "correction", "add", "U0012A", "tide", pipe, "--reason", "gauge")
    scene.expect("layout", 3, pipe_words, "label", "print", "U0012A-1H", "--layout", pipe, "--out", "page.pdf")
    scene.expect("well file", 3, pipe_words, "well", "add", "U0012A", "--file", pipe)
    scene.expect("calculator", 3, pipe_words, "lag", "--file", pipe, "--bit", "1000", "--flow", "2")
    scene.expect("pump log", 3, pipe_words, "log", "add", "U0013A", pipe)
    scene.expect("device", 3, "this is a device, not a file", "trace", "--file", "/dev/zero")
    scene.expect("folder", 3, "this is a folder, not a file", "trace", "--file", scene.work)
    scene.expect("standard input", 0, "901-U0012A-1H,0.000", "trace", "--file", "-", data="name\nU0012A-1H\n")
    scene.expect("/dev/stdin", 0, "901-U0012A-1H,0.000", shell="coretally trace --file /dev/stdin < names.csv")
    scene.expect("a shell's pipe", 0, "901-U0012A-1H,0.000", shell="coretally trace --file <(cat names.csv)")
    scene.expect("a shell's pipe, for a well", 0, "lag",
                 shell="coretally lag --bit 1500 --flow 2 --file <(printf 'what,name,top_m,bottom_m,length_m,outside_mm,"
                       "inside_mm\\nbore,casing,0,1500,,,312\\npart,drill pipe,,,,127,108\\n')")


def stored_files(scene):
    """Files that git keeps: a pipe, a device or a bomb in the place of one is told, and what was there works again after."""
    registry = scene.under("registry.git")
    scene.git("config", "core.logAllRefUpdates", "always")
    scene.git("config", "include.path", "more-settings")
    tip = scene.tip()
    scene.git("tag", "arrival")
    loose = "objects/%s/%s" % (tip[:2], tip[2:])
    read = ("depth", "U0012A-1H")
    write = ("core", "add", "U0012A-2H", "3030.9", "+9.5", "--recovered", "9", "--dry-run")
    for name, code, part, commands in (
            ("HEAD", 8, "where git keeps a file", (read, write)), ("config", 8, "where git keeps a file", (read, write)),
            ("packed-refs", 8, "where git keeps a file", (read, write)), ("refs/heads/main", 8, "git keeps a file", (read, write)),
            ("refs/tags/arrival", 8, "where git keeps a file", ((*read, "--as-of", "arrival"),)),
            ("refs/heads/night", 8, "where git keeps a file", ((*read, "--as-of", "night"),)),
            ("refs/remotes/origin/main", 8, "where git keeps a file", ((*read, "--as-of", "origin/main"),)),
            ("more-settings", 8, "where git keeps a file", (read, write)), ("shallow", 8, "where git keeps a file", (read,)),
            ("objects/info/alternates", 8, "where git keeps a file", (read,)),
            ("objects/pack/pack-x.idx", 8, "where git keeps a file", (read,)),
            ("logs/refs/heads/main", 8, "where git keeps a file", (read,)),
            (loose, 8, "this is a pipe, not a file", (read, write)),
            ("coretally.lock", 9, "this is a pipe, not a file", (("core", "add", *write[2:-1]),))):
        place = os.path.join(registry, name)
        kept = place + ".kept"
        os.makedirs(os.path.dirname(place), exist_ok=True)
        if os.path.exists(place):
            os.rename(place, kept)
        os.mkfifo(place)
        for words in commands:
            scene.expect("a pipe as %s: %s" % (name, words[0]), code, part, *words)
        os.remove(place)
        if os.path.exists(kept):
            os.rename(kept, place)
        scene.expect("without the pipe as " + name, 0, "", *read)
    for name, size in (("HEAD", 1 << 31), ("packed-refs", 1 << 31), ("refs/heads/main", 1 << 31), ("config", 1 << 31)):
        place = os.path.join(registry, name)
        os.path.exists(place) and os.rename(place, place + ".kept")
        with open(place, "wb") as file:
            file.truncate(size)
        scene.expect("2 GB as " + name, 8, "bytes are more than", *read)
        os.remove(place)
        os.path.exists(place + ".kept") and os.rename(place + ".kept", place)
    # Settings that include themselves, many times each.
    with open(os.path.join(registry, "more-settings"), "w", encoding="utf-8") as file:
        file.write("[include]\n" + "\tpath = \"more-settings\" ; again\n" * 40)
    scene.expect("settings that include themselves", 9, "do they include one another?", *read)
    os.remove(os.path.join(registry, "more-settings"))
    os.mkfifo(scene.under(".gitconfig"))
    scene.expect("a pipe as the settings of a person", 8, "where git keeps a file", *read, GIT_CONFIG_GLOBAL="")
    os.remove(scene.under(".gitconfig"))
    scene.expect("in the end", 0, "", *read)


def bombs(scene):
    """A record that unpacks to far more than a record may have: refused before it is unpacked, loose and packed."""
    path = "holes/U0012A/cores/0001.json"
    git = ["git", "-C", scene.under("registry.git")]
    feed = ("blob\nmark :1\ndata %d\n" % BOMB).encode()
    with subprocess.Popen(git + ["-c", "fastimport.unpackLimit=0", "-c", "core.bigFileThreshold=1m", "fast-import", "--quiet"],
                          stdin=subprocess.PIPE, env=scene.env) as done:
        done.stdin.write(feed)
        for _ in range(BOMB >> 20):
            done.stdin.write(bytes(1 << 20))
        done.stdin.write(("\ncommit refs/heads/main\ncommitter M <m@x.example> 1772000000 +0000\ndata 4\nbomb\n"
                          "from refs/heads/main^0\nM 100644 :1 %s\n" % path).encode())
    if done.returncode:
        raise SystemExit("fast-import: %d" % done.returncode)
    depth = "ulimit -v %d; coretally depth U0012A-1H" % MEMORY_KB
    scene.expect("a bomb in a pack", 8, "%d bytes are more than the" % BOMB, shell=depth)
    scene.expect("a bomb in a pack, verify", 8, "bytes are more than the", shell="ulimit -v %d; coretally verify" % MEMORY_KB)
    packs = scene.under("registry.git", "objects", "pack")
    for name in os.listdir(packs):
        if name.endswith(".pack"):
            os.rename(os.path.join(packs, name), scene.under(name))
            os.remove(os.path.join(packs, name[:-5] + ".idx"))
            with open(scene.under(name), "rb") as file:
                subprocess.run(git + ["unpack-objects", "-q"], stdin=file, env=scene.env, check=True)
    scene.expect("a bomb as a loose object", 8, "%d bytes are more than the" % BOMB, shell=depth)


def many_names(scene):
    """A folder of 300 000 names."""
    blob = scene.git("hash-object", "-w", "--stdin", given="{}")
    lines = ["100644 blob %s\t%06d.json" % (blob, number) for number in range(300000)]

    def tree(entries):
        return scene.git("mktree", given="\n".join(entries) + "\n")

    above = "040000 tree %s\tcores" % tree(lines)
    for folder in ("holes/U0012A", "holes", ""):
        listed = scene.git("ls-tree", "main:" + folder if folder else "main").splitlines()
        name = above.partition("\t")[2]
        above = tree([line for line in listed if not line.endswith("\t" + name)] + [above])
        above = "040000 tree %s\t%s" % (above, folder.rpartition("/")[2])
    commit = scene.git("commit-tree", above.split()[2], "-p", "main", "-m", "many")
    scene.git("update-ref", "refs/heads/main", commit)
    for words in (("core", "list", "U0012A"), ("recovery", "U0012A"), ("label", "list", "U0012A")):
        scene.expect("300 000 names: " + " ".join(words), 8, "300000 names; no folder", *words)
    scene.expect("300 000 names: verify", 8, "300000 names", "verify")


def main():
    options = asked(__doc__)
    failed = []
    for test in (typed_files, stored_files, bombs, many_names):
        with place(options) as folder:
            scene = Scene(options.bin, os.path.join(folder, test.__name__))
            test(scene)
            failed += scene.failed
    return verdict(failed)


if __name__ == "__main__":
    sys.exit(main())
