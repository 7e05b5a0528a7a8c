#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Which registry an act goes into, where .git is a file or a link, and where it cannot be followed.

    places.py --bin DIR

Everything lies below another registry, the outer one, which is the nearest where nothing else is found. An act typed in a
worktree, in a clone with its git folder apart or in a module of another repository belongs into the registry that this is
one of; its files follow. What leads nowhere is refused. In no case may the outer registry change.
"""
import os
import subprocess
import sys

from table import CLOCK, Table, asked, place, verdict



class Scene(Table):
    def __init__(self, programs, folder):
        super().__init__(programs, folder, is_warm=True, GIT_AUTHOR_DATE=CLOCK, GIT_COMMITTER_DATE=CLOCK,
                         GIT_CONFIG_COUNT="1", GIT_CONFIG_KEY_0="protocol.file.allow", GIT_CONFIG_VALUE_0="always")
        self.count = 0
        self.must("coretally", "start", "901", "--title", "outer")
        os.makedirs(self.under("inner"))
        self.must("coretally", "start", "902", "--title", "inner", folder="inner")

    def words(self, *words, folder=""):
        return self.start(words, folder=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)

    def must(self, *words, folder=""):
        done = self.words(*words, folder=folder)
        if done.returncode:
            raise SystemExit("%s: exit %d\n%s" % (" ".join(words), done.returncode, done.stdout))
        return done.stdout.strip()

    def tip(self, folder, branch="main"):
        return self.must("git", "rev-parse", branch, folder=folder)

    def act(self, folder):
        """A hole of its own, so that no act is there already."""
        self.count += 1
        name = "U%04dA" % self.count
        return name, self.words("coretally", "hole", "add", name, "--returns", "seafloor", folder=folder)

    def say(self, what, done, why):
        self.fail("%s: %s\nexit %d\n%s" % (what, why, done.returncode, done.stdout))

    def goes_into(self, what, folder, git, branch, files):
        """An act in folder moves the branch of git; the files of the work tree follow."""
        outer, before = self.tip("registry.git"), self.tip(git, branch)
        name, done = self.act(folder)
        if done.returncode:
            return self.say(what, done, "refused")
        if self.tip("registry.git") != outer:
            return self.say(what, done, "it went into the outer registry")
        if self.tip(git, branch) == before:
            return self.say(what, done, "the branch %s of %s did not move" % (branch, git))
        status = self.must("git", "status", "--porcelain", folder=files)
        if not os.path.exists(self.under(files, "holes", name, "hole.json")) or status:
            self.say(what, done, "the files of %s did not follow: %s" % (files, status))
        shown = self.words("coretally", "hole", "show", name, folder=folder)
        if shown.returncode or self.words("coretally", "history", name, folder=folder).returncode not in (0, 3, 5):
            self.say(what, shown, "it cannot be read again")

    def refused(self, what, folder, code, word):
        outer, inner = self.tip("registry.git"), self.tip("inner/registry.git")
        _, done = self.act(folder)
        if done.returncode != code or word not in done.stdout:
            self.say(what, done, "not exit %d with '%s'" % (code, word))
        if self.tip("registry.git") != outer or self.tip("inner/registry.git") != inner:
            self.say(what, done, "something was recorded")


def followed(scene):
    scene.must("git", "-C", "inner/registry.git", "worktree", "add", "-q", "-b", "shore", scene.under("wt"))
    os.makedirs(scene.under("wt", "notes"))
    scene.goes_into("worktree of a bare registry", "wt", "inner/registry.git", "shore", "wt")
    scene.goes_into("folder in a worktree", "wt/notes", "inner/registry.git", "shore", "wt")
    inside = os.path.join("inner", "registry.git", "worktrees", "wt")
    scene.goes_into("inside of git for a worktree", inside, "inner/registry.git", "shore", "wt")
    scene.must("git", "clone", "-q", "inner/registry.git", "clone")
    scene.must("git", "-C", "clone", "worktree", "add", "-q", "-b", "side", scene.under("side"))
    scene.goes_into("worktree of a clone", "side", "clone", "side", "side")
    scene.goes_into("the clone beside it", "clone", "clone", "main", "clone")
    scene.must("git", "clone", "-q", "--separate-git-dir", "kept-apart", "inner/registry.git", "apart")
    scene.goes_into("git folder apart", "apart", "apart", "main", "apart")
    scene.must("git", "init", "-q", "super")
    scene.must("git", "-C", "super", "submodule", "--quiet", "add", "../inner/registry.git", "registry")
    scene.goes_into("module of another repository", "super/registry", "super/registry", "main", "super/registry")
    os.rename(scene.under("clone"), scene.under("moved"))
    os.makedirs(scene.under("linked"))
    for name in os.listdir(scene.under("moved")):
        if name != ".git":
            os.rename(scene.under("moved", name), scene.under("linked", name))
    os.symlink("../moved/.git", scene.under("linked", ".git"))
    scene.goes_into("a link to the git folder", "linked", "linked", "main", "linked")
    named = scene.words("coretally", "hole", "list", "--registry", "wt")
    if "U0001A" not in named.stdout:
        scene.say("worktree named", named, "not read")


def refused(scene):
    scene.must("git", "-C", "inner/registry.git", "worktree", "add", "-q", "--detach", scene.under("wt"))
    scene.refused("worktree on no branch", "wt", 9, "stands on a single commit")
    scene.must("git", "clone", "-q", "--separate-git-dir", "kept-apart", "inner/registry.git", "apart")
    scene.refused("inside of a git folder apart", "kept-apart", 3, "whose files lie elsewhere")
    for name, text, word in (("text", "see the wiki\n", "does not say where git keeps"),
                             ("empty", "", "does not say where git keeps"), ("bare-word", "gitdir:\n", "does not say where"),
                             ("nowhere", "gitdir: ../gone/.git/modules/x\n", "leads to ../gone/.git/modules/x, where git keeps"),
                             ("no-git", "gitdir: ..\n", "where git keeps nothing"),
                             ("long", "gitdir: " + "x" * 70000, "where git keeps nothing")):
        scene.write(name + "/.git", text)
        scene.write(name + "/expedition.json", "{}")
        scene.refused(".git with " + name, name, 5, word)
        os.makedirs(scene.under(name, "holes"))
        scene.refused("below .git with " + name, name + "/holes", 5, word)
    os.makedirs(scene.under("pipe"))
    os.mkfifo(scene.under("pipe", ".git"))
    scene.refused(".git is a pipe", "pipe", 3, "this is a pipe, not a file")
    os.makedirs(scene.under("dangling"))
    os.symlink("nowhere", scene.under("dangling", ".git"))
    scene.refused(".git is a link to nothing", "dangling", 5, "No such file")
    scene.must("git", "clone", "-q", "inner/registry.git", "torn")
    os.remove(scene.under("torn", ".git", "HEAD"))
    scene.refused("clone without HEAD", "torn", 8, "git finds none")
    os.makedirs(scene.under("stick"))
    os.symlink("/nowhere/registry.git", scene.under("stick", "registry.git"))
    scene.refused("registry.git is a link to nothing", "stick", 8, "git finds none")
    os.makedirs(scene.under("hollow", "registry.git"))
    scene.refused("registry.git is empty", "hollow", 8, "git finds none")


def passed_over(scene):
    """A repository that is no registry, also one whose .git is a file: the outer registry is meant, as ever."""
    scene.must("git", "init", "-q", "scripts")
    scene.write("scripts/read.me", "x\n")
    scene.must("git", "-C", "scripts", "add", ".")
    scene.must("git", "-C", "scripts", "commit", "-qm", "scripts")
    scene.must("git", "-C", "scripts", "worktree", "add", "-q", scene.under("scripts-too"))
    os.makedirs(scene.under("empty", ".git"))
    for folder in ("scripts", "scripts-too", "empty", "."):
        outer = scene.tip("registry.git")
        _, done = scene.act(folder)
        if done.returncode or scene.tip("registry.git") == outer:
            scene.say(folder, done, "did not go into the outer registry")


def main():
    options = asked(__doc__)
    failed = []
    for test in (followed, refused, passed_over):
        with place(options) as folder:
            scene = Scene(options.bin, os.path.join(folder, test.__name__))
            test(scene)
            failed += scene.failed
    return verdict(failed)


if __name__ == "__main__":
    sys.exit(main())
