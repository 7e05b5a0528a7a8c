#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What stands where the program is about to write is not written into: links, other names of files, pipes, files of people.

    links.py --bin DIR
"""
import glob
import os
import sys

from table import Table, asked, place

PRECIOUS = "the only copy of somebody's notes\n"


class Links(Table):
    """With files of people that must stay as they are."""

    serial = 0

    def precious(self):
        """A file that must stay as it is."""
        self.serial += 1
        path = self.under(f"notes-{self.serial}.txt")
        with open(path, "w", encoding="utf-8") as file:
            file.write(PRECIOUS)
        return path

    def is_kept(self, path):
        with open(path, "rb") as file:
            return file.read() == PRECIOUS.encode()


def locks(table):
    """Refused, whatever stands there; the next act works once it is gone."""
    lock = table.under("registry.git", "coretally.lock")
    act = '"$P" sample add "U0012A-1H-1W, 10-12"'
    for what, put in (("a link", os.symlink), ("another name of a file", os.link)):
        notes = table.precious()
        os.unlink(lock)
        put(notes, lock)
        done = table.sh(act)
        table.expect(f"{what} at the lock", done.returncode == 9 and "the lock of the registry cannot be used" in done.stderr, done)
        table.expect(f"{what} at the lock: the file is spoilt", table.is_kept(notes))
    os.unlink(lock)
    os.symlink("nowhere", lock)
    done = table.sh(act)
    table.expect("a link to nowhere at the lock", done.returncode == 9 and not os.path.exists(lock), done)
    for what, make in (("a pipe", os.mkfifo), ("a folder", os.mkdir)):
        os.unlink(lock) if os.path.lexists(lock) else None
        make(lock)
        done = table.sh(act)
        table.expect(f"{what} at the lock", done.returncode == 9 and "the lock of the registry cannot be used" in done.stderr, done)
    os.rmdir(lock)
    done = table.sh(act)
    table.expect("an act afterwards", done.returncode == 0, done)


def process_after(table):
    """The number that a command typed a little later may have: names are taken for the next hundred."""
    return int(table.sh("echo $$").stdout)


def labels(table):
    notes = table.precious()
    os.symlink(notes, table.under("one.pdf.part"))
    first = process_after(table)
    for number in range(first, first + 300):
        os.symlink(notes, table.under(f"one.pdf.part-{number}"))
    done = table.sh('"$P" label print U0012A-1H --out one.pdf')
    table.expect("links beside a page", done.returncode == 0 and os.path.getsize(table.under("one.pdf")) > 1000, done)
    table.expect("links beside a page: the file is spoilt", table.is_kept(notes))
    for path in glob.glob(table.under("one.pdf.part*")):
        os.unlink(path)
    notes = table.precious()
    for what, options, target in (("a file", "", notes), ("a link to a file", "--replace", notes),
                                  ("a link to nowhere", "", "nowhere"), ("a link to nowhere", "--replace", "nowhere")):
        place = table.under("two.pdf")
        if what == "a file":
            os.link(notes, place)
        else:
            os.symlink(target, place)
        for extra in ("", "--proof", "--dry-run", "--sure"):
            done = table.sh(f'"$P" label print U0012A-1H --out two.pdf {options} {extra}')
            table.expect(f"{what} in the place of a page {options} {extra}", done.returncode == 6 and
                         os.path.lexists(place) and os.path.islink(place) == (what != "a file"), done)
        os.unlink(place)
    table.expect("in the place of a page: the file is spoilt", table.is_kept(notes))
    table.expect("a page was left beside", not glob.glob(table.under("*.part*")))
    with open(table.under("two.pdf"), "w", encoding="utf-8") as file:
        file.write("old")
    done = table.sh('"$P" label print U0012A-1H --out two.pdf --replace')
    table.expect("a page that may be replaced", done.returncode == 0 and "was replaced" in done.stderr and
                 os.path.getsize(table.under("two.pdf")) > 1000, done)


def check_moves(table, name, moves):
    """The list beside the page is held like the page, and neither is written where one may not be."""
    done = table.sh(f'"$P" audit --out {name}')
    table.expect("an audit over a list of moves", done.returncode == 6 and moves in done.stderr and
                 not os.path.exists(table.under(name)), done)
    os.unlink(table.under(moves))


def audits(table):
    for name in ("audit.html", "audit.txt"):
        done = table.sh(f'"$P" audit --out {name}')
        table.expect("an audit", done.returncode == 0, done)
        notes = table.precious()
        os.replace(notes, table.under(name))
        done = table.sh(f'"$P" audit --out {name}')
        table.expect("an audit over a file", done.returncode == 6 and "--replace" in done.stderr and
                     table.is_kept(table.under(name)), done)
        done = table.sh(f'"$P" audit --out {name} --replace')
        table.expect("an audit that may replace", done.returncode == 0 and "was replaced" in done.stderr and
                     os.path.getsize(table.under(name)) > 1000, done)
        os.unlink(table.under(name))
        notes = table.precious()
        os.symlink(notes, table.under(name))
        for option in ("", "--replace"):
            done = table.sh(f'"$P" audit --out {name} {option}')
            table.expect(f"an audit over a link {option}", done.returncode == 6 and os.path.islink(table.under(name)), done)
        os.unlink(table.under(name))
        moves = name.replace(".html", "-moves.csv")
        if moves != name:
            check_moves(table, name, moves)
        first = process_after(table)
        for number in range(first, first + 300):
            os.symlink(notes, table.under(f"{name}.part-{number}"))
        done = table.sh(f'"$P" audit --out {name}')
        table.expect("links beside an audit", done.returncode == 0, done)
        table.expect("links beside an audit: the file is spoilt", table.is_kept(notes))


def clones(table):
    done = table.sh("git clone -q registry.git clone")
    assert done.returncode == 0, done.stderr
    notes = table.precious()
    first = process_after(table)
    for number in range(first, first + 300):
        os.symlink(notes, table.under("clone", "holes", "U0012A", "cores", f"0001.samples.json.part-{number}"))
    done = table.sh('"$P" sample add "U0012A-1H-2W, 10-12"', folder="clone")
    table.expect("links beside a file of a clone", done.returncode == 0, done)
    table.expect("links beside a file of a clone: the file is spoilt", table.is_kept(notes))
    done = table.sh("git status --porcelain --untracked-files=no", folder="clone")
    table.expect("a clone out of step", done.stdout == "", done)


def starts(table):
    """A folder of somebody's own whose name only begins like that of a creation that was killed."""
    for name in ("exp.git.part-4000000-notes", "exp.git.part-4000000"):
        os.mkdir(table.under(name))
        os.replace(table.precious(), table.under(name, "notes.txt"))
    done = table.sh('"$P" start 902 --at exp.git')
    table.expect("a start", done.returncode == 0, done)
    for name in ("exp.git.part-4000000-notes", "exp.git.part-4000000"):
        table.expect(f"{name} was swept away", os.path.isfile(table.under(name, "notes.txt")))


def main():
    options = asked(__doc__)
    with place(options) as work:
        table = Links(options.bin, work).begin()
        for part in (locks, labels, audits, clones, starts):
            try:
                part(table)
            except OSError as broken:
                table.failed.append(f"{part.__name__}: {broken}")
    return table.verdict()


if __name__ == "__main__":
    sys.exit(main())
