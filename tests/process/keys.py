#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Acts signed by keys, through git's own signing with ssh and gpg: made, refused whole, made anew on a branch that moved, and
what verify and the hook say of them.

    keys.py --bin DIR [--keep FOLDER]

Keys are made here, without a passphrase. Without ssh-keygen or gpg their part is left out, and said so. That a signature is
good is git's own word (git verify-commit), beside ours.
"""
import os
import re
import shutil
import sys

from table import Table, asked, place, verdict

MIRA, IDA = ("Mira Tamm", "mira@ship.example"), ("Ida Lindqvist", "ida@shore.example")
# Moves the branch while the first signature is made, as a git client may.
MOVES = """#!/bin/sh
case "$*" in
*sign*|*-bsau*) if test ! -e "{work}/moved"; then
    touch "{work}/moved"
    other=$(GIT_CONFIG_COUNT=0 git -C "{work}/registry.git" -c commit.gpgsign=false commit-tree 'main^{{tree}}' -p main -m 'By another

Act: log add
Station: rig')
    git -C "{work}/registry.git" update-ref refs/heads/main $other
    fi;;
esac
exec {program} "$@"
"""


class Ssh:
    name, setting, revoked = "ssh", "gpg.ssh.program", "key-false"

    def __init__(self, table):
        self.table = table
        self.program = shutil.which("ssh-keygen")
        for who in ("mira", "ida"):
            table.start(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", who, "-f", table.under(who)], codes=(0,))
        self.keys = {"mira": table.under("mira"), "ida": table.under("ida")}

    def known(self, table, at="registry.git"):
        lines = []
        for name, mail in (("mira", MIRA[1]), ("ida", IDA[1])):
            with open(self.keys[name] + ".pub", encoding="ascii") as file:
                lines.append(mail + " " + " ".join(file.read().split()[:2]))
        table.write("known", "\n".join(lines) + "\n")
        table.git("config", "gpg.ssh.allowedSignersFile", table.under("known"), at=at)

    def unknown(self, table):
        table.git("config", "--unset", "gpg.ssh.allowedSignersFile")
        return {}

    def revoke(self, table):
        table.git("config", "gpg.ssh.revocationFile", self.keys["ida"] + ".pub")

    def end(self):
        pass


class Gpg:
    name, setting, revoked = "openpgp", "gpg.program", "key-revoked"

    def __init__(self, table):
        self.table = table
        self.program = shutil.which("gpg")
        os.mkdir(table.under("ring"), 0o700)
        os.mkdir(table.under("empty"), 0o700)
        table.env["GNUPGHOME"] = table.under("ring")
        self.keys = {}
        for word, (name, mail) in (("mira", MIRA), ("ida", IDA)):
            self.gpg("--passphrase", "", "--quick-gen-key", f"{name} <{mail}>", "ed25519", "sign", "never")
            listed = self.gpg("--with-colons", "--list-keys", mail)
            self.keys[word] = re.search(r"^fpr:+([0-9A-F]+):", listed, re.M).group(1)

    def gpg(self, *words, **more):
        return self.table.start(["gpg", "--batch", "--quiet", "--pinentry-mode", "loopback", *words], codes=(0,), **more).stdout

    def known(self, table, at="registry.git"):
        """What this ring made it trusts."""

    def unknown(self, table):
        return {"GNUPGHOME": table.under("empty")}

    def revoke(self, table):
        path = table.under("ring", "openpgp-revocs.d", self.keys["ida"] + ".rev")
        with open(path, encoding="ascii") as file:
            self.gpg("--import", given=file.read().replace(":-----BEGIN", "-----BEGIN"))

    def end(self):
        self.table.start(["gpgconf", "--kill", "gpg-agent"])


def author(who):
    return {"GIT_AUTHOR_NAME": who[0], "GIT_AUTHOR_EMAIL": who[1]}


def hold(table, kind, what, flaws, proven, unknown=0, env=None):
    """What verify says: flaws by their words, how many acts are proven, how many not."""
    done = table.run("verify", "--csv", env=env)
    told = sorted(line.split(",")[1] for line in done.stdout.splitlines()[1:])
    count = re.search(r"proven to be the author's: (\d+)", done.stderr)
    open_count = re.search(r"not proven: (\d+)", done.stderr)
    found = (told, int(count.group(1)) if count else 0, int(open_count.group(1)) if open_count else 0)
    if found != (sorted(flaws), proven, unknown):
        table.failed.append(f"{kind.name}, {what}: {found} and not {(flaws, proven, unknown)}\n{done.stdout}{done.stderr}")


def rewrite(table, change):
    """The newest commit with other bytes, in its place."""
    text = change(table.start(["git", "-C", table.under("registry.git"), "cat-file", "commit", "main"], codes=(0,)).stdout)
    commit = table.git("hash-object", "-t", "commit", "-w", "--stdin", given=text)
    table.git("update-ref", "refs/heads/main", commit)


def refuse(table, kind):
    """Without a key nothing is recorded, and the next act is not held up."""
    tip = table.tip()
    table.git("config", "user.signingkey", table.under("nothing"))
    done = table.run("core", "add", "U0012A-2H", "9.5", "+9.5", "--datum", "seafloor", "--recovered", "9")
    if done.returncode != 9 or "nothing was recorded" not in done.stderr or table.tip() != tip:
        table.failed.append(f"{kind.name}: an act without its key: {done.returncode} {done.stdout}{done.stderr}")


def move_meanwhile(table, kind):
    """The branch moves while the act is signed: it is made anew, and that one is signed."""
    table.write("program", MOVES.format(work=table.work, program=kind.program))
    os.chmod(table.under("program"), 0o755)
    table.git("config", kind.setting, table.under("program"))
    table.act("core", "add", "U0012A-3H", "19", "+9.5", "--datum", "seafloor", "--recovered", "9")
    table.git("config", "--unset", kind.setting)
    table.git("verify-commit", "main")
    if table.git("log", "-1", "--format=%s", "main^") != "By another":
        table.failed.append(f"{kind.name}: the branch was not moved meanwhile")
    table.git("update-ref", "refs/heads/main", "main~2")


def join(table, kind):
    """A join is nobody's, and the same with keys or without."""
    table.start(["git", "clone", "-q", "--bare", "registry.git", "shore.git"], codes=(0,))
    table.act("core", "add", "U0012A-4H", "28.5", "+9.5", "--datum", "seafloor", "--recovered", "9")
    tip = table.tip()
    table.act("hole", "add", "U0012B", "--returns", "seafloor", "--registry", "shore.git")
    table.act("join", "shore.git")
    joined = table.tip()
    if "gpgsig" in table.git("cat-file", "commit", "main"):
        table.failed.append(f"{kind.name}: a join is signed")
    table.act("join", "registry.git", "--registry", "shore.git")
    if table.tip("shore.git") != joined:
        table.failed.append(f"{kind.name}: a join has two ids")
    hold(table, kind, "joined", ["key-missing"], 2)  # shore has no key set
    table.git("update-ref", "refs/heads/main", tip + "~1")


def push(table, kind):
    """The hook of another registry looks at what is not accepted yet."""
    table.start(["git", "clone", "-q", "--bare", "registry.git", "hub.git"], codes=(0,))
    table.git("update-ref", "refs/heads/main", "main~1", at="hub.git")
    kind.known(table, "hub.git")
    table.write("hub.git/hooks/pre-receive", table.act("verify", "--hook-text"))
    os.chmod(table.under("hub.git", "hooks", "pre-receive"), 0o755)
    good = table.tip()
    rewrite(table, lambda text: text.replace("Station: core table", "Station: core room", 1))
    for commit, accepted in ((table.tip(), False), (good, True)):
        table.git("update-ref", "refs/heads/main", commit)
        done = table.start(["git", "-C", table.under("registry.git"), "push", "-q", table.under("hub.git"), "main"])
        if (done.returncode == 0) != accepted or ("key-false" in done.stderr) == accepted:
            table.failed.append(f"{kind.name}: pushed, {accepted}: {done.returncode} {done.stderr}")


def story(table, kind):
    table.begin()
    table.git("config", "commit.gpgsign", "true")
    table.git("config", "gpg.format", kind.name)
    refuse(table, kind)
    table.git("config", "user.signingkey", kind.keys["mira"])
    table.act("core", "add", "U0012A-2H", "9.5", "+9.5", "--datum", "seafloor", "--recovered", "9")
    hold(table, kind, "nobody's keys are known", [], 0, 1, env=kind.unknown(table) if kind.name == "openpgp" else None)
    kind.known(table)
    table.git("verify-commit", "main")
    hold(table, kind, "signed", [], 1)
    move_meanwhile(table, kind)
    join(table, kind)
    push(table, kind)
    tip = table.tip()
    rewrite(table, lambda text: text.replace("Station: core table", "Station: core room", 1))
    hold(table, kind, "other contents", ["key-false"], 0)
    table.git("update-ref", "refs/heads/main", tip)
    rewrite(table, lambda text: text.replace("-----BEGIN ", "-----BEGUN ", 1))
    table.act("core", "add", "U0012A-3H", "19", "+9.5", "--datum", "seafloor", "--recovered", "9")
    hold(table, kind, "of no form, and a good one", ["key-false"], 1)
    table.git("update-ref", "refs/heads/main", tip)
    table.act("section", "amend", "U0012A-1H-1", "--curated", "1.49", "--reason", "ruler", env=author(IDA))
    hold(table, kind, "with the key of another", ["key-false"], 1)
    table.git("update-ref", "refs/heads/main", tip)
    table.git("config", "user.signingkey", kind.keys["ida"])
    table.act("sign", tip, env=author(IDA))
    hold(table, kind, "signed by two", [], 2)
    kind.revoke(table)
    hold(table, kind, "revoked", [kind.revoked], 1)


def main():
    options = asked(__doc__)
    failed = []
    tried = []
    with place(options) as folder:
        for kind_of, program in ((Ssh, "ssh-keygen"), (Gpg, "gpg")):
            if not shutil.which(program):
                print(f"{program} is not installed: its part is left out")
                continue
            table = Table(options.bin, os.path.join(folder, program), GIT_COMMITTER_DATE=None)
            kind = kind_of(table)
            story(table, kind)
            kind.end()
            tried.append(kind.name)
            failed += table.failed
    return verdict(failed, f"keys of {', '.join(tried) or 'nobody'}")


if __name__ == "__main__":
    sys.exit(main())
