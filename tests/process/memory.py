#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The memory of a list of names does not grow with what the names lie in, through the real binary.

    memory.py --bin DIR [--cores 40] [--samples 1000]

Depths are asked for as many names as the hole has cores: once all of one core, once one of each core with its samples. The
second may take at most 16 MB more: what was read of a core is let go again. When it was kept, it was 29 MB for 40 cores of a
thousand samples.
"""
import os
import sys

from table import Table, asked, place

MOST_KB = 16 << 10


def peak_kb(program, names):
    """The most memory that the program had while it was asked for these."""
    asked_for = os.path.join(program.work, "names")
    with open(asked_for, "w", encoding="utf-8") as file:
        file.write("\n".join(names) + "\n")
    child = os.fork()
    if not child:
        os.dup2(os.open(asked_for, os.O_RDONLY), 0)
        os.dup2(os.open(os.path.join(program.work, "answer"), os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 1)
        os.chdir(program.work)
        os.execve(program.env["P"], [program.env["P"], "depth", "-", "--csv"], program.env)
    _, status, used = os.wait4(child, 0)
    with open(os.path.join(program.work, "answer"), encoding="utf-8") as file:
        rows = len(file.readlines()) - 1
    if status or rows != len(names):
        raise SystemExit(f"depth ended with {status} and {rows} rows for {len(names)} names")
    return used.ru_maxrss


def main():
    options = asked(__doc__, cores=40, samples=1000)
    with place(options) as where:
        program = Table(options.bin, where)
        program.act("start", "901")
        program.act("hole", "add", "U0012A", "--returns", "seafloor", "--seafloor", "3000", "--seafloor-by", "tagged")
        with open(os.path.join(where, "cores.csv"), "w", encoding="utf-8") as cores, \
                open(os.path.join(where, "samples.csv"), "w", encoding="utf-8") as samples:
            cores.write("site,hole,core,type,top_m,bottom_m,datum,recovered_m\n")
            samples.write("site,hole,core,type,section,half,top_cm,bottom_cm,volume_cm3,purpose\n")
            for core in range(1, options.cores + 1):
                cores.write(f"U0012,A,{core},R,{2998 + 2 * core},{3000 + 2 * core},rig-floor,1.5\n")
                for at in range(options.samples):
                    top = 20 + at * 120 / options.samples
                    samples.write(f"U0012,A,{core},R,1,W,{top:.2f},{top + 0.1:.2f},10,isotopes\n")
        program.act("import", "cores", "cores.csv")
        for core in range(1, options.cores + 1):
            program.act("section", "add", f"U0012A-{core}R-1", "1.5")
        program.act("import", "samples", "samples.csv")
        one = peak_kb(program, ["U0012A-1R-1"] * options.cores)
        all_of_them = peak_kb(program, [f"U0012A-{core}R-1" for core in range(1, options.cores + 1)])
        print(f"names of one core: {one} kB; of {options.cores} cores: {all_of_them} kB")
        return 1 if all_of_them - one > MOST_KB else 0


if __name__ == "__main__":
    sys.exit(main())
