# SPDX-License-Identifier: MIT
"""Registries by the thousand: commands and joins without a process for each (by_hand.c), objects of git read by ourselves.

Registries that are joined keep their objects in one folder, so that nothing has to be fetched before.
"""
import contextlib
import json
import os
import subprocess
import sys
import threading
import zlib

sys.dont_write_bytecode = True

class Said:
    def __init__(self, code, out, err):
        self.code, self.out, self.err = code, out, err


class Programs:
    """One process for all commands and joins (by_hand.c); where it ends unasked, that is what the command did."""

    def __init__(self, binaries, variables):
        self.path = os.path.join(os.path.dirname(binaries), "warm", "by_hand")
        self.variables = variables
        self.process = None
        self.turn = threading.Lock()

    def begin(self):
        self.process = subprocess.Popen([self.path], env=self.variables, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE)

    def end(self):
        if self.process:
            self.process.communicate()
            self.process = None

    def answer(self, words, folder, variables):
        """A command of ours, as coretally WORDS in that folder: its exit code and what it said on both streams, as bytes."""
        strings = [str(len(words)), folder, *words, *(f"{name}={value}" for name, value in {**self.variables, **variables}.items())]
        text = b"".join(os.fsencode(string) + b"\0" for string in strings)
        with self.turn:
            if not self.process:
                self.begin()
            self.process.stdin.write(b"%d\n%s" % (len(text), text))
            self.process.stdin.flush()
            head = self.process.stdout.readline().split()
            if len(head) == 3:
                code, out, err = [int(number) for number in head]
                return code, self.process.stdout.read(out), self.process.stdout.read(err)
            _, errors = self.process.communicate()
            code = self.process.returncode
            self.process = None
            return code or 255, b"", b"the process ended: %d: %s" % (code, errors[-2000:])

    def run(self, words, folder, **variables):
        code, *said = self.answer(words, folder, variables)
        return Said(code, *[text.decode("utf-8", "backslashreplace") for text in said])

    def join(self, registry, commit):
        """The registry's branch goes to the join with that commit; what struct joined holds, or None and what was said."""
        said = self.run(["by-hand", registry, commit], os.path.dirname(registry))
        return (json.loads(said.out) if said.code == 0 else None), said


class Registry:
    """A bare registry. Objects once read are remembered for all registries of this process, by their ids."""

    known = {}

    def __init__(self, path):
        self.path = path

    @classmethod
    def beside(cls, path, other, objects):
        """A new one at the tip of the other, with its objects in a folder that several may share."""
        os.makedirs(os.path.join(path, "refs", "heads"))
        for name in ("HEAD", "config"):
            os.link(os.path.join(other.path, name), os.path.join(path, name))
        os.symlink(objects, os.path.join(path, "objects"))
        made = cls(path)
        made.set_tip(other.tip())
        return made

    @staticmethod
    def objects_on(path, other):
        """A folder for objects on top of those of another registry."""
        os.makedirs(os.path.join(path, "info"))
        os.makedirs(os.path.join(path, "pack"))
        with open(os.path.join(path, "info", "alternates"), "w", encoding="utf-8") as file:
            file.write(os.path.join(other.path, "objects") + "\n")

    def tip(self):
        with open(os.path.join(self.path, "refs", "heads", "main"), encoding="ascii") as file:
            return file.read().strip()

    def set_tip(self, commit):
        with open(os.path.join(self.path, "refs", "heads", "main"), "w", encoding="ascii") as file:
            file.write(commit + "\n")

    def find(self, name):
        places = [os.path.join(self.path, "objects")]
        while places:
            objects = places.pop()
            try:
                with open(os.path.join(objects, name[:2], name[2:]), "rb") as file:
                    return zlib.decompress(file.read())
            except FileNotFoundError:
                with contextlib.suppress(FileNotFoundError):
                    with open(os.path.join(objects, "info", "alternates"), encoding="utf-8") as file:
                        places.extend(file.read().split())
        return self.find_packed(name)

    def find_packed(self, name):
        """What a git client brought in a pack."""
        done = subprocess.run(["git", "-C", self.path, "cat-file", "--batch"], input=name + "\n", capture_output=True, check=True,
                              encoding="latin-1")
        head, text = done.stdout.split("\n", 1)
        if head.endswith("missing"):
            raise SystemExit(f"{self.path}: no object {name}")
        _, kind, size = head.split()
        return (f"{kind} {size}\0" + text[:-1]).encode("latin-1")

    def read(self, name):
        """Kind and contents of an object: a commit as a Commit, a tree as (name, id, is folder), JSON as what it says."""
        if name not in Registry.known:
            head, data = self.find(name).split(b"\0", 1)
            kind = head.split(b" ")[0]
            Registry.known[name] = {b"tree": tree_of, b"commit": Commit, b"blob": blob_of}[kind](data)
        return Registry.known[name]

    def commit(self, name):
        return self.read(name)

    def files(self, commit):
        """{path: id of its bytes} of a commit."""
        return dict(self.under(self.commit(commit).tree, ""))

    def under(self, tree, before):
        for name, found, is_folder in self.read(tree):
            if is_folder:
                yield from self.under(found, before + name + "/")
            else:
                yield before + name, found

    def behind(self, tip):
        """The ids of all commits behind this one, and its own."""
        waiting = [tip]
        while waiting:
            commit = self.commit(waiting[-1])
            unknown = [name for name in commit.parents if self.commit(name).behind is None]
            if unknown:
                waiting += unknown
                continue
            commit.behind = frozenset([waiting.pop()]).union(*[self.commit(name).behind for name in commit.parents])
        return self.commit(tip).behind


class Commit:
    def __init__(self, data):
        head, self.message = data.decode().split("\n\n", 1)
        self.parents = []
        self.behind = None  # asked for by Registry.behind
        for line in head.split("\n"):
            word, rest = line.split(" ", 1)
            if word == "tree":
                self.tree = rest
            elif word == "parent":
                self.parents.append(rest)
            elif word == "author":
                self.author, when = rest.rsplit("> ", 1)
                self.time = int(when.split(" ")[0])


def tree_of(data):
    entries, at = [], 0
    while at < len(data):
        blank, end = data.index(b" ", at), data.index(b"\0", at)
        entries.append((data[blank + 1:end].decode(), data[end + 1:end + 21].hex(), data[at:blank] == b"40000"))
        at = end + 21
    return entries


def blob_of(data):
    if data[:1] == b"{":
        with contextlib.suppress(ValueError):
            return json.loads(data)
    return data
