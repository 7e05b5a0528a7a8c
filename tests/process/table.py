# SPDX-License-Identifier: MIT
"""A registry with one core in a folder of its own, and commands run there through sh, for its redirections."""
import os
import subprocess
import sys

SECONDS = 60
STORY = ("start 901", "hole add U0012A --returns seafloor",
         "core add U0012A-1H 0 +9.5 --datum seafloor --recovered 9 --sections 6x1.5")


class Table:
    """In commands "$P" is the program; what fails is gathered in failed."""

    def __init__(self, binary, work):
        self.work = work
        self.env = dict(os.environ, GIT_AUTHOR_NAME="Table", GIT_AUTHOR_EMAIL="table@example.invalid", HOME=work,
                        CORETALLY_STATION="table", CORETALLY_CLOCK="2026-03-01T00:00:00Z", LC_ALL="C.UTF-8", TZ="UTC",
                        P=binary)
        self.failed = []
        for words in STORY:
            done = self.run(f'"$P" {words}')
            assert done.returncode == 0, done.stderr

    def run(self, command, folder="", **streams):
        """streams: as of subprocess.run; without them both outputs are captured."""
        try:
            return subprocess.run(["sh", "-c", command], cwd=self.path(folder), env=self.env, stdin=subprocess.DEVNULL,
                                  capture_output=not streams, text=True, check=False, timeout=SECONDS, **streams)
        except subprocess.TimeoutExpired:
            return subprocess.CompletedProcess(command, 255, "", "it did not end")

    def path(self, *parts):
        return os.path.join(self.work, *parts)

    def expect(self, what, is_so, done=None):
        if not is_so:
            self.failed.append(f"{what}: " + (f"exit {done.returncode}, {done.stdout!r}, {done.stderr!r}" if done else ""))

    def verdict(self):
        """All that failed, said; the exit status."""
        for line in self.failed:
            print(line, file=sys.stderr)
        return 1 if self.failed else 0
