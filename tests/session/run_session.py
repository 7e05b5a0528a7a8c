#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Runs the console sessions of documents and holds what they print against what stands there.

    run_session.py --bin FOLDER [--warm] FILE...

A .md file is read for its fenced ```console blocks; any other file is one session. In a session a line that begins
with "$ " is a command for sh, "> " goes on with it, and the lines below are what it prints, standard output and
standard error in order. "[exit N]" closes the output of a command that ends with N other than 0. Lines beginning
with "# " before the first command are remarks. All sessions of one file share one fresh folder; its own path is
written as /home/mira. UPDATE=1 rewrites what is expected. Every registry that is left there must be sound, each commit looked
at; but for those that a session spoils on purpose (SPOILED).

With --warm commands run in one process that has its libraries loaded, or in a fork of it (warm.c), without the start of the
program before each. FOLDER/../warm holds it.
"""
import argparse
import contextlib
import difflib
import json
import os
import pathlib
import subprocess
import sys
import tempfile

HOME_SHOWN = "/home/mira"
TIMEOUT_S = 60
LATER = "2026-12-01T00:00:00Z"  # than every act of a session
NEWEST_ONLY = "this clone has only the newest part of the history"
# What is found in what a session leaves, and is meant to be.
SPOILED = {
    "acts.session": {"act-missing"},
    "core-rename-join.session": {"act-missing", "record-removed"},
    "join-send.session": {"object-unreadable"},
    "label-join.session": {"label-state"},
    "sample-outside-join.session": {"rule-broken", "reference-missing"},
    "verify.session": {"act-missing", "version-count", "record-removed"},
}


def environment(programs, home, scratch):
    return {
        "PATH": f"{programs}:/usr/local/bin:/usr/bin:/bin",
        "HOME": home,
        "TMPDIR": scratch,
        "XDG_CONFIG_HOME": f"{home}/.config",
        "TZ": "UTC",
        "LC_ALL": "C.UTF-8",
        "GIT_CONFIG_GLOBAL": "/dev/null",
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_AUTHOR_NAME": "Mira Tamm",
        "GIT_AUTHOR_EMAIL": "mira@ship.example",
        "GIT_COMMITTER_NAME": "Mira Tamm",
        "GIT_COMMITTER_EMAIL": "mira@ship.example",
        "CORETALLY_STATION": "core table",
        "CORETALLY_CLOCK": "2026-03-01T04:12:00Z",
        "ASAN_OPTIONS": os.environ.get("ASAN_OPTIONS", ""),
        "UBSAN_OPTIONS": os.environ.get("UBSAN_OPTIONS", ""),
        "LSAN_OPTIONS": "suppressions=%s:print_suppressions=0" % (pathlib.Path(__file__).parents[1] / "leaks.supp"),
    }


@contextlib.contextmanager
def warm_process(programs, variables):
    """What a session sees with the warm process behind it: its environment."""
    folder = os.path.join(os.path.dirname(programs), "warm")
    # The leak sanitizer takes as long for its look at a fork as the command does: sessions without this process have it, and
    # what runs many commands by hand has it at its end.
    variables = dict(variables, ASAN_OPTIONS=variables.get("ASAN_OPTIONS", "") + ":detect_leaks=0")
    with tempfile.TemporaryDirectory(prefix="warm-") as room, subprocess.Popen(
            [os.path.join(folder, "warm"), os.path.join(room, "socket")], env=variables, cwd=room, stdin=subprocess.PIPE,
            stdout=subprocess.PIPE) as process:
        socket = os.path.join(room, "socket")
        if process.stdout.readline() != b"ready\n":
            raise SystemExit(f"{folder}: the warm process did not start")
        yield dict(variables, PATH=variables["PATH"].replace(programs, folder, 1), WARM_SOCKET=socket)
        process.stdin.close()


def run(command, folder, variables):
    done = subprocess.run(
        ["sh", "-c", command], cwd=folder, env=variables, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, timeout=TIMEOUT_S, check=False)
    lines = done.stdout.decode("utf-8", "backslashreplace").replace(folder, HOME_SHOWN).splitlines()
    # A table pads its last column; what cannot be seen on paper is not compared.
    lines = [line.rstrip(" ") for line in lines]
    if done.returncode:
        lines.append(f"[exit {done.returncode}]")
    return lines


def registries(folder):
    """Repositories of git below the folder, but for those without a commit."""
    for at, folders, files in os.walk(folder):
        if "HEAD" in files and "objects" in folders:
            folders.clear()
            if subprocess.run(["git", "-C", at, "rev-parse", "-q", "--verify", "HEAD"], stdout=subprocess.DEVNULL, check=False).returncode == 0:
                yield at


def unsound(name, folder, variables):
    """What verify finds in the registries that the session left, as lines."""
    told = []
    for at in registries(folder):
        done = subprocess.run(["coretally", "verify", "--json", "--registry", at], cwd=folder, env={**variables, "CORETALLY_CLOCK": LATER},
                              capture_output=True, text=True, timeout=TIMEOUT_S, check=False)
        rows = json.loads(done.stdout) if done.stdout.startswith("[") else []
        if not rows and done.returncode and NEWEST_ONLY not in done.stderr:
            told.append(f"{at}: exit {done.returncode}: {done.stderr}")
        told += [f"{name} leaves {os.path.relpath(at, folder)} with {row['flaw']}: {row['path'] or ''} {row['commit'] or ''} {row['sentence']}"
                 for row in rows if row["severity"] in ("damaged", "wrong") and row["flaw"] not in SPOILED.get(name, ())]
    return told


def is_session_line(path, lines):
    """For each line whether it belongs to a session."""
    if path.suffix != ".md":
        return [True] * len(lines)
    inside = False
    marks = []
    for line in lines:
        if line.startswith("```"):
            inside = not inside and line.strip() == "```console"
            marks.append(False)
        else:
            marks.append(inside)
    return marks


