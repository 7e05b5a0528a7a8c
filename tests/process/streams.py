#!/usr/bin/env python3
"""Streams that are closed, full or gone: nothing is written into a file that happens to have their number, an answer that
did not arrive is no success, and of an act that is recorded nobody is told less. And what is open is not left to a child.

    streams.py --bin DIR
"""
import os
import signal
import subprocess
import sys

from table import Table, asked, place


class Streams(Table):
    def lock_text(self):
        with open(os.path.join(self.work, "registry.git", "coretally.lock"), encoding="utf-8") as file:
            return file.read()


def closed_output(table):
    """Refused before anything is done, for acts and for answers."""
    for words in ("sample add 'U0012A-1H-2W, 10-12'", "core list", "verify", "manual", "--help", "--version",
                  "label print --new"):
        for closed in (">&-", "<&- >&-", "1</dev/null"):
            tip = table.tip()
            done = table.sh(f'"$P" {words} {closed}')
            what = f"{words} {closed}"
            table.expect(what, done.returncode == 9 and "standard output is closed" in done.stderr, done)
            table.expect(what + ": something was recorded", table.tip() == tip, done)
            table.expect(what + ": the lock holds text", table.lock_text() == "", done)
    done = table.sh('"$P" core list >&- 2>&-')
    table.expect("all closed", done.returncode == 9, done)


def closed_notes(table):
    """Notes are not heard; the act is made, and what it says goes nowhere but to the output."""
    for at, closed in enumerate(("2>&-", "<&- 2>&-", "<&-")):
        done = table.sh(f'"$P" sample add "U0012A-1H-3W, {10 * at}-{10 * at + 2}" {closed}')
        table.expect(closed, done.returncode == 0 and done.stdout.startswith("recorded: "), done)
        table.expect(closed + ": the lock holds text", table.lock_text() == "", done)
    for closed in ("2>&-", "<&- 2>&-", "<&-"):
        done = table.sh(f'"$P" verify {closed}')
        table.expect("verify " + closed, done.returncode == 0, done)
        done = table.sh(f'"$P" core show U0012A-99H {closed}')
        table.expect("an unknown core " + closed, done.returncode == 5, done)
    done = table.sh('"$P" import samples - <&-')
    table.expect("a table from nowhere", done.returncode not in (0, 8) and done.returncode > 0, done)
    fsck = table.sh("git -C registry.git fsck --strict")
    table.expect("fsck", fsck.returncode == 0, fsck)


def full_output(table):
    done = table.sh('"$P" core list > /dev/full')
    table.expect("an answer to a full disk", done.returncode == 9 and "could not be written" in done.stderr and
                 "recorded" not in done.stderr, done)
    tip = table.tip()
    done = table.sh('"$P" sample add "U0012A-1H-4W, 10-12" > /dev/full')
    now = table.tip()
    table.expect("an act told to a full disk", done.returncode == 9 and now != tip and
                 f"the act IS recorded: commit {now[:10]}" in done.stderr, done)
    done = table.sh('"$P" start 902 --at other.git > /dev/full')
    first = table.sh("git -C other.git rev-parse main").stdout.strip()
    table.expect("a start told to a full disk", done.returncode == 9 and first and
                 f"the act IS recorded: commit {first[:10]}" in done.stderr, done)
    tip = table.tip()
    done = table.sh('"$P" sample add "U0012A-1H-4W, 20-22" --dry-run > /dev/full')
    table.expect("a dry run told to a full disk", done.returncode == 9 and table.tip() == tip and
                 "IS recorded" not in done.stderr, done)


def many_open(table):
    """However many streams come open with us: what the git client hears and says is not mixed up with one of them."""
    table.git("clone", "-q", "--bare", ".", "../other-side.git")
    table.act("sample", "add", "U0012A-1H-1W,80-82")
    said = table.act("send", "other-side.git", "--dry-run")
    table.expect("send: " + said, " bytes)" in said)
    for last in range(3, 10):
        done = table.sh('"$P" send other-side.git --dry-run ' + " ".join(f"{one}<&0" for one in range(3, last + 1)))
        table.expect(f"streams to {last}", done.stdout == said, done)


