#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""clang-tidy over the sources, as many at a time as there are processors.

    run_tidy.py TOP BUILD [FILE...]

One file a run: in one run over several, version 14 takes every va_list for uninitialised. Nearly all of it is the path
analysis of clang-analyzer: it follows STEPS steps of each function, in a sixth of the time of its own bound, which is 15 times as
much; a FILE that is named gets all, and with TESTS_LONG each. What was clean is not asked again: BUILD/tidy keeps, for each source, a hash of all
that the answer rests on: the checks, the version, the compiler's command, and the text of the source and of each header that
the compiler read for it (from its list of dependencies, or from ninja's; without one the source is always asked). FILEs are always asked.
"""
import concurrent.futures
import hashlib
import json
import os
import pathlib
import re
import subprocess
import sys

STEPS = 15000


def kept_by_ninja(build):
    """The lists that the compiler left and ninja took over: of each object, the files."""
    if not (build / ".ninja_deps").exists():
        return {}
    said = subprocess.run(["ninja", "-C", str(build), "-t", "deps"], capture_output=True, text=True, check=True).stdout
    lists = (block.splitlines() for block in said.split("\n\n") if "(VALID)" in block)
    return {head.split(": #deps", 1)[0]: [line.strip() for line in names] for head, *names in lists}


def read_by_compiler(entry, lists):
    """The files that the compiler read; none where it left no list of them, or one of them is gone."""
    written = re.search(r" -o (\S+\.o)\b", entry["command"])
    listed = pathlib.Path(entry["directory"], written.group(1) + ".d") if written else None
    if not listed:
        return []
    if listed.exists():
        names = listed.read_text(encoding="utf-8").split(":", 1)[1].replace("\\\n", " ").split()
    else:
        names = lists.get(written.group(1), [])
    paths = [pathlib.Path(entry["directory"], name) for name in names]
    return sorted(paths) if all(path.exists() for path in paths) else []


def fingerprint(entries, common, lists):
    """Of all that the answer for one source rests on, in each way that it is compiled; None where that is not known."""
    mark = hashlib.sha256(common)
    for entry in entries:
        paths = read_by_compiler(entry, lists)
        if not paths:
            return None
        mark.update(entry["command"].encode())
        for path in paths:
            mark.update(str(path).encode() + b"\0" + path.read_bytes() + b"\0")
    return mark.hexdigest()


def main():
    top, build = (pathlib.Path(word).resolve() for word in sys.argv[1:3])
    named = {pathlib.Path(word).resolve() for word in sys.argv[3:]}
    version = subprocess.run(["clang-tidy", "--version"], capture_output=True, check=True).stdout
    steps = [] if named or "TESTS_LONG" in os.environ else [f"--extra-arg={word}" for word in ("-Xclang", "-analyzer-config", "-Xclang", f"max-nodes={STEPS}")]
    common = (top / ".clang-tidy").read_bytes() + version + " ".join(steps).encode()
    kept = build / "tidy"
    kept.mkdir(exist_ok=True)
    lists = kept_by_ninja(build)
    commands = {}
    for entry in json.loads((build / "compile_commands.json").read_text(encoding="utf-8")):
        commands.setdefault(pathlib.Path(entry["file"]), []).append(entry)
    sources = named or set((top / "src").rglob("*.c"))
    unknown = sorted(str(path) for path in sources - set(commands))

    def ask(path):
        mark = fingerprint(commands[path], common, lists)
        stamp = kept / str(path.relative_to(top)).replace("/", "-")
        if not named and mark and stamp.exists() and stamp.read_text(encoding="ascii") == mark:
            return path, False, 0, ""
        done = subprocess.run(["clang-tidy", "--quiet", *steps, "-p", str(build), str(path)], cwd=top, stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE, text=True, check=False)
        if done.returncode == 0 and mark:
            stamp.write_text(mark, encoding="ascii")
        return path, True, done.returncode, done.stdout + (done.stderr if done.returncode else "")

    asked = failed = 0
    large_first = sorted(sources & set(commands), key=lambda path: -path.stat().st_size)
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for _, was_asked, code, said in pool.map(ask, large_first):
            asked += was_asked
            failed += code != 0
            if said:
                print(said, end="")
    for path in unknown:
        print(f"{path}: not in {build / 'compile_commands.json'}: clang-tidy would guess how it is compiled")
    print(f"{len(large_first)} sources, {asked} asked, {len(large_first) - asked} clean before and unchanged, "
          f"{failed} with findings, {len(unknown)} unknown")
    return 1 if failed or unknown else 0


if __name__ == "__main__":
    sys.exit(main())