def replay(path, lines, programs, is_warm=False):
    """The file as it would read with true output; how many commands it has; what is wrong with what they left."""
    out = []
    commands = 0
    with contextlib.ExitStack() as stack:
        place = os.path.realpath(stack.enter_context(tempfile.TemporaryDirectory(prefix="session-")))
        folder = os.path.join(place, "table")
        scratch = os.path.join(place, "tmp")
        os.mkdir(folder)
        os.mkdir(scratch)
        variables = environment(programs, folder, scratch)
        if is_warm:
            variables = stack.enter_context(warm_process(programs, variables))
        marks = is_session_line(path, lines)
        at = 0
        fresh = True  # no command yet in this block
        while at < len(lines):
            line = lines[at]
            if not marks[at]:
                fresh = True
            if not marks[at] or not line.startswith("$ "):
                if not marks[at] or fresh:
                    out.append(line)
                at += 1
                continue
            fresh = False
            commands += 1
            command = line[2:]
            out.append(line)
            at += 1
            while at < len(lines) and marks[at] and lines[at].startswith("> "):
                out.append(lines[at])
                command += "\n" + lines[at][2:]
                at += 1
            out.extend(run(command, folder, variables))
            while at < len(lines) and marks[at] and not lines[at].startswith("$ "):
                at += 1
        return out, commands, unsound(path.name, folder, variables)


def main():
    parser = argparse.ArgumentParser(description="runs the console sessions of documents")
    parser.add_argument("--bin", required=True, help="the folder of the program")
    parser.add_argument("--warm", action="store_true", help="one process in place of the program")
    parser.add_argument("files", nargs="+")
    options = parser.parse_args()
    programs = os.path.realpath(options.bin)
    failed = 0
    for name in options.files:
        path = pathlib.Path(name)
        expected = path.read_text(encoding="utf-8").splitlines()
        try:
            found, commands, flaws = replay(path, expected, programs, options.warm)
        except subprocess.TimeoutExpired as late:
            print(f"{name}: a command did not end within {TIMEOUT_S} s: {late.cmd[-1]}")
            failed += 1
            continue
        failed += len(flaws)
        for line in flaws:
            print(line)
        if commands == 0:
            print(f"{name}: no command found")
            failed += 1
        elif found == expected:
            print(f"{name}: {commands} commands as written")
        elif os.environ.get("UPDATE") == "1":
            path.write_text("\n".join(found) + "\n", encoding="utf-8")
            print(f"{name}: rewritten, {commands} commands")
        else:
            failed += 1
            for line in difflib.unified_diff(expected, found, f"{name} (written)", f"{name} (found)", lineterm=""):
                print(line)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
