#!/usr/bin/env python3
"""What is on disk when: each act traced by strace, its calls held against what a power cut would leave.

    durable.py --bin DIR

From the calls this keeps which files have bytes that were not synced, and which folders have names that were not synced. A
name that is taken away again counts no more. It must hold that
    a file has no unsynced bytes when it is moved or linked to another name (git's index, synced behind, and the objects of
    an act of many records, synced together, excepted),
    nothing at all is unsynced when a branch moves, save the file beside it that it is moved from,
    nothing at all is unsynced when the program says that something is recorded, started or where a page is.
A new registry is made in a folder beside its place, which nobody looks into before it is moved: all of it is synced then.
The registry's kernel lock is no record. Exit 77 (skipped) where strace may not trace.
"""
import glob
import os
import re
import shutil
import subprocess
import sys

from table import Table, asked, place, verdict

CALLS = "openat,open,creat,mkdir,mkdirat,write,pwrite64,writev,rename,renameat,renameat2,link,linkat,symlink,unlink,unlinkat," \
        "fsync,fdatasync,syncfs,sync,ftruncate"
SAID = re.compile(r'write\(1<[^>]*>, "(?:recorded: |started: |page: |\d+ pages: )')
NO_RECORD = ("/coretally.lock",)


class Disk:
    """What a power cut would lose."""

    def __init__(self, there, is_bulk):
        self.there = there
        self.is_bulk = is_bulk
        self.bytes = set()
        self.names = {}
        self.problems = []
        self.moves = 0
        self.said = 0

    def name(self, path):
        self.names.setdefault(os.path.dirname(path), set()).add(path)

    def gone(self, path):
        self.bytes.discard(path)
        self.names.get(os.path.dirname(path), set()).discard(path)

    def unsynced(self, but=()):
        files = {path for path in self.bytes if path not in but and not path.endswith(NO_RECORD)}
        names = {path for some in self.names.values() for path in some
                 if path not in but and not path.endswith(NO_RECORD)}
        return sorted(files | names)

    def demand(self, what, line, but=()):
        left = self.unsynced(but)
        if left:
            self.problems.append(f"{what}: not on disk: {' '.join(left[:4])} ({len(left)}) at {line}")

    def moved(self, source, target, line, linked):
        is_hidden = "/registry.git.part-" in target
        if source in self.bytes and not source.endswith("/index.lock") and not is_hidden and \
                not (self.is_bulk and "/tmp_object_git2_" in source):
            self.problems.append(f"{source} is given another name before it is on disk: {line}")
        if "/refs/heads/" in target:
            self.moves += 1
            if not is_hidden:
                self.demand("the branch moves", line, {source})
        if "/registry.git.part-" in source and not is_hidden:
            self.demand("the registry is put into its place", line)
        self.name(target)
        if source in self.bytes:
            self.bytes.add(target)
        for folder in [one for one in self.names if one == source or one.startswith(source + "/")]:
            self.names[target + folder[len(source):]] = {target + one[len(source):] for one in self.names.pop(folder)}
        if not linked:
            self.gone(source)

    def take(self, line, folder):
        at = line.find("= ")
        if re.search(r"\) += -1 ", line):
            return
        opened = re.match(r'(?:openat\(AT_FDCWD<[^>]*>, |open\(|creat\()"([^"]*)", ([A-Z_|]+)', line)
        quoted = [os.path.normpath(os.path.join(folder, one)) for one in re.findall(r'"([^"]*)"', line)]
        target = re.match(r"\w+\(\d+<([^>]*)>", line)
        if opened and "O_CREAT" in opened.group(2):
            path = os.path.normpath(os.path.join(folder, opened.group(1)))
            if path not in self.there:
                self.there.add(path)
                self.name(path)
        elif line.startswith("mkdir"):
            self.there.add(quoted[0])
            self.name(quoted[0])
        elif line.startswith(("write(", "pwrite64(", "writev(", "ftruncate(")) and target and at > 0:
            if SAID.match(line):
                self.said += 1
                self.demand("it is said", line)
            elif target.group(1).startswith("/") and not target.group(1).startswith(("/dev", "/proc")):
                self.bytes.add(target.group(1))
        elif line.startswith(("fsync(", "fdatasync(")):
            self.bytes.discard(target.group(1))
            self.names.pop(target.group(1), None)
        elif line.startswith(("syncfs(", "sync(")):
            self.bytes.clear()
            self.names.clear()
        elif line.startswith(("rename", "link")):
            self.moved(quoted[0], quoted[1], line, line.startswith("link"))
            self.there.add(quoted[1])
        elif line.startswith("unlink"):
            self.there.discard(quoted[0])
            self.gone(quoted[0])


class Disks(Table):
    def done(self, command, folder=""):
        """What a shell command says, which must succeed."""
        done = self.sh(command, folder=folder)
        self.expect(command, done.returncode == 0, done)
        return done.stdout

    def traced(self, what, *words, folder="", moves=1, bulk=False):
        """One command: its calls are judged, and it must have said and moved as many branches as it should."""
        here = os.path.join(self.work, folder)
        trace = os.path.join(self.work, "trace")
        disk = Disk({os.path.join(at, name) for at, folders, files in os.walk(self.work) for name in folders + files}, bulk)
        done = subprocess.run(["strace", "-f", "-y", "-s", "40", "-o", trace, "-e", "trace=" + CALLS, self.env["P"], *words],
                              cwd=here, env=self.env, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False,
                              timeout=60)
        with open(trace, encoding="utf-8", errors="replace") as file:
            for line in file:
                disk.take(re.sub(r"^\d+ +", "", line.rstrip("\n")), here)
        if done.returncode != 0:
            disk.problems.append(f"exit {done.returncode}: {done.stderr}")
        if moves and (disk.moves != moves or not disk.said):
            disk.problems.append(f"the trace shows {disk.moves} moves of a branch and {disk.said} words about it")
        disk.demand("it ends", "the end")
        self.failed += [f"{what}: {one}" for one in disk.problems]


