#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A list costs by the core, not by the core squared, through the real binary.

    lists.py --bin DIR [--cores 300]

A hole of many cores, each with its time on deck, is listed by core list and section list, and looked through by kept. Each
may open at most three times the objects that recovery opens, which reads every core once; counted by strace, so that no clock
decides. With the hole gone through anew for each core it was five times. Exit 77 where it may not trace.
"""
import argparse
import datetime
import os
import re
import shutil
import subprocess
import sys
import tempfile

MOST = 3
START = datetime.datetime(2025, 9, 1)


class Program:
    def __init__(self, folder, where):
        self.where = where
        self.program = os.path.join(folder, "coretally")
        self.environment = dict(
            os.environ, HOME=where, GIT_AUTHOR_NAME="Test", GIT_AUTHOR_EMAIL="test@example.invalid",
            GIT_CONFIG_GLOBAL="/dev/null", GIT_CONFIG_NOSYSTEM="1", CORETALLY_STATION="test",
            CORETALLY_CLOCK="2026-03-01T04:12:00Z", TZ="UTC")

    def __call__(self, *words):
        return subprocess.run([self.program, *words], cwd=self.where, env=self.environment, text=True,
                              capture_output=True, check=True).stdout

    def opened(self, *words):
        """How many objects one command opens."""
        trace = os.path.join(self.where, "trace")
        subprocess.run(["strace", "-f", "-qq", "-e", "trace=openat,open", "-o", trace, self.program, *words], cwd=self.where,
                       env=self.environment, capture_output=True, check=True)
        with open(trace, encoding="utf-8", errors="replace") as file:
            return sum(re.search(r'/objects/../[0-9a-f]{38}"', line) is not None for line in file)

    def can_trace(self):
        return shutil.which("strace") is not None and subprocess.run(
            ["strace", "-f", "-o", "/dev/null", self.program, "--version"], cwd=self.where, env=self.environment,
            capture_output=True, check=False).returncode == 0


def main():
    words = argparse.ArgumentParser()
    words.add_argument("--bin", required=True)
    words.add_argument("--cores", type=int, default=300)
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as where:
        program = Program(os.path.abspath(asked.bin), where)
        if not program.can_trace():
            print("skipped: strace is not here, or may not trace")
            return 77
        program("start", "901")
        program("hole", "add", "U0012A", "--returns", "seafloor", "--seafloor", "3000", "--seafloor-by", "tagged")
        with open(os.path.join(where, "cores.csv"), "w", encoding="utf-8") as table:
            table.write("hole,core,type,top,bottom,recovered,on_deck\n")
            for core in range(1, asked.cores + 1):
                deck = START + datetime.timedelta(hours=core)
                table.write(f"U0012A,{core},R,{2998 + 2 * core},{3000 + 2 * core},1.9,{deck:%Y-%m-%dT%H:%M:%SZ}\n")
        program("import", "cores", "cores.csv", "--set",
                "top = top | m | DRF; bottom = bottom | m | DRF; recovered = recovered | m")
        listed = program("core", "list", "--csv").count("\n") - 1
        if listed != asked.cores:
            print(f"core list has {listed} rows, not {asked.cores}")
            return 1
        once = program.opened("recovery", "U0012A")
        if once < asked.cores:
            print(f"recovery opened {once} objects, and there are {asked.cores} cores")
            return 1
        many = 0
        for command in (("core", "list", "U0012A"), ("section", "list", "U0012A"), ("kept", "U0012A")):
            opened = program.opened(*command)
            print(f"{' '.join(command)}: {opened} objects opened, {opened / once:.1f} times recovery")
            many += opened > MOST * once
    if many:
        print(f"{many} of them opened more than {MOST} times what recovery opens, {once}")
    return 1 if many else 0


if __name__ == "__main__":
    sys.exit(main())
