#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Lag over many days: what the program reads of the log for a question must not decide the answer.

    lag_windows.py --bin DIR [--seed 1] [--wells 2] [--keep FOLDER]

Each well is generated: 4 to 9 days, drilling and connections, stops over midnight, a day without rows, a booster, losses
that come and go, casing, liners, a lag check; in every second one missing cells and a hole that goes back. Demanded: list,
show and add agree; midnight is a time like any other; many depths and one; of and at are inverse; one file or many, one
tree; a followed log shows what the recorded one shows.
"""
import bisect
import concurrent.futures
import datetime
import json
import os
import random
import re
import shutil
import sys
import time

from table import Table, asked, place, verdict

HOLE = "U0013A"
BEGIN = datetime.datetime(2026, 3, 1, tzinfo=datetime.timezone.utc)
DAY_S = 86400
BRIDGE = ("--bridge", "gap,missing,hole-back,bit-below")
DELAY_S = 120  # flowline to shaker
AROUND = (-100, -5, 0, 5, 100)  # s, of a midnight
ROUNDED_M = 0.00501  # lists are shown to 1 cm
WHOLE_SECONDS_M = 0.02  # times are shown to 1 s


def stamp(second):
    return (BEGIN + datetime.timedelta(seconds=second)).strftime("%Y-%m-%dT%H:%M:%SZ")


def seconds(text):
    return (datetime.datetime.fromisoformat(text.replace("Z", "+00:00")) - BEGIN).total_seconds()


class Well:
    """What the rig did: rows (second, bit, hole, strokes 1, strokes B), and when what changed."""

    def __init__(self, chance, is_bad):
        self.chance = chance
        self.days = chance.randint(4, 9)
        self.second = chance.randrange(0, 5 * 3600, 5)
        self.hole = 2100.0 + chance.randrange(100)
        self.strokes = float(chance.randrange(5000))
        self.boosted = float(chance.randrange(5000))
        self.booster = 0
        self.rows = []
        self.odd = []  # spans in which empty cells of a counter are caught up at once: a second there is many metres
        self.drilling = []  # (from, to) of activities
        self.casing = None
        self.stops = set(chance.sample(range(1, self.days), 2))  # midnights that the pumps stand over
        self.gap = chance.randrange(1, self.days - 1)
        self.case_day = chance.choice([day for day in range(1, self.days) if day != self.gap])
        self.drill()
        self.leave_out()
        if is_bad:
            self.spoil()

    def row(self, off_bottom):
        self.rows.append([self.second, round(self.hole - off_bottom, 2), round(self.hole, 2), int(self.strokes),
                          int(self.boosted)])

    def activity(self, least_s, most_s, spm=0, rop_m_h=0.0, off_bottom=0.0):
        """Whole steps, so that what the rig does changes with a row."""
        step = self.chance.choice((30, 40, 45, 50, 60))
        begin = self.second
        for _ in range(max(1, self.chance.randint(least_s, most_s) // step)):
            self.second += step
            self.strokes += spm * step / 60
            self.boosted += self.booster * step / 60
            self.hole += rop_m_h * step / 3600
            self.row(off_bottom)
        if rop_m_h:
            self.drilling.append((begin, self.second))

    def drill(self):
        chance = self.chance
        self.row(0)
        spm = 80
        while self.second < self.days * DAY_S - 3600:
            day, of_day = divmod(self.second, DAY_S)
            if day + 1 in self.stops and of_day > DAY_S - 5400:
                self.booster = chance.choice((0, self.booster))
                self.activity(2 * 3600, 5 * 3600, off_bottom=9)
            elif day == self.case_day and not self.casing and of_day > 30000:
                self.booster = 0
                self.activity(3600, 7200, spm=60, off_bottom=6)  # circulating before the trip
                self.activity(4 * 3600, 6 * 3600, off_bottom=600)
                self.casing = (self.second, self.hole - 4)
                self.activity(4 * 3600, 6 * 3600, off_bottom=300)
            else:
                if chance.random() < 0.3:
                    self.booster = chance.choice((0, 40, 60, 60))
                if chance.random() < 0.3:
                    spm = chance.choice((70, 80, 90, 110))
                self.activity(3000, 9000, spm=spm, rop_m_h=chance.uniform(5, 14))
                self.activity(300, 900, off_bottom=chance.choice((3, 9)))
                self.activity(60, 600, spm=spm, off_bottom=1)

    def leave_out(self):
        begin = self.gap * DAY_S - self.chance.choice((0, 0, 3700))
        end = (self.gap + 1) * DAY_S + self.chance.choice((0, 0, 7300))
        self.holes_s = (begin, end)
        self.rows = [row for row in self.rows if not begin <= row[0] < end]

    def spoil(self):
        """Empty cells here and there, some over midnight; the depth of the hole set back over another."""
        chance = self.chance
        rows = self.rows
        midnights = [bisect.bisect_left(rows, [day * DAY_S]) for day in range(1, self.days)
                     if day not in (self.gap, self.gap + 1)]
        places = [chance.randrange(5, len(rows) - 5) for _ in range(20)] + [at - 1 for at in midnights] + midnights
        for at in sorted(set(places)):
            cell = chance.choice((1, 2, 3, 4))
            count = chance.randint(1, 3)
            for row in rows[at:min(at + count, len(rows) - 1)]:
                row[cell] = None
            if cell > 2:
                self.odd.append((rows[at - 1][0], rows[min(at + count, len(rows) - 1)][0]))
        back = chance.choice(midnights) - chance.randrange(10, 60)
        for row in rows[back:back + 150]:
            if row[2] is not None:
                row[2] = round(row[2] - 0.8, 2)
            if row[1] is not None:
                row[1] = round(row[1] - 0.8, 2)

    def file(self, path, rows):
        with open(path, "w", encoding="utf-8") as out:
            out.write("time,bit_m,hole_m,strokes_1,strokes_B\n")
            for row in rows:
                out.write(",".join([stamp(row[0])] + ["" if cell is None else str(cell) for cell in row[1:]]) + "\n")
        return path

    def depth_at(self, second):
        """Deepest reading up to then."""
        return max(row[2] for row in self.rows if row[2] is not None and row[0] <= max(second, self.rows[0][0]))


class Tests(Table):
    """One well and its registries in a folder of their own."""

    def __init__(self, programs, folder, seed, is_bad):
        super().__init__(programs, folder, by_hand=True, CORETALLY_CLOCK=None)
        self.seed = seed
        self.chance = random.Random(seed)
        self.well = Well(self.chance, is_bad)
        self.is_bad = is_bad
        self.failures = []
        self.counts = {}
        self.changes = []  # instants from which another geometry holds
        self.runs = 0

    def asks(self, *words, registry="registry.git"):
        self.runs += 1
        return self.act(*words, "--registry", registry)

    def demand(self, name, is_met, *what):
        self.counts[name] = self.counts.get(name, 0) + 1
        if not is_met:
            self.failures.append(f"seed {self.seed}: {name}: " + " ".join(str(one) for one in what))

    def tree(self, registry):
        return self.git("rev-parse", "HEAD^{tree}", at=registry)

    def copy(self, registry, to):
        shutil.copytree(os.path.join(self.work, registry), os.path.join(self.work, to))
        return to

    def log(self, name, rows):
        return self.well.file(os.path.join(self.work, name), rows)

    def set_up(self):
        chance = self.chance
        self.act("start", "901")
        zone = chance.choice(("+05:30", "-03:30", "+00:00", "+12:00"))
        self.asks("hole", "add", HOLE, "--returns", "ship", "--rig-floor", "11.2", "--seafloor", "900", "--seafloor-by",
                 "tagged", "--zone", zone, "--tolerance", "0.5", "--heave", "0.3", "--plan", "2000,,2")
        self.asks("well", "add", HOLE, "--from", stamp(0), "--inlet", "900", "--shaker-delay", f"{DELAY_S}s",
                 "--flowline", "3",
                 "--bores", "riser,0,900,19.5in; casing,900,2000,12.3in; open,2000,,12.25in,3,3mm",
                 "--string", "collars,150,8in,2.81in; drill pipe,,5in,4.276in")
        self.asks("pump", "add", HOLE, "1", "--from", stamp(0), "--kind", "triplex", "--bore", "6.5in", "--stroke",
                 "12in", "--efficiency", "97", "--tolerance", "2")
        self.asks("pump", "add", HOLE, "B", "--from", stamp(0), "--line", "booster", "--kind", "measured", "--output",
                 "0.1bbl/stk")
        end = self.well.rows[-1][0]
        states = []  # a state takes over from the one before it: recorded in order of time
        for loss in (0.2, 0.6):
            begin = int(end * chance.uniform(loss, loss + 0.1))
            states.append((begin, "--loss-depth", "1900", "--loss", str(chance.choice((10, 25, 40)))))
            states.append((begin + chance.randrange(3600, 15 * 3600), "--loss", "", "--loss-depth", ""))
        if self.well.casing:
            when, shoe = self.well.casing
            states.append((when, "--bores", f"riser,0,900,19.5in; casing,900,{shoe:.2f},9.6in; "
                           f"open,{shoe:.2f},,9.5in,2,3mm", "--string",
                           "collars,100,6.5in,2.81in; drill pipe,,5in,4.276in"))
            self.changes.append(when)
        for begin, *words in sorted(states):
            self.asks("well", "add", HOLE, "--from", stamp(begin), *words)
        self.asks("pump", "add", HOLE, "1", "--from", stamp(int(end * chance.uniform(0.3, 0.7))), "--bore", "6in")

    def take_in(self):
        """One file, or cut anywhere into several: one tree."""
        rows = self.well.rows
        for name in ("cut.git", "day.git"):
            self.copy("registry.git", name)
        self.asks("log", "add", HOLE, self.log("all.csv", rows), *BRIDGE)
        cuts = sorted(self.chance.sample(range(2, len(rows) - 2), 4))
        midnight = bisect.bisect_left(rows, [(self.well.gap + 1) * DAY_S])
        cuts = [0] + sorted(set(cuts + [midnight])) + [len(rows)]
        for at, (begin, end) in enumerate(zip(cuts, cuts[1:])):
            overlap = self.chance.choice((0, 0, 1, 40))
            self.asks("log", "add", HOLE, self.log(f"cut{at}.csv", rows[max(0, begin - overlap):end]), *BRIDGE,
                     registry="cut.git")
        self.demand("one tree", self.tree("registry.git") == self.tree("cut.git"), "cut before rows", cuts)

    def follow(self):
        """The last day as it grows, followed and taken in."""
        rows = self.well.rows
        last = bisect.bisect_left(rows, [rows[-1][0] // DAY_S * DAY_S])
        self.asks("log", "add", HOLE, self.log("before.csv", rows[:last]), *BRIDGE, registry="day.git")
        for share in (0.05, 0.4, 1):
            until = last + max(2, int((len(rows) - last) * share))
            begin = last - self.chance.choice((0, 1, 200))
            grown = self.log("grown.csv", rows[begin:until])
            before = self.tree("day.git")
            words = ("lag", "schedule", HOLE, "--count", "8", "--csv")
            followed = self.asks(*words, "--follow", grown, "--times", "1", *BRIDGE, registry="day.git")
            self.demand("following records nothing", before == self.tree("day.git"))
            self.asks("log", "add", HOLE, grown, *BRIDGE, registry="day.git")
            recorded = self.asks(*words, registry="day.git")
            self.demand("followed as recorded", followed == recorded, stamp(rows[until - 1][0]), "\n", followed,
                        "\n", recorded)
        self.demand("one tree", self.tree("day.git") == self.tree("registry.git"), "the last day bit by bit")

    def of(self, *depths):
        return json.loads(self.asks("lag", "of", HOLE, *[f"{depth:.2f}" for depth in depths], "--json"))

    def at(self, second):
        out = json.loads(self.asks("lag", "at", HOLE, stamp(second), "--json"))
        return out[0] if isinstance(out, list) else out

    def check(self):
        """A lag check that comes a little later than it is due."""
        spans = [span for span in self.well.drilling if span[1] - span[0] > 3600 and span[0] > DAY_S / 2 and
                 not self.well.holes_s[0] - DAY_S / 2 < span[0] < self.well.holes_s[1]]
        self.chance.shuffle(spans)
        for begin, _ in spans[:8]:
            due = self.of(self.well.depth_at(begin + 1500))[0]
            if due["at_the_shaker"] is None:
                continue
            for later in (180, 420, 0):
                words = ("check", "add", HOLE, stamp(begin + 900), stamp(int(seconds(due["at_the_shaker"])) + later))
                done = self.run(*words)
                if done.returncode == 0:
                    out = json.loads(self.asks("check", "list", HOLE, "--json"))
                    self.demand("a lag check", out[0]["effective_mm"] is not None, words)
                    self.changes += [begin + 900, seconds(self.of(out[0]["from_MRF_m"])[0]["cut_at"])]
                    return
        self.demand("a lag check", False, "no time for one was found")

    def state(self, second):
        return sum(change <= second for change in self.changes)

    def bags(self):
        chance = self.chance
        times = []
        days = sorted({self.well.gap, self.well.gap + 1, *self.well.stops, 1})[:5]
        for day in days:
            midnight = day * DAY_S
            times += [(midnight + off, None) for off in AROUND]
        for _ in range(6):
            second = chance.randrange(7200, self.well.rows[-1][0] - 900)
            times.append((second, second + chance.randrange(30, 900)))
        midnight = chance.randrange(1, self.well.days) * DAY_S
        times.append((midnight - 300, midnight + 300))
        added = {}
        for number, (begin, end) in enumerate(times, 1):
            words = [stamp(one) for one in (begin, end) if one is not None]
            out = self.asks("bag", "add", f"{HOLE}-BAG{number}", *words, "--sure")
            added[number] = re.search(r"MRF ([0-9.]+)(?:-([0-9.]+))? m below rig floor \(low ([^,]+), high ([^)]+)\)",
                                      out)
        listed = json.loads(self.asks("bag", "list", HOLE, "--json"))
        self.demand("every bag is listed", len(listed) == len(times))
        for number, row in enumerate(listed, 1):
            self.compare_bag(number, row, added[number])
        self.compare_midnights([(begin, listed[at]["MRF_top_m"]) for at, (begin, end) in enumerate(times) if not end])

    def compare_bag(self, number, row, said):
        shown = json.loads(self.asks("bag", "show", f"{HOLE}-BAG{number}", "--json"))
        for at, what in enumerate(("top", "bottom", "low", "high")):
            ours = row[f"MRF_{what}_m"]
            show = shown[f"mrf_{what}_m"]
            add = None
            if said:
                add = said.group(at + 1) or (said.group(1) if what == "bottom" else None)
                add = None if add in (None, "n/a") else float(add)
            is_same = ours == add and (show is None if ours is None else
                                       show is not None and abs(ours - show) < ROUNDED_M)
            self.demand("list, show and add", is_same, row["name"], row["from"], what, "list", ours, "show", show,
                        "add", add)

    def left(self, second, depth):
        """Which geometry held when this left the bit; None: not known."""
        now = self.at(second)
        self.demand("list and at", depth == now["MRF_top_m"], stamp(second), depth, now)
        return None if now["left_the_bit_at"] is None else self.state(seconds(now["left_the_bit_at"]))

    def compare_midnights(self, points):
        """In order of time: never back, and no leap in seconds, while one geometry holds."""
        run = []
        for group in (sorted(points[at:at + len(AROUND)]) for at in range(0, len(points), len(AROUND))):
            if any(depth is None for _, depth in group):
                run = []
                continue
            ends = [self.left(*group[0]), self.left(*group[-1])]
            if ends[0] is None or ends[0] != ends[1]:
                run = []
                continue
            run = (run if run and run[0] == ends[0] else [ends[0]]) + group
            for before, after in zip(run[-len(group) - 1:], run[-len(group):]):
                if isinstance(before, int):
                    continue
                self.demand("never back", after[1] >= before[1], stamp(before[0]), before[1], stamp(after[0]), after[1])
                if after[0] - before[0] <= 5 and not self.is_bad:
                    self.demand("no leap", after[1] - before[1] < 0.2, stamp(before[0]), before[1], stamp(after[0]),
                                after[1])

    def depths(self):
        well = self.well
        out = []
        for day in range(1, well.days):
            depth = well.depth_at(day * DAY_S)
            out += [depth, depth + self.chance.uniform(0.01, 0.3)]
        out += [self.chance.uniform(*(well.depth_at(second) for second in well.holes_s)) for _ in range(3)]
        out += [self.chance.uniform(well.rows[0][2] + 0.1, well.rows[-1][2]) for _ in range(8)]
        self.chance.shuffle(out)
        return [round(depth, 2) for depth in out if depth < well.rows[-1][2]]

    def of_and_at(self, most):
        depths = self.depths()[:most]
        together = self.of(*depths)
        for depth, row in zip(depths, together):
            alone = self.of(depth)
            self.demand("many and one", [row] == alone, depth, row, alone)
            if row["at_the_shaker"] is None:
                continue
            cut, arrives = seconds(row["cut_at"]), seconds(row["at_the_shaker"])
            is_odd = any(begin - 60 <= cut <= end + 60 or begin - 60 <= arrives <= end + 60 + DELAY_S
                         for begin, end in self.well.odd)
            if is_odd or self.state(cut - 1) != self.state(arrives + 1):
                continue
            back = self.at(arrives)
            self.demand("of and at", back["MRF_top_m"] is not None and
                        abs(back["MRF_top_m"] - depth) <= WHOLE_SECONDS_M, depth, row, back)

    def all(self):
        self.set_up()
        self.take_in()
        self.follow()
        self.of_and_at(20)
        self.check()
        self.bags()
        self.of_and_at(8)
        return self


def main():
    args = asked(__doc__, seed=1, wells=2)
    begin = time.monotonic()
    with place(args) as work:

        def one(number):
            return Tests(args.bin, os.path.join(work, f"well{number}"), args.seed + number, number % 2 == 1).all()

        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            done = list(pool.map(one, range(args.wells)))
    for tests in done:
        print(f"seed {tests.seed}: {tests.well.days} days, {len(tests.well.rows)} rows, {tests.runs} runs: " +
              ", ".join(f"{name} {count}" for name, count in tests.counts.items()))
    return verdict([failure for tests in done for failure in tests.failures], f"{time.monotonic() - begin:.1f} s,")


if __name__ == "__main__":
    sys.exit(main())
