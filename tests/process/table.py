# SPDX-License-Identifier: MIT
"""Where the tests of processes stand: a folder of its own, the environment of its commands, and what failed there.

Every program of tests/process and tests/fault takes its options from asked(), its folder from place() and its commands from
a Table, and ends with verdict().
"""
import argparse
import atexit
import contextlib
import csv
import io
import os
import pathlib
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True  # the checkout stays as it is
for beside in ("session", "join"):
    sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / beside))
import engine  # noqa: E402  pylint: disable=wrong-import-position
import run_session  # noqa: E402  pylint: disable=wrong-import-position

CLOCK = "2026-03-01T04:12:00Z"
SECONDS = 120
STORY = (("start", "901"), ("hole", "add", "U0012A", "--returns", "seafloor"),
         ("core", "add", "U0012A-1H", "0", "+9.5", "--datum", "seafloor", "--recovered", "9", "--sections", "6x1.5"))


def asked(about, **numbers):
    """What a test is told: --bin, --keep FOLDER for a look afterwards, and numbers with what they are if not told: of two the
    first, where TESTS_LONG is set the second."""
    parser = argparse.ArgumentParser(description=about.split("\n")[0])
    parser.add_argument("--bin", required=True, type=os.path.realpath, help="the folder of the program")
    parser.add_argument("--keep", type=os.path.abspath, help="work there, and leave it")
    for name, default in numbers.items():
        if isinstance(default, tuple):
            default = default["TESTS_LONG" in os.environ]
        kind = {"action": "store_true"} if default is False else {"type": type(default), "default": default}
        parser.add_argument("--" + name.replace("_", "-"), **kind)
    return parser.parse_args()


@contextlib.contextmanager
def place(options):
    """The folder of a test: gone afterwards, but for --keep."""
    if options.keep:
        os.makedirs(options.keep, exist_ok=True)
        yield options.keep
    else:
        with tempfile.TemporaryDirectory(prefix="table-") as folder:
            yield os.path.realpath(folder)


def environment(programs, home, who="Mira Tamm", **more):
    """Of a command: nobody's settings but these, and what this process has besides; None takes a variable out."""
    mail = who.split()[0].lower() + "@ship.example"
    variables = dict(
        os.environ, PATH=programs + ":" + os.environ["PATH"], P=os.path.join(programs, "coretally"), HOME=home,
        XDG_CONFIG_HOME=os.path.join(home, ".config"), LC_ALL="C.UTF-8", TZ="UTC", GIT_CONFIG_GLOBAL="/dev/null",
        GIT_CONFIG_NOSYSTEM="1", GIT_AUTHOR_NAME=who, GIT_AUTHOR_EMAIL=mail, GIT_COMMITTER_NAME=who,
        GIT_COMMITTER_EMAIL=mail, CORETALLY_STATION="core table", CORETALLY_CLOCK=CLOCK)
    variables.update(more)
    return {name: value for name, value in variables.items() if value is not None}


class Table:
    """is_warm: commands run in one process or forks of it (tests/session/warm.c): for tests of what commands say, many times
    over. by_hand: most commands are run in one process besides, one after the other (tests/join/by_hand.c), in a tenth of the time;
    but for those that are given something to read. What tests streams, signals, memory or calls takes the program itself."""

    def __init__(self, programs, work, is_warm=False, by_hand=False, **variables):
        self.programs, self.work, self.failed, self.hand = programs, work, [], None
        os.makedirs(work, exist_ok=True)
        self.env = environment(programs, work, **variables)
        if by_hand:
            self.hand = engine.Programs(programs, self.env)
            atexit.register(self.hand.end)
        if is_warm or by_hand:
            warm = run_session.warm_process(programs, self.env)
            self.env = warm.__enter__()  # pylint: disable=unnecessary-dunder-call
            self.programs = self.env["PATH"].split(":", 1)[0]
            self.env["P"] = os.path.join(self.programs, "coretally")
            atexit.register(warm.__exit__, None, None, None)

    def begin(self):
        """A hole with one core."""
        for words in STORY:
            self.act(*words)
        return self

    def under(self, *parts):
        return os.path.join(self.work, *parts)

    def run(self, *words, given=None, folder="", codes=None, seconds=SECONDS, env=None, **more):
        """A command of ours; codes: how it may end. more: as of subprocess.run."""
        return self.start(["coretally", *words], given, folder, codes, seconds, env, **more)

    def sh(self, command, given=None, folder="", codes=None, seconds=SECONDS, env=None, **more):
        """Words for a shell, for its redirections; "$P" is the program."""
        return self.start(["sh", "-c", command], given, folder, codes, seconds, env, **more)

    def start(self, words, given=None, folder="", codes=None, seconds=SECONDS, env=None, **more):
        if self.hand and words[0] in ("coretally", b"coretally") and not given and set(more) <= {"text"}:
            done = self.in_hand(words, folder, env, **more)
        else:
            done = self.in_process(words, given, folder, seconds, env, **more)
        if codes is not None and done.returncode not in codes:
            raise SystemExit(f"{words}: exit {done.returncode}\n{done.stdout}{done.stderr}")
        return done

    def in_hand(self, words, folder, env, text=True):
        code, *said = self.hand.answer(words[1:], self.under(folder) if folder else self.work, {**self.env, **(env or {})})
        if text:
            said = [one.decode("utf-8") for one in said]
        return subprocess.CompletedProcess(words, code, *said)

    def in_process(self, words, given, folder, seconds, env, **more):
        if given is None:
            more["stdin"] = subprocess.DEVNULL
        else:
            more["input"] = given
        if "stdout" not in more and "stderr" not in more:
            more["capture_output"] = True
        more.setdefault("text", True)
        try:
            return subprocess.run(words, cwd=self.under(folder), env={**self.env, **(env or {})}, check=False, timeout=seconds,
                                  **more)
        except subprocess.TimeoutExpired:
            return subprocess.CompletedProcess(words, 255, "", f"it did not end within {seconds} s")

    def act(self, *words, codes=(0,), **more):
        """A command that must succeed; what it says."""
        return self.run(*words, codes=codes, **more).stdout

    def rows(self, *words, **more):
        return list(csv.DictReader(io.StringIO(self.act(*words, "--csv", **more))))

    def git(self, *words, at="registry.git", **more):
        """Plain git, which must succeed; what it says, without the last line end."""
        return self.start(["git", "-C", self.under(at), *words], codes=(0,), **more).stdout.strip()

    def tip(self, at="registry.git"):
        return self.git("rev-parse", "main", at=at)

    def write(self, name, text):
        os.makedirs(os.path.dirname(self.under(name)), exist_ok=True)
        with open(self.under(name), "w", encoding="utf-8") as file:
            file.write(text)

    def fail(self, *what):
        self.failed.append(" ".join(str(one) for one in what))

    def expect(self, what, is_so, done=None):
        if not is_so:
            self.fail(f"{what}: " + (f"exit {done.returncode}, {done.stdout!r}, {done.stderr!r}" if done else ""))

    def verdict(self, *said):
        return verdict(self.failed, *said)


def verdict(failed, *said):
    """All that failed, and what was looked at; the exit status."""
    for line in failed:
        print(line, file=sys.stderr)
    print(*said, f"{len(failed)} failed")
    return 1 if failed else 0
