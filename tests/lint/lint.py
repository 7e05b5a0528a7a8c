#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Reads the sources and says where they break the rules of the house: one line a finding, exit 1 with any.

Layers, banned calls, comments, length of files, what may stand at the top level, and lists that must be in step.
Formatting and deeper analysis are clang-format's and clang-tidy's.
"""
import pathlib
import re
import sys

MAY_USE = {
    "base": {"base"},
    "domain": {"domain", "base"},
    "record": {"record", "domain", "base"},
    "store": {"store", "record", "domain", "base"},
    "join": {"join", "store", "record", "domain", "base"},
    "state": {"state", "store", "record", "domain", "base"},
    "kind": {"kind", "state", "store", "record", "domain", "base"},
    "act": {"act", "kind", "state", "store", "record", "domain", "base"},
    "ask": {"ask", "kind", "state", "store", "record", "domain", "base"},
    "intake": {"intake", "act", "kind", "state", "store", "record", "domain", "base"},
    "view": {"view", "record", "domain", "base"},
    "verify": {"verify", "join", "ask", "kind", "state", "store", "record", "domain", "base"},
    "run": {"run", "view", "join", "act", "kind", "state", "store", "record", "domain", "base"},
    "say": {"say", "run", "verify", "join", "ask", "intake", "act", "kind", "view", "state", "store", "record", "domain", "base"},
    "cmd": {"cmd", "say", "run", "view", "join", "act", "verify", "ask", "intake", "kind", "state", "store", "record", "domain", "base"},
}
# Foreign header -> the only places that may know it.
FOREIGN = {
    r"git2(/.*)?\.h": r"src/store/.*",
    r"zlib\.h": r"src/store/guard\.c|src/view/draw_dots\.c",
    r"(cjson/)?cJSON\.h": r"src/record/decode\.c",
    r"csv\.h": r"src/intake/.*",
    r"popt\.h": r"src/cmd/.*",
    r"cairo(-\w+)?\.h|pango/.*\.h|zint\.h": r"src/view/draw_\w+\.[ch]",
    r"uniwidth\.h": r"src/view/width\.c",
    r"dlfcn\.h": r"src/view/label_page\.c",
}
C_LIBRARY = set(
    "assert ctype errno fcntl float inttypes limits locale malloc math poll pwd setjmp signal stdalign stdarg stdbool stddef "
    "stdint stdio stdlib string strings time unistd dirent termios sys/file sys/ioctl sys/prctl sys/random sys/resource sys/stat "
    "sys/time sys/types sys/utsname sys/wait pthread sched spawn langinfo ftw glob libgen".split()
)
BANNED = r"\b(strcpy|strcat|sprintf|vsprintf|gets|strtok|system|alloca|atoi|atof|atol)\s*\("
QUIET = {"base", "domain", "record", "store", "join", "state", "kind", "act", "ask", "intake", "verify", "view"}  # layers that never print
TOP = {"README.md", "DEVELOPERS.md", "CMakeLists.txt", "LICENSE", "src", "include", "schemas", "tests",
       "example-expedition"}
LINES_MAX = 400
# Two files that call one another, and why that is right.
CIRCLES = {
    ("record/field.c", "record/list.c"): "a field may be a list of records, and these have fields",
}


def blank(match):
    return re.sub(r"[^\n]", " ", match.group(0))


def without_comments(text):
    """Comments blanked, line numbers kept; strings stay."""
    pattern = r'"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'|/\*.*?\*/'
    return re.sub(pattern, lambda m: blank(m) if m.group(0).startswith("/*") else m.group(0), text, flags=re.S)


def without_strings(text):
    return re.sub(r'"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', lambda m: m.group(0)[0] * 2 + " " * (len(m.group(0)) - 2), text)


def line_of(text, offset):
    return text.count("\n", 0, offset) + 1


class Lint:
    def __init__(self, top):
        self.top = top
        self.findings = []

    def say(self, name, line, what):
        self.findings.append("%s:%d: %s" % (name, line, what))

    def each(self, text, pattern, name, what):
        for match in re.finditer(pattern, text):
            self.say(name, line_of(text, match.start()), what % match.group(0).strip())

    def check_include(self, name, layer, line, header, quoted):
        for pattern, places in FOREIGN.items():
            if re.fullmatch(pattern, header):
                if not re.fullmatch(places, name):
                    self.say(name, line, "%s is not for this file" % header)
                return
        ours = re.fullmatch(r"coretally/(\w+)/\w+\.h", header)
        if ours:
            if ours.group(1) not in MAY_USE[layer]:
                self.say(name, line, "layer %s may not use %s" % (layer, header))
        elif quoted:
            if "/" in header or name.startswith("include/"):
                self.say(name, line, "%s: a private header of another layer" % header)
            elif not (self.top / name).with_name(header).is_file():
                self.say(name, line, "%s does not stand beside this file" % header)
        elif header[: -len(".h")] not in C_LIBRARY:
            self.say(name, line, "<%s> is not in the list of headers of the C library" % header)

    def check_static(self, name, code):
        """No writable static variable: 'static' at the start of a line, no function, no const at the top level."""
        for match in re.finditer(r"^[ \t]*(?:static|_Thread_local)\b([^;{}]*?)(=|;|\{)", code, flags=re.M):
            declared = match.group(1)
            if "(" in declared.split("[")[0] and "const" not in declared:
                continue  # a function
            if "(" in declared and match.group(2) == "{":
                continue
            if match.group(2) == ";" and "(" in declared:
                continue  # a prototype
            after_star = declared.rsplit("*", 1)[-1]
            if "const" not in after_star:
                if match.group(2) == "{" and re.search(r"\bconst\b", declared) and "*" not in declared:
                    continue
                self.say(name, line_of(code, match.start()), "a static variable that can be written")

    def check_source(self, path):
        name = path.relative_to(self.top).as_posix()
        text = path.read_text(encoding="utf-8")
        self.check_form(name, text)
        layer = name.split("/")[1] if name.startswith("src/") else name.split("/")[2]
        if layer not in MAY_USE:
            self.say(name, 1, "there is no layer '%s'" % layer)
            return
        commentless = without_comments(text)
        for match in re.finditer(r'^[ \t]*#[ \t]*include[ \t]*([<"])([^>"]+)[>"]', commentless, flags=re.M):
            line = line_of(commentless, match.start())
            self.check_include(name, layer, line, match.group(2), match.group(1) == '"')
        code = without_strings(commentless)
        self.each(code, BANNED, name, "%s...) is banned")
        if layer != "store":
            self.each(code, r"\bstore_list\s*\(", name, "%s...) is not for this room: folders are gone through by registry_list")
        self.each(code, r"\bsetlocale\s*\(\s*LC_NUMERIC\b", name, "%s) is banned: numbers are written one way")
        if name in {"src/view/label_apart.c", "src/store/program.c"}:  # the end of a child
            self.each(code, r"(?<![\w.>])exit\s*\(", name, "%s) is main's alone; a child ends by _exit")
        elif name != "src/cmd/main.c":
            self.each(code, r"(?<![\w.>])_?exit\s*\(", name, "%s) is main's alone")
        if layer in QUIET:
            self.each(code, r"(?<!\w)(printf|puts|putchar|perror)\s*\(", name, "%s...): only run, say and cmd print")
            self.each(code, r"\bf(printf|puts|putc|write)\s*\([^;]*\b(stdout|stderr)\b", name, "%s: only run, say and cmd print")
        self.check_static(name, code)

    def check_form(self, name, text):
        lines = text.split("\n")
        if lines[0] != "/* SPDX-License-Identifier: MIT */":
            self.say(name, 1, "the first line is not the SPDX line")
        if len(lines) > 1 and not lines[1].startswith("/*"):
            self.say(name, 2, "no lines on what the file is for")
        if len(lines) - 1 > LINES_MAX:
            self.say(name, LINES_MAX, "%d lines, more than %d" % (len(lines) - 1, LINES_MAX))
        if not text.endswith("\n") or text.endswith("\n\n"):
            self.say(name, len(lines), "the file does not end in one line end")
        code = without_strings(without_comments(text))
        self.each(code, r"//", name, "%s comment: write /* */")
        self.each(text, r"\b(TODO|FIXME|XXX)\b", name, "%s does not belong into a source")

    def check_circles(self, sources):
        """Within a room calls go one way: no file is called, over whatever others, by a file that it calls."""
        calls, where, uses = {}, {}, {}
        for path in sources:
            name = path.relative_to(self.top / "src").as_posix() if path.suffix == ".c" else ""
            if not name or name == "cmd/main.c":
                continue
            uses[name] = code = without_strings(without_comments(path.read_text(encoding="utf-8")))
            for pattern in (r"^(?!static\b)[a-zA-Z_][^;{}=#()]*?\b(\w+)\([^{};]*\)\n\{",
                            r"^const[^;{}()]*?\b(\w+)(?:\[\w*\])* = "):
                for match in re.finditer(pattern, code, flags=re.M):
                    where[name.split("/")[0], match.group(1)] = name
        for name, code in uses.items():
            room = name.split("/")[0]
            calls[name] = {where[room, word] for word in set(re.findall(r"\w+", code)) if (room, word) in where} - {name}
        reached = {}
        for name in calls:
            reached[name], todo = set(), list(calls[name])
            while todo:
                other = todo.pop()
                if other not in reached[name]:
                    reached[name].add(other)
                    todo += calls[other]
        for name in sorted(calls):
            for other in sorted(calls[name]):
                if name in reached[other] and not any({name, other} == set(pair) for pair in CIRCLES):
                    self.say("src/" + name, 1, "it calls %s, which calls it, over others or at once" % other)

    def check_walk(self):
        """The files that DEVELOPERS.md names are there; NAME and KIND stand for any."""
        paths = [p for folder in ("src", "include/coretally", "tests") for p in (self.top / folder).rglob("*.[chp]*")]
        known = {p.name for p in paths} | {"/".join(p.parts[-2:]) for p in paths}
        text = (self.top / "DEVELOPERS.md").read_text(encoding="utf-8")
        for match in re.finditer(r"`(?:[\w-]+/)*([\w-]+(?:/[\w-]+)?\.(?:c|h|py))`", text):
            if match.group(1) not in known and not re.search(r"NAME|KIND", match.group(1)):
                self.say("DEVELOPERS.md", line_of(text, match.start()), "there is no %s" % match.group(1))

    def check_top(self):
        for path in self.top.iterdir():
            if path.name not in TOP and not path.name.startswith(".") and not path.name.startswith("build"):
                self.say(path.name, 1, "does not belong to the top level")

    def check_named_in_tests(self, header, macro, prefix):
        text = (self.top / header).read_text(encoding="utf-8")
        body = text.split("#define %s(X)" % macro, 1)[1].split("\n\n", 1)[0]
        tests = ""
        for path in sorted((self.top / "tests").rglob("*")):
            if path.is_file() and path.suffix in {".c", ".h", ".sh", ".py", ".test"}:
                tests += path.read_text(encoding="utf-8", errors="replace")
        for word in re.findall(r"X\((\w+),", body):
            if not re.search(r"\b(%s%s)\b|RULE_?\(?%s\b|\{%s," % (prefix, word, word, word), tests):
                self.say(header, 1, "no test names %s%s" % (prefix, word))

    def run(self):
        sources = sorted(p for folder in ("src", "include") for p in (self.top / folder).rglob("*.[ch]"))
        for path in sources:
            self.check_source(path)
        for path in sorted((self.top / "tests").rglob("*.[ch]")):
            self.check_form(path.relative_to(self.top).as_posix(), path.read_text(encoding="utf-8"))
        self.check_circles(sources)
        self.check_walk()
        self.check_top()
        self.check_named_in_tests("include/coretally/domain/rule.h", "RULE_LIST", "RULE_")
        self.check_named_in_tests("include/coretally/base/err.h", "STATUS_LIST", "STATUS_")
        for finding in sorted(set(self.findings)):
            print(finding)
        print("%d sources, %d findings" % (len(sources), len(set(self.findings))))
        return 1 if self.findings else 0


if __name__ == "__main__":
    sys.exit(Lint(pathlib.Path(sys.argv[1]).resolve()).run())
