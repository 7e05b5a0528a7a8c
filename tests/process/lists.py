#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A list costs by the core, not by the core squared, through the real binary.

    lists.py --bin DIR [--cores 900]

A hole of many cores, each with its time on deck, is listed by core list and section list, and looked through by kept. Each
may take at most eight times the processor time of recovery, which reads every core once; the least of three counts, so that a
busy machine does not. As it was with a hole read anew for each core: thirty times.
"""
import argparse
import datetime
import os
import resource
import subprocess
import sys
import tempfile

MOST = 8.0
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

    def seconds(self, *words):
        least = float("inf")
        for _ in range(3):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            self(*words)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            least = min(least, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
        return least


def main():
    words = argparse.ArgumentParser()
    words.add_argument("--bin", required=True)
    words.add_argument("--cores", type=int, default=900)
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as where:
        program = Program(os.path.abspath(asked.bin), where)
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
        once = program.seconds("recovery", "U0012A")
        slow = 0
        for command in (("core", "list", "U0012A"), ("section", "list", "U0012A"), ("kept", "U0012A")):
            took = program.seconds(*command)
            print(f"{' '.join(command)}: {took:.3f} s, {took / once:.1f} times recovery")
            slow += took > MOST * once
    if slow:
        print(f"{slow} of them took more than {MOST:g} times recovery, {once:.3f} s")
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main())
