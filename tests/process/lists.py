#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A list costs by the core, not by the core squared, through the real binary.

    lists.py --bin DIR [--cores 300]

A hole of many cores, each with its time on deck, is listed by core list and section list, and looked through by kept. Each
may open at most three times the objects that recovery opens, which reads every core once; counted by strace, so that no clock
decides. With the hole gone through anew for each core it was five times. Exit 77 where it may not trace.
"""
import datetime
import os
import re
import shutil
import subprocess
import sys

from table import Table, asked, place

MOST = 3
START = datetime.datetime(2025, 9, 1)


class Traced(Table):
    def opened(self, *words):
        """How many objects one command opens."""
        trace = os.path.join(self.work, "trace")
        subprocess.run(["strace", "-f", "-qq", "-e", "trace=openat,open", "-o", trace, self.env["P"], *words], cwd=self.work,
                       env=self.env, capture_output=True, check=True)
        with open(trace, encoding="utf-8", errors="replace") as file:
            return sum(re.search(r'/objects/../[0-9a-f]{38}"', line) is not None for line in file)

    def can_trace(self):
        return shutil.which("strace") is not None and subprocess.run(
            ["strace", "-f", "-o", "/dev/null", self.env["P"], "--version"], cwd=self.work, env=self.env,
            capture_output=True, check=False).returncode == 0


def main():
    options = asked(__doc__, cores=300)
    with place(options) as where:
        program = Traced(options.bin, where)
        if not program.can_trace():
            print("skipped: strace is not here, or may not trace")
            return 77
        program.act("start", "901")
        program.act("hole", "add", "U0012A", "--returns", "seafloor", "--seafloor", "3000", "--seafloor-by", "tagged")
        with open(os.path.join(where, "cores.csv"), "w", encoding="utf-8") as table:
            table.write("hole,core,type,top,bottom,recovered,on_deck\n")
            for core in range(1, options.cores + 1):
                deck = START + datetime.timedelta(hours=core)
                table.write(f"U0012A,{core},R,{2998 + 2 * core},{3000 + 2 * core},1.9,{deck:%Y-%m-%dT%H:%M:%SZ}\n")
        program.act("import", "cores", "cores.csv", "--set",
                "top = top | m | DRF; bottom = bottom | m | DRF; recovered = recovered | m")
        listed = program.act("core", "list", "--csv").count("\n") - 1
        if listed != options.cores:
            print(f"core list has {listed} rows, not {options.cores}")
            return 1
        once = program.opened("recovery", "U0012A")
        if once < options.cores:
            print(f"recovery opened {once} objects, and there are {options.cores} cores")
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