def reader_gone(table):
    """Whoever reads our output ends before we do: the act is made and told on the other stream."""
    tip = table.tip()
    ours, theirs = os.pipe()
    os.close(ours)
    done = table.sh('"$P" sample add "U0012A-1H-5W, 10-12"', stdout=theirs, stderr=subprocess.PIPE)
    os.close(theirs)
    now = table.tip()
    table.expect("an act whose reader went", done.returncode == 9 and now != tip and
                 f"the act IS recorded: commit {now[:10]}" in done.stderr, done)


def files_that_may_not_grow(table):
    """As on a full disk: files end at so many blocks. Refused with a sentence, nothing half written, and the next act works."""
    refused = set()
    for at, blocks in enumerate((0, 0, 1, 4, 8, 16, 40)):
        for words in (f'sample add "U0012A-1H-1W, {at * 3}-{at * 3 + 1}"', f"label print U0012A-1H --out full{at}.pdf",
                      f"audit --out full{at}.html", f"start 903 --at full{at}.git"):
            tip = table.tip()
            done = table.sh(f'ulimit -f {blocks}; "$P" {words}')
            said = done.returncode == 0 or (done.returncode == 9 and done.stderr.startswith("coretally: "))
            table.expect(f"{words} in {blocks} blocks", said, done)
            if done.returncode:
                refused.add(words.split()[0])
                table.expect(f"{words} in {blocks} blocks: the registry moved", table.tip() == tip, done)
            left = [one for one in os.listdir(table.work) if ".part" in one]
            table.expect(f"{words} in {blocks} blocks left {left}", not left, done)
    table.expect(f"only {sorted(refused)} were refused", refused == {"sample", "label", "audit", "start"}, done)
    fsck = table.sh("git -C registry.git fsck --strict")
    done = table.sh('"$P" sample add "U0012A-1H-1W, 100-102"')
    table.expect("fsck after full disks", fsck.returncode == 0, fsck)
    table.expect("an act after full disks", done.returncode == 0, done)


def child_of(parent):
    """The child that a process has by now; None once it has ended without one."""
    while parent.poll() is None:
        with open(f"/proc/{parent.pid}/task/{parent.pid}/children", encoding="ascii") as file:
            children = file.read().split()
        if children:
            return children[0]
    return None


def has_lock(child):
    return any("coretally.lock" in os.readlink(f"/proc/{child}/fd/{one}") for one in os.listdir(f"/proc/{child}/fd"))


def drawing_left(table):
    """Labels are drawn in a child: where its parent is killed, the child has no lock to keep others waiting with."""
    for _ in range(20):  # until the child is caught at work
        with subprocess.Popen([table.env["P"], "label", "print", "U0012A-1H", "--out", "left.pdf", "--replace"],
                              cwd=table.work, env=table.env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as parent:
            try:
                child = child_of(parent)
                while child and has_lock(child):  # it closes what is not its own before it draws
                    pass
                if child:
                    os.kill(int(child), signal.SIGSTOP)
            except OSError:  # one of them has ended meanwhile
                child = None
            is_caught = child and parent.poll() is None
            parent.kill()
            parent.wait()
            if not is_caught:
                continue
            done = table.sh('"$P" sample add "U0012A-1H-6W, 10-12"')
            os.kill(int(child), signal.SIGKILL)
            table.expect("an act after a printing was killed", done.returncode == 0 and "waiting" not in done.stderr, done)
            return
    table.failed.append("no child of a printing was caught without the lock")


def main():
    options = asked(__doc__)
    with place(options) as work:
        table = Streams(options.bin, work).begin()
        for part in (closed_output, closed_notes, full_output, many_open, reader_gone, files_that_may_not_grow, drawing_left):
            part(table)
    return table.verdict()


if __name__ == "__main__":
    sys.exit(main())
