#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""A registry that an earlier version wrote is read by the program of today, and every answer is held against the one of then.

    older.py --bin FOLDER

registry.txt is what `git fast-export` printed of a registry that the program of cdc6a59 wrote: example-expedition/story.sh
as it was there, then more.sh. `git fast-import` makes of it the same commits, name for name. answers.session holds commands
and what that program said, standard output and standard error in order.

The answers of then are never rewritten. Where one changed on purpose, CHANGED says which, how and why; a row that
changes nothing is a failure, too. ADDED says what stands in an answer of today and had no place in one of then: it is cut out
before the two are held against each other, and must be there. What the audit folds today is held unfolded.
CORETALLY_OLDER=write makes answers.session anew, for use with the program of cdc6a59 alone.
"""
import argparse
import collections
import difflib
import os
import pathlib
import re
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "session"))
import run_session  # noqa: E402  pylint: disable=wrong-import-position

TIP = "94b5e911c95a391842b66e638d48d616406ba1a9"

# command: a regular expression that the whole command must match. old, new: what re.sub takes, over the lines of the
# answer joined by newlines ("^" and "$" stand at each line). why: what was decided, and by which point of which issue.
Change = collections.namedtuple("Change", "command old new why")
PENETRATION = "issue 11, point 4: what carries no record is part of the penetration, which stands on the depths of today"
PACE = "issue 11, point 5: minutes of pumping and of drilling, not of the clock; what is not drilled yet has a time, too"
KEPT = "issue 11, point 19: what was kept against doubt is marked; nothing is here"
WORDS = "issue 12, Words: the same sentence, plainer"
WHO = "issue 14, point 5: who recorded, who withdrew and who signed, each with the commit and the time of it"
STATE = "issue 14, point 4: a state is told whole where somebody may want to name it later"
OPENING = "issue 14, point 4: the page opens with what moved, by which act, and what is open"
REACH = "issue 14, point 5: what is found, lost or has no sections is counted, against what, and where it acts"
STEPS = "issue 14, point 5: the steps add up to what is said above them, at the lower end, too"
CHANGED = [
    Change(r"coretally recovery.*", r'(U0012A all.*)penetration 112\.300 m, of it 35\.000 not cored \(drilled or washed\)',
           r"\1penetration 121.420 m, of it 35.000 not cored (drilled or washed), 9.770 neither cored nor recorded as drilled "
           r"(2 gaps, the first DSF 43.700-53.320; all of it opened by corrections)", PENETRATION),
    Change(r"coretally recovery.*", r'(U0014A all.*)penetration 68\.600 m, of it 40\.300 not cored \(drilled or washed\)',
           r"\1penetration 109.429 m, of it 40.844 not cored (drilled or washed), 40.747 neither cored nor recorded as drilled "
           r"(2 gaps, the first DSF 18.739-18.820; 0.247 opened by corrections)", PENETRATION),
    Change(r"coretally recovery.*", r"^(U0014S all  .*)-$",
           r"\1penetration 19.600 m below the kickoff, of it 10.000 neither cored nor recorded as drilled (DSF 57.881-67.881)",
           PENETRATION),
    Change(r"coretally recovery.*", r"^(U0012B all  .*)-$", r"\1penetration 54.800 m", PENETRATION),
    Change(r"coretally recovery U0012A --from 20 --to 120", r"is counted whole$",
           r"is counted whole; within the range: penetration 100.000 m, of it 35.000 not cored (drilled or washed), 9.770 neither "
           r"cored nor recorded as drilled (2 gaps, the first DSF 43.700-53.320)", PENETRATION),
    Change(r"coretally lag schedule U0013A.*", r"pace of the last ten minutes of pumping: 1\.932 m3/min",
           "flow of the last 10 min of pumping: 1.932 m3/min; rate of the last 30 min of drilling: 8.0 m/h", PACE),
    Change(r"coretally lag schedule U0013A.*", r"^(3390\.00  2390\.00  )- .*not drilled yet; then",
           r"\g<1>2026-03-11T07:41:27+05:30      131.5          15774  not drilled yet; 28 min of drilling, then", PACE),
    Change(r"coretally core show U0014A-2R --json", r',"commit":"b33f8eb', r',"kept":null,"commit":"b33f8eb', KEPT),
    Change(r".*", "tide is corrected for, and it is not recorded when this came up",
           "the tide correction needs the time when this came up, which is not recorded", WORDS),
    Change(r"coretally audit.*", "What stands behind # is what each", "The text after # says what each", WORDS),
    Change(r"coretally audit.*", "with a depth by it", "given a depth", WORDS),
    Change(r"coretally audit.*", "without a depth by it", "left without a depth", WORDS),
    Change(r"coretally label list.*", "of things that are no more, or have another name now: take these labels off; what has a new name is among:",
           "for what no longer stands or has another name now: take these labels off; for the new names:", WORDS),
    # Who, and when.
    Change(r"coretally correction show U0014A 12 --json", '(?="signed":null)',
           '"recorded":"Ines Okonjo 3ab94675be 2026-03-24T08:39:00Z",', WHO),
    Change(r"coretally correction show U0012A 3", r"^(field|hole|number|what|offsets|reason)(?=  )", r"\1 ", WHO),
    Change(r"coretally correction show U0012A 3", r"^(?=since commit)",
           "recorded  Ida Lindqvist a058fe6715 2026-03-20T08:00:00Z" + 41 * " " + "by whom and when\n", WHO),
    Change(r"(for hole in .*|coretally )(correction list|audit).*", r"Ida Lindqvist 70d94ed06a", r"\g<0> 2026-03-22T09:00:00Z",
           WHO),
    Change(r"(for hole in .*|coretally )(correction list|audit).*", r"withdrawn(: it was in the sum.*?)04673cbfab",
           r"withdrawn by Ines Okonjo 04673cbfab\g<1>89386ede8f", WHO),
    Change(r"coretally audit.*", r"^(state +withdrawn)(?=: it was in the sum)", r"\1 by Ines Okonjo 04673cbfab", WHO),
    Change(r"coretally audit.*", r"(?<=  )(state|in force) {20,23}(?=  commit|  [0-9a-f]{10}  )", r"\g<0>" + 26 * " ", WHO),
    Change(r"coretally audit.*", r"^(signed  .* 2026-03-22T09:00:00Z)$", r"\1: held against tally sheet 7", WHO),
    # The whole state.
    Change(r"coretally recovery (?!.*--(json|csv)).*", r"\Z", f"\nstate {TIP} of the registry", STATE),
    Change(r"coretally history U0013A-BAG4", f"state {TIP[:10]} of", f"state {TIP} of", STATE),
    Change(r"coretally compare.*", r"^from state 8bde67e48a to state 70d94ed06a",
           "from state 8bde67e48acf3f00d4a3784ae14e7ab5d8382ecb\n  to state 70d94ed06a1099de7281ab9b7c1cd5bdcef3ba24", STATE),
    Change(r"coretally compare.*", r"^from state 70d94ed06a to state 94b5e911c9",
           f"from state 70d94ed06a1099de7281ab9b7c1cd5bdcef3ba24\n  to state {TIP}", STATE),
    # What a correction moves.
    Change(r"coretally correction list .*--csv", r"^number,.*",
           r"\g<0>,against,given_a_depth,left_without,cores_without_sections,made_of", REACH),
    Change(r"coretally correction list .*--csv", r"(U0014A,)CSF-B(,1,3,1,,0\.501)", r"\1CSF-A\2", REACH),
    Change(r"coretally correction list .*--csv", r"^\d.*,(CSF-|CCSF|WMSF|TVD).*", r"\g<0>,none,,,0,", REACH),
    Change(r"coretally correction list .*--csv", r"^8,.*", r"\g<0>,,,,,", REACH),
    Change(r"coretally correction list .*--csv", r"^(5,seafloor,2500.*,none),", r'\1,"2 cores, 11 sections, 2 samples"', REACH),
    Change(r"coretally correction list .*--csv", r"^(1[0-3],\w+,\d.*,none),", r'\1,"3 cores, 15 sections, 2 samples"', REACH),
    Change(r"coretally correction list .*--csv", r"^(6,tide.*,none,),", r'\1,"1 core, 1 section"', REACH),
    Change(r"coretally correction reach U0012A 1 --each --csv", r"moved_m$", r"\g<0>,against", REACH),
    Change(r"coretally correction reach U0012A 1 --each --csv", r"9\.620$", r"\g<0>,none", REACH),
    Change(r"coretally audit.*", r"(by \+0\.501 m \()CSF-B", r"\1CSF-A", REACH),
    Change(r"coretally audit.*", r"10 (cores by -0\.500 m; .*)(?= \(CSF-A)",
           r"9 \1; cores without sections (DSF): 1 run by -0.500 m", REACH),
    Change(r"coretally audit.*",
           r"^what (.*\n)cores (.*) 10   -0\.500      \+9\.270  \+4\.325(.*\n)sections (.*\n)samples (.*\n)bags (.*)$",
           r"what               \1cores               \2  9   -0.500      +9.270  +4.861\3sections               \4"
           r"samples               \5bags               \6\ncores without sections  DSF        1   -0.500      -0.500  -0.500     0      0",
           REACH),
    # Steps since a label.
    Change(r"coretally trace .*", r"^since it was printed .* moved m", r"\g<0>  lower end m", STEPS),
    Change(r"coretally trace .*", r"^(correction [12] of U0012A \(\w+\) +)( 9\.620|-0\.500)", r"\1\2       \2", STEPS),
    Change(r"coretally trace .*--json", r'^({"since_it.*"moved_m":-0\.500,)', r'\1"lower_end_m":-0.500,', STEPS),
    Change(r"coretally trace U0013A-BAG3", r"^since it was printed ", r"\g<0>     ", STEPS),
    Change(r"coretally trace U0013A-BAG3", r"^pumps (.*-0\.126)(.*)$",
           r"pumps      \1       -0.123\2\nrounding of what is shown    0.006        0.003  -           -            -                     -",
           STEPS),
    # The page of the audit.
    Change(r"coretally audit.*",
           r"\AAudit.*\n=+\n\nexpedition +(.*)\nremark +(.*)\nstate +(\w+)\nits last act +(.*)\nin commit .*, (\S+Z), .*\n"
           r"compared with the state of  (\w+) .*, (\S+Z), .*\nworked out by .*\n",
           r"Audit of expedition 901: depths, and what moved them\n" + 52 * "=" + r"\n\nexpedition       \1; \2\nstate            \3, \5: \4\n"
           r"since            state \6, \7: Labels: 1 printed as vial, U0012B-2H-6W,148-150\n", OPENING),
]

Addition = collections.namedtuple("Addition", "command text why")
ADDED = [
    Addition(r"coretally audit.*",
             r"^sound            yes: verify found 0 damaged, 0 wrong, 0 doubtful in 152 files, (.*\n)*?(?=\nReadings are as)", OPENING),
    Addition(r"coretally audit.*", r"^Lag checks\n\n.*\nU0013A  lag check 2 is doubtful.*\n\n",
             "issue 14, point 4: what is doubtful about a lag check is open, too"),
    Addition(r"coretally audit.*", r"^Shift against depth\n\n.*bags.*\n\n(.+\n)+\n",
             "issue 14, point 4: bags are drawn, and told in numbers"),
    Addition(r"coretally audit.*", r"^(takes over|does not take over) .*\n",
             "issue 14, point 4: what a sidetrack takes over of its parent"),
    Addition(r"coretally audit.*", r"^coretally verify --registry clone\.git.*\n    # .*\n",
             "issue 14, point 4: verify is among the ways to check an audit"),
    Addition(r"coretally audit.*", r"^git -C clone\.git show .*\n    # an act that .*\n",
             "issue 14, point 4: so are the acts that moved depths and recorded no correction"),
]


def parse(text):
    """The commands of a session, each with the lines that it printed."""
    commands = []
    for line in text.splitlines():
        if line.startswith("$ "):
            commands.append((line[2:], []))
        elif commands:
            commands[-1][1].append(line)
    return commands


def bring_back(folder, variables):
    """The registry, by git alone; its tip must be the very commit that the older program wrote."""
    registry = os.path.join(folder, "registry.git")
    git = ["git", "-C", registry]
    subprocess.run(["git", "init", "--quiet", "--bare", "-b", "main", registry], env=variables, check=True)
    with open(HERE / "registry.txt", "rb") as export:
        subprocess.run([*git, "fast-import", "--quiet", "--done"], env=variables, stdin=export, check=True)
    tip = subprocess.run([*git, "rev-parse", "main"], env=variables, stdout=subprocess.PIPE, check=True).stdout.decode().strip()
    assert tip == TIP, f"git made {tip} of registry.txt, and not {TIP}"
    return registry


def today(command, then, used):
    """What is expected today where the older program printed these lines."""
    text = unfolded(command, then)
    for change in CHANGED:
        if re.fullmatch(change.command, command):
            text, count = re.subn(change.old, change.new, text, flags=re.M)
            used[change] += count
    return text.split("\n") if text else []


def without_added(command, found, used):
    """What the program of today printed, without what had no place then."""
    text = unfolded(command, found)
    for addition in ADDED:
        if re.fullmatch(addition.command, command):
            text, count = re.subn(addition.text, "", text, flags=re.M)
            used[addition] += count
    return text.split("\n") if text else []


def unfolded(command, lines):
    """The lines as one text; what the audit goes on with under a value stands behind it."""
    text = "\n".join(lines)
    return re.sub(r"\n {17,}(?=\S)", " ", text) if command.startswith("coretally audit") else text


def compare(folder, variables):
    failed = 0
    used = collections.Counter()
    commands = parse((HERE / "answers.session").read_text(encoding="utf-8"))
    for command, then in commands:
        expected = today(command, then, used)
        found = without_added(command, run_session.run(command, folder, variables), used)
        if found == expected:
            continue
        failed += 1
        print(f"$ {command}")
        for line in difflib.unified_diff(expected, found, "expected: then, and CHANGED", "found today", n=1, lineterm=""):
            print(line)
    for row in CHANGED + ADDED:
        if not used[row]:
            failed += 1
            print(f"a row that changes nothing: {row.command}: {row[1]}")
    print(f"{len(commands)} answers of an older registry, {failed} not as expected")
    return failed


def acts_go_on(folder, variables):
    """The older registry takes in acts of today: its records are written by the same rules."""
    for command in (
        "coretally core amend U0012A-6X --remark 'core 6X laid out again' --reason 'looked at again'",
        "coretally sample add 'U0012A-5H-3W, 20-22 cm' --purpose isotopes",
        "coretally correction add U0012A shift 5H +0.05 --reason 'core fell'",
        "coretally bag amend U0013A-BAG5 --lithology clay --reason 'cement had been sieved off'",
        "coretally well amend U0013A 2 --inlet 999.5 --reason 'riser sheet'",
        "coretally label print --new --out new.pdf",
    ):
        said = run_session.run(command, folder, variables)
        if not any(line.startswith("recorded: ") for line in said):
            print("\n".join(["$ " + command, *said, "was not recorded in an older registry"]))
            return 1
    # A shift of a core may leave its neighbour above it; nothing may be damaged or wrong, nor of another form.
    said = run_session.run("coretally verify", folder, variables)
    if said and said[-1].startswith("[exit"):
        print("\n".join(["$ coretally verify", *said]))
        return 1
    return 0


def write(folder, variables):
    """What the program says, as answers.session. Only the program that wrote the registry may do this."""
    path = HERE / "answers.session"
    lines = []
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("# ") and not any(text.startswith("$ ") for text in lines):
            lines.append(line)
        elif line.startswith("$ "):
            lines += [line, *run_session.run(line[2:], folder, variables)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def main():
    parser = argparse.ArgumentParser(description="holds answers from an older registry against those of then")
    parser.add_argument("--bin", required=True, help="the folder of the program")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="older-") as place:
        place = os.path.realpath(place)
        folder = os.path.join(place, "table")
        scratch = os.path.join(place, "tmp")
        os.mkdir(folder)
        os.mkdir(scratch)
        variables = run_session.environment(os.path.realpath(options.bin), folder, scratch)
        variables["CORETALLY_CLOCK"] = "2026-03-25T08:00:00Z"  # whoever reads it comes after its last act
        bring_back(folder, variables)
        if os.environ.get("CORETALLY_OLDER") == "write":
            write(folder, variables)
            return 0
        with run_session.warm_process(os.path.realpath(options.bin), variables) as warm:
            failed = compare(folder, warm)
            failed += acts_go_on(folder, warm)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
