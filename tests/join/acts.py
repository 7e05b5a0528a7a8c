# SPDX-License-Identifier: MIT
"""The registry that two sides start from, and what each of them may do then: acts of every kind, as commands.

What is added carries a tag in a text that no later act changes (remark; of cores the note on their order), so that the
model can follow a thing whatever number or name it is given.
"""
import random

START = 1772668800  # 2026-03-05T00:00:00Z
SHIP, SHORE, LAB = "Mira Tamm", "Ida Lindqvist", "Aino Brandt"
PERSONS = (("Mira Tamm", "Jonas Varga"), ("Ida Lindqvist", "Chidi Okonjo"), ("Aino Brandt", "Mira Tamm"))
A, B, R = "U0030A", "U0030B", "U0031A"  # cored, cored, with a riser
NEW = "U0032A"
MAPPING = "time = Time; hole = Hole depth | m; strokes 1 = Strokes 1"
PUMP = ("--kind", "triplex", "--bore", "6in", "--stroke", "12in", "--efficiency", "97")
STRING = ("--string", "drill pipe,,5in,4.276in")
SURVEY = "depth_m,inclination_deg,azimuth_deg\n3021,0,0\n3060,%s,35\n"


def log_rows(day, minutes, begin, strokes, first=0):
    rows = ["Time,Hole depth,Strokes 1"]
    for minute in range(first, minutes, 10):
        at = (day - 1) * 1440 + minute
        rows.append("2026-03-%02dT%02d:%02d:00Z,%.2f,%d" % (day, minute // 60, minute % 60, begin + at / 10, at * strokes))
    return "\n".join(rows) + "\n"


TABLES = {
    "log-1.csv": log_rows(1, 1440, 2500, 90),
    "log-2a.csv": log_rows(2, 720, 2500, 90),
    "log-2b.csv": log_rows(2, 900, 2500, 90),
    "log-2c.csv": log_rows(2, 720, 2500, 92),
    "log-2d.csv": log_rows(2, 1100, 2500, 90, 900),
    "log-2e.csv": log_rows(2, 1440, 2500, 92, 1000),
    "log-3.csv": log_rows(3, 300, 2500, 90),
    "survey-1.csv": SURVEY % 4,
    "survey-2.csv": SURVEY % 5,
    "match.csv": "depth_m,matched_m\n0,0.4\n30,30.9\n",
    "growth.csv": "top_m,factor\n0,1.05\n20,1.12\n",
    "offsets.csv": "hole,core,offset_m,method,feature,reference\n%s,1,0.4,assumed,,\n%s,2,1.1,appended,,\n" % (A, A),
    "samples.csv": "hole,core,type,section,half,top_cm,bottom_cm,volume_cm3,remark\n"
                   "%s,1,H,2,W,60,62,10,row1\n%s,1,H,2,W,64,66,10,row2\n%s,2,H,5,A,20,22,5,row3\n" % (A, A, A),
    "bags.csv": "hole,what,number,from,to,remark\n%s,bag,21,2026-03-01T18:00:00Z,2026-03-01T18:10:00Z,bag21\n"
                "%s,bag,22,2026-03-01T18:20:00Z,2026-03-01T18:30:00Z,bag22\n" % (R, R),
    "sheet.txt": "joint 306 was counted twice\n",
}


def core(hole, name, top, sections, tag, *more):
    return ("core", "add", f"{hole}-{name}", top, "+9.5", "--recovered", "9.43", "--sections", sections, "--order-note", tag, *more)


BASE = (
    ("start", "903", "--title", "Two sides"),
    ("hole", "add", A, "--returns", "seafloor", "--rig-floor", "11.2", "--seafloor", "3021.4", "--seafloor-by", "tagged", "--zone",
     "+05:30"),
    core(A, "1H", "3021.4", "6x1.5,0.20,cc:0.23", "base1", "--on-deck", "2026-02-25 01:00"),
    core(A, "2H", "3030.9", "6x1.5,0.20,cc:0.23", "base2", "--on-deck", "2026-02-25 02:00"),
    core(A, "3H", "3040.4", "6x1.5,0.20,cc:0.23", "base3"),
    core(A, "4R", "3049.9", "2x1.5", "base4"),
    ("section", "amend", f"{A}-2H-5", "--voids", "30,34", "--whole-rounds", "140,150,pore water", "--reason", "taken"),
    ("section", "amend", f"{A}-4R-1", "--pieces", "1,12.5,1; 2,38,1.5", "--reason", "laid out"),
    ("sample", "add", f"{A}-2H-3W,45-47", "--volume", "10", "--requester", "Tamm", "--remark", "s1"),
    ("sample", "add", f"{A}-2H-3W,45-47", "--another", "--volume", "10", "--remark", "s2"),
    ("sample", "add", "--of", f"{A}-2H-3W,45-47", "45-46", "--remark", "s3"),
    ("sample", "add", f"{A}-1H-2W,10-12", "--volume", "5", "--lab-id", "L1", "--remark", "s4"),
    ("sample", "add", f"{A}-3H-4A,100-102", "--volume", "5", "--remark", "s5"),
    ("sample", "add", f"{A}-3H-4W,20-22", "--volume", "5", "--remark", "s6"),
    ("sample", "amend", f"{A}-3H-4W,20-22", "--top", "21", "--bottom", "23", "--reason", "ruler"),
    ("drilled", "add", A, "3070", "3080", "--remark", "d1"),
    ("drilled", "add", A, "3080", "3090", "--remark", "d2"),
    ("correction", "add", A, "tally", "+1", "--top", "3040", "--reason", "joint", "--remark", "c1"),
    ("correction", "add", A, "seafloor", "3021.5", "--seafloor-by", "camera", "--reason", "seen", "--remark", "c2"),
    ("correction", "add", A, "shift", "2H", "+0.2", "--reason", "slid", "--remark", "c3"),
    (LAB, "correction", "sign", A, "1", "--remark", "looked at"),
    ("hole", "add", B, "--returns", "seafloor", "--seafloor", "3022", "--seafloor-by", "tagged"),
    core(B, "1H", "3022", "3x1.5", "baseB1"),
    core(B, "2H", "3031.5", "3x1.5", "baseB2"),
    ("hole", "add", R, "--returns", "ship", "--seafloor", "1000", "--seafloor-by", "tagged", "--plan", "2500,,50"),
    ("pump", "add", R, "1", "--from", "2026-03-01T00:00:00Z", *PUMP, "--remark", "p1"),
    ("well", "add", R, "--from", "2026-03-01T00:00:00Z", "--inlet", "1000", "--bores",
     "riser,0,1000,19.5in; open,1000,,12.25in", *STRING, "--remark", "w1"),
    ("log", "add", R, "log-1.csv", "--set", MAPPING, "--gap", "600"),
    ("bag", "add", R, "2026-03-01T14:00:00Z", "2026-03-01T14:10:00Z", "--lithology", "clay", "--remark", "b1"),
    ("bag", "add", R, "2026-03-01T15:00:00Z", "2026-03-01T15:10:00Z", "--remark", "b2"),
    ("bag", "add", R, "2026-03-01T14:00:00Z", "--kind", "gas", "--remark", "g1"),
    ("check", "add", R, "2026-03-01T12:00:00Z", "2026-03-01T14:40:00Z", "--tracer", "carbide", "--sure", "--remark", "k1"),
    ("label", "print", f"{A}-2H-1W", f"{A}-2H-3W,45-47", f"{R}-BAG1", "--out", "base.svg"),
)

INTERVALS = ("10-12", "45-47", "100-102")
SAMPLES = (f"{A}-2H-3W,45-47", f"{A}-2H-3W,45-47#2", f"{A}-2H-3W,45-47/1", f"{A}-1H-2W,10-12", f"{A}-3H-4A,100-102",
           f"{A}-3H-4W,21-23")
CORES = (f"{A}-1H", f"{A}-2H", f"{A}-3H", f"{A}-4R", f"{B}-1H", f"{B}-2H")


class Side:
    """Random acts of one side: commands, with who and when. What is refused later is just not done."""

    def __init__(self, seed, name, persons, begin=0):
        self.random = random.Random(seed)
        self.name, self.persons = name, persons
        self.time = START + begin
        self.count = 0
        self.samples = list(SAMPLES)
        self.cores = list(CORES)
        kinds = sorted(name[3:] for name in dir(self) if name.startswith("do_"))
        self.kinds = [kind for kind in kinds for _ in range(WEIGHTS.get(kind, 2))]

    def acts(self, count):
        return [self.act() for _ in range(count)]

    def act(self):
        """(who, clock, words)"""
        self.time += self.random.choice((0, 0, 60, 60, 600, 3600))
        self.count += 1
        words = getattr(self, "do_" + self.random.choice(self.kinds))()
        return self.random.choice(self.persons), self.time, [*words, "--sure"]

    def pick(self, *words):
        return self.random.choice(words)

    def chance(self, share):
        return self.random.random() < share

    def tag(self):
        """Of this act alone."""
        return f"{self.name}-{self.count}"

    def option(self, *choices):
        """One of (option, values...), sometimes two."""
        chosen = self.random.sample(choices, min(len(choices), self.pick(1, 1, 2)))
        return [word for name, *values in chosen for word in ("--" + name, self.pick(*values))]

    def why(self):
        return ["--reason", self.pick("seen anew", "sheet 4", "typed wrongly")]

    # --- cores and sections ---

    def core_name(self):
        return self.random.choice(self.cores)

    def do_core_add(self):
        number = self.pick(5, 5, 6, 7)
        name = f"{number}{self.pick('H', 'H', 'X')}"
        self.cores.append(f"{A}-{name}")
        return core(A, name, "%.1f" % (3021.4 + 9.5 * (number - 1) + self.pick(0, 0, 0.1)), self.pick("3x1.5", "2x1.5,0.9", "1.5"),
                    self.tag())

    def do_core_amend(self):
        return ["core", "amend", self.core_name(), *self.option(
            ("top", "3030.95", "3030.92", "3040.45"), ("recovered", "9.40", "9.41"), ("remark", "gas", "smells", ""),
            ("hazard", "H2S", "H2S, 12 ppm", ""), ("on-deck", "2026-02-25T02:00:00Z", "2026-02-25T02:05:00Z"),
            ("liner", "9.5", "9.6")), *self.why()]

    def do_core_rename(self):
        core_name = self.core_name()
        name = self.pick("8H", "9H", "8X", core_name.split("-")[1][:-1] + "X")
        self.cores.append(core_name.split("-")[0] + "-" + name)
        return ["core", "amend", core_name, "--name", name, *self.why()]

    def do_core_withdraw(self):
        return ["core", "withdraw", self.pick(*CORES[2:]), *self.why()]

    def do_core_restore(self):
        return ["core", "amend", self.core_name(), "--restore", *self.why()]

    def do_section_add(self):
        return ["section", "add", f"{self.core_name()}-{self.pick('3', '4', '8', 'CC')}", self.pick("1.5", "1.2", "0.3"),
                *self.option(("remark", "found", "late"), ("voids", "10,12", "10,14"))]

    def do_section_amend(self):
        return ["section", "amend", f"{self.core_name()}-{self.pick('1', '2', '5')}", *self.option(
            ("curated", "1.48", "1.47", "1.10"), ("liner", "1.5", "1.52"), ("remark", "dry", "cracked"),
            ("voids", "30,34", "31,34; 60,61,yes", ""), ("whole-rounds", "130,140,gas", "100,110,pore water")), *self.why()]

    def do_section_withdraw(self):
        return ["section", "withdraw", f"{self.core_name()}-{self.pick('2', '7', 'CC')}", *self.why()]

    # --- samples ---

    def do_sample_add(self):
        name = f"{self.core_name()}-{self.pick('1W', '3W', '3W', '4A', '4W')},{self.pick(*INTERVALS)}"
        self.samples.append(name)
        more = self.option(("volume", "10", "5"), ("requester", "Okonjo", "Brandt"), ("purpose", "isotopes", "fossils"))
        another = ["--another"] if self.chance(0.3) else []
        return ["sample", "add", name, *another, *more, "--remark", self.tag()]

    def do_sample_add_twin(self):
        return ["sample", "add", f"{A}-3H-2W,{self.pick('10-12', '20-22')}", "--volume", self.pick("10", "10", "5"), "--remark", "twin"]

    def do_sample_amend(self):
        return ["sample", "amend", self.random.choice(self.samples), *self.option(
            ("volume", "11", "12"), ("mass", "4", "5"), ("requester", "Varga", "Brandt", ""), ("purpose", "isotopes", "fossils"),
            ("hazard", "formalin", "gas"), ("used-up", "yes", "no"), ("lab-id", "L1", "L2")), *self.why()]

    def do_sample_move(self):
        top = self.pick(9, 11, 44, 46, 99)
        name = self.random.choice(self.samples)
        self.samples.append("%s,%d-%d" % (name.split(",")[0], top, top + 2))
        return ["sample", "amend", name, "--top", str(top), "--bottom", str(top + 2), *self.why()]

    def do_sample_section(self):
        return ["sample", "amend", self.random.choice(self.samples), *self.option(("section", "1", "2"), ("half", "A", "W")), *self.why()]

    def do_sample_withdraw(self):
        return ["sample", "withdraw", self.random.choice(self.samples), *self.why()]

    def do_sample_restore(self):
        return ["sample", "amend", self.random.choice(self.samples), "--restore", *self.why()]

    def do_sub_sample(self):
        parent = self.random.choice(self.samples)
        self.samples.append(parent + "/" + self.pick("1", "2"))
        return ["sample", "add", "--of", parent, "--volume", self.pick("1", "2"), "--remark", self.tag()]

    # --- what is numbered in its hole ---

    def do_bag_add(self):
        hour = self.pick(16, 17, 18)
        kind = self.pick("", "", "gas", "mud")
        more = ["--lithology", self.pick("clay", "sand"), "--remark", self.tag()]
        if self.chance(0.25):
            return ["bag", "add", f"{R}-BAG{self.pick(4, 5, 100)}", f"2026-03-01T{hour}:00:00Z", f"2026-03-01T{hour}:10:00Z", *more]
        return ["bag", "add", R, f"2026-03-01T{hour}:00:00Z", *(["--kind", kind] if kind else []), *more]

    def bag(self):
        return R + self.pick("-BAG1", "-BAG2", "-BAG3", "-BAG4", "-GAS1", "-GAS2", "-MUD1")

    def do_bag_amend(self):
        return ["bag", "amend", self.bag(), *self.option(
            ("mass", "100", "120"), ("lithology", "silt", "sand", ""), ("contaminants", "cavings", "metal"), ("washed", "yes", "no"),
            ("from", "2026-03-01T13:58:00Z", "2026-03-01T13:59:00Z"), ("hazard", "H2S", "")), *self.why()]

    def do_bag_withdraw(self):
        return ["bag", "withdraw", self.bag(), *self.why()]

    def do_drilled_add(self):
        top = self.pick(3100, 3110, 3120, 3130)
        return ["drilled", "add", A, str(top), str(top + 8), "--remark", self.tag()]

    def do_drilled_amend(self):
        return ["drilled", "amend", A, self.pick("1", "2", "3"), *self.option(("bottom", "3079", "3079.5", "3089")), *self.why()]

    def do_drilled_withdraw(self):
        return ["drilled", "withdraw", A, self.pick("1", "2", "3"), *self.why()]

    def do_pump_add(self):
        return ["pump", "add", R, self.pick("2", "3"), "--from", "2026-03-01T00:00:00Z", *PUMP, "--remark", self.tag()]

    def do_pump_amend(self):
        return ["pump", "amend", R, self.pick("1", "2"), *self.option(("efficiency", "96", "95"), ("tolerance", "2", "3")), *self.why()]

    def do_pump_withdraw(self):
        return ["pump", "withdraw", R, self.pick("2", "3"), *self.why()]

    def do_well_add(self):
        return ["well", "add", R, "--from", f"2026-03-01T{self.pick('18', '20')}:00:00Z", *self.option(
            ("cemented", "2026-03-01T17:00:00Z"), ("flowline", "4m3", "5m3"), ("shaker-delay", "3min", "4min")), "--remark", self.tag()]

    def do_well_amend(self):
        return ["well", "amend", R, self.pick("1", "2"), *self.option(
            ("flowline", "2m3", "3m3"), ("inlet", "990", "995"), ("bores", "riser,0,1000,19.5in; open,1000,,12.25in,5",
                                                                  "riser,0,1000,19.5in; open,1000,,12.5in")), *self.why()]

    def do_well_withdraw(self):
        return ["well", "withdraw", R, "2", *self.why()]

    def do_check_add(self):
        return ["check", "add", R, f"2026-03-01T{self.pick('16', '17')}:00:00Z", f"2026-03-01T{self.pick('19:40', '20:02')}:00Z", "--tracer",
                self.pick("carbide", "rice"), "--remark", self.tag()]

    def do_check_amend(self):
        return ["check", "amend", R, self.pick("1", "2"), *self.option(
            ("seen", "2026-03-01T14:41:00Z", "2026-03-01T14:42:00Z"), ("tracer", "dye", "rice"), ("evidence", "page 4", "page 5")),
                *self.why()]

    def do_check_withdraw(self):
        return ["check", "withdraw", R, self.pick("1", "2"), *self.why()]

    # --- corrections ---

    def do_correction_add(self):
        words = self.pick(("tally", "+0.5", "--top", "3045"), ("shift", "3H", "+0.1"), ("shift", "1H", "-0.1"),
                          ("seafloor", "3021.6", "--seafloor-by", "camera"), ("reading", "2H", "--core-top", "3030.8"),
                          ("stretch", "heat", "--rise", "12"), ("survey", "survey-1.csv"), ("survey", "survey-2.csv"),
                          ("wireline", "match.csv"), ("growth", "growth.csv"), ("composite", "offsets.csv"))
        more = ["--supersedes", "standing"] if self.chance(0.4) else []
        evidence = ["--evidence-file", "sheet.txt"] if self.chance(0.2) else []
        return ["correction", "add", A, *words, *more, *evidence, *self.why(), "--remark", self.tag()]

    def do_correction_withdraw(self):
        return ["correction", "withdraw", A, self.pick("1", "2", "3", "4"), *self.why()]

    def do_correction_sign(self):
        return ["correction", "sign", A, self.pick("1", "2", "3", "4", "4"), "--remark", "looked at"]

    # --- the rest ---

    def do_hole_amend(self):
        return ["hole", "amend", self.pick(A, A, R), *self.option(
            ("tolerance", "0.5", "0.6"), ("heave", "0.2", "0.3", ""), ("remark", "calm", "rough"), ("tide", "0.4", "0.5"),
            ("plan", "2500,,40", "2500,2600,10; 2600,,20")), *self.why()]

    def do_hole_add(self):
        return ["hole", "add", NEW, "--returns", "seafloor", "--seafloor", self.pick("3000", "3001"), "--seafloor-by", "tagged", *self.option(
            ("tolerance", "0.5"), ("remark", "moved", "anew"))]

    def do_hole_withdraw(self):
        return ["hole", "withdraw", self.pick(B, NEW), *self.why()]

    def do_expedition_amend(self):
        return ["expedition", "amend", *self.option(("title", "Slopes", "Fans"), ("remark", "first leg", "second leg", "")), *self.why()]

    def do_log_add(self):
        return ["log", "add", R, self.pick("log-2a.csv", "log-2b.csv", "log-2c.csv", "log-2d.csv", "log-2e.csv", "log-3.csv"), "--set", MAPPING, "--gap", "86400"]

    def do_log_withdraw(self):
        return ["log", "withdraw", R, self.pick("2026-03-01", "2026-03-02"), *self.why()]

    def do_label_print(self):
        names = self.random.sample((f"{A}-2H-1W", f"{A}-2H-3W,45-47", f"{R}-BAG1", f"{A}-3H-1W", f"{A}-1H"), 2)
        return ["label", "print", *names, "--replace", "--out", f"{self.tag()}.svg"]

    def do_import_samples(self):
        return ["import", "samples", "samples.csv", "--set", "doubtful = keep"]

    def do_import_bags(self):
        return ["import", "bags", "bags.csv", "--set", "doubtful = keep"]


WEIGHTS = {"sample_add": 5, "sample_amend": 4, "sample_move": 3, "core_amend": 4, "section_amend": 4, "bag_add": 4, "correction_add": 5,
           "label_print": 1, "core_restore": 1, "sample_restore": 1, "hole_withdraw": 1, "import_bags": 1}


def main():
    for who, when, words in Side(1, "a", PERSONS[0]).acts(20):
        print(when, who, words)


if __name__ == "__main__":
    main()