def scenes(table):
    """Each of them makes files or folders in another way."""
    table.traced("start in new folders", "start", "901", "--at", "deep/down/registry.git")
    table.traced("start", "start", "901")
    table.traced("hole", "hole", "add", "U0012A", "--returns", "seafloor")
    table.done('"$P" core add U0012A-1H 0 +9.5 --datum seafloor --recovered 9 --sections 6x1.5')
    table.done("git -C registry.git gc -q")  # object folders and loose branches go
    assert not glob.glob(os.path.join(table.work, "registry.git", "objects", "??"))
    table.traced("an act after git gc", "sample", "add", "U0012A-1H-1W, 10-12")
    killed = os.path.join(table.work, "killed")  # objects of an act that was killed before its branch moved
    shutil.copytree(os.path.join(table.work, "registry.git"), killed)
    table.done('"$P" sample add "U0012A-1H-2W, 10-12" --registry registry.git')
    for path in glob.glob(os.path.join(table.work, "registry.git", "objects", "??", "*")):
        there = os.path.join(killed, os.path.relpath(path, os.path.join(table.work, "registry.git")))
        os.makedirs(os.path.dirname(there), exist_ok=True)
        shutil.copy(path, there) if not os.path.exists(there) else None
    blob = table.done("git -C registry.git rev-parse main:holes/U0012A/cores/0001.samples.json").strip()
    torn = os.path.join(killed, "objects", blob[:2], blob[2:])  # as a power cut leaves a file that has a name, but no bytes
    os.chmod(torn, 0o644)
    os.truncate(torn, 0)
    table.traced("an act whose objects are there", "sample", "add", "U0012A-1H-2W, 10-12", "--registry", "killed")
    with open(os.path.join(table.work, "trace"), encoding="utf-8") as file:
        synced = set(re.findall(r"fsync\(\d+<([^>]*/objects/[^>]*)>", file.read()))
    table.done("git -C killed fsck --strict")
    commit = table.done("git -C killed rev-parse main").strip()
    for one in (commit, *table.done(f"git -C killed rev-parse {commit}^{{tree}} main:holes main:holes/U0012A/cores").split()):
        path = os.path.join(killed, "objects", one[:2], one[2:])
        if path not in synced:
            table.failed.append(f"an object left by another writer is not synced: {path}")

def bulk_and_evidence(table):
    rows = "\n".join(f"901,U0012,A,{number},H,{number * 10},{number * 10 + 9.5},seafloor" for number in range(2, 40))
    with open(os.path.join(table.work, "cores.csv"), "w", encoding="utf-8") as file:
        file.write("expedition,site,hole,core,type,top_m,bottom_m,datum\n" + rows + "\n")
    table.traced("an import", "import", "cores", "cores.csv", bulk=True)
    with open(os.path.join(table.work, "scan.txt"), "w", encoding="utf-8") as file:
        file.write("page 14 of the tally book\n")
    table.traced("evidence", "correction", "add", "U0012A", "shift", "1H", "+0.35", "--reason", "tide", "--evidence",
                 "page 14", "--evidence-file", "scan.txt")


def pages(table):
    table.traced("labels", "label", "print", "--new", "--out", "new.pdf", bulk=True)
    table.traced("labels of many pages", "label", "print", "U0012A-1H-1W", "U0012A-1H-2W", "--layout", "strip", "--out",
                 "new.png")
    table.traced("labels over a file", "label", "print", "U0012A-1H", "--out", "new.pdf", "--replace")
    table.traced("a proof", "label", "print", "U0012A-1H", "--proof", "--out", "proof.svg", moves=0)
    table.traced("an audit", "audit", "--out", "audit.html", moves=0)
    table.traced("an audit over a file", "audit", "--out", "audit.html", "--replace", moves=0)


def clones(table):
    table.done("git clone -q registry.git clone; git -C clone switch -q -c ship/core; git -C clone gc -q")
    shutil.rmtree(os.path.join(table.work, "clone", ".git", "refs", "heads", "ship"), ignore_errors=True)
    assert not glob.glob(os.path.join(table.work, "clone", ".git", "refs", "heads", "*", "*"))
    table.traced("an act in a clone", "hole", "add", "U0013A", "--returns", "seafloor", folder="clone")
    table.traced("a second act in a clone", "core", "add", "U0013A-1H", "0", "+9.5", "--datum", "seafloor", "--recovered", "9",
                 "--sections", "6x1.5", folder="clone")
    assert table.done("git status --porcelain", folder="clone") == ""


def main():
    args = asked(__doc__)
    try:
        probe = subprocess.run(["strace", "-o", os.devnull, "true"], capture_output=True, text=True, check=False)
        reason = probe.stderr if probe.returncode else ""
    except FileNotFoundError:
        reason = "there is no strace"
    if reason:
        print("skipped: strace may not trace here:", reason.strip())
        return 77
    with place(args) as work:
        table = Disks(args.bin, work)
        for part in (scenes, bulk_and_evidence, pages, clones):
            part(table)
    return verdict([line[:600] for line in table.failed])


if __name__ == "__main__":
    sys.exit(main())
