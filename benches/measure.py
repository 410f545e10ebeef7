#!/usr/bin/env python3
"""Remakes the tables of README's section on speed, between its markers: `python3 benches/measure.py [--only NAME ...]`.

Makes a venv with eccodes and numpy, writes invented forecasts (about 1 GB in DIR, on all processors), builds the release,
and measures: a quarter of an hour on a machine with nothing else to do, once the forecasts are there. Seconds of the
clock say little on a machine that is shared, so seconds of the processors (user) stand beside them.

`--only limit` measures the whole job against ecCodes unpacking the same messages, in turns, in less than five minutes.
`--only` with a word that is no part lists the parts. `--no-readme` prints the tables and leaves README alone.
"""
import argparse
import csv
import json
import os
import platform
import re
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
TARGET = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
PROGRAM = TARGET / "release/roughwater"
FOILER = ("examples/boats/sleet-heron-15.toml", "polars/sleet-heron-15.csv")
CRUISER = ("examples/boats/oat-plover-10.toml", "polars/oat-plover-10.csv")
FIELDS = 19
PROCESSES = os.cpu_count()
# twelve boxes of ocean: west, south, east, north
OCEANS = {
    "North Atlantic west": (-60, 30, -35, 50), "North Atlantic east": (-35, 30, -12, 50), "South Atlantic": (-30, -40, 5, -10),
    "Southern Indian west": (30, -55, 70, -35), "Southern Indian east": (70, -55, 110, -35), "Indian trades": (60, -25, 100, -5),
    "South of Australia": (115, -55, 150, -38), "South Pacific west": (160, -55, 200, -35), "South Pacific east": (200, -55, 270, -40),
    "Pacific trades": (190, -20, 240, 5), "North Pacific west": (145, 30, 190, 48), "North Pacific east": (190, 30, 230, 48),
}  # fmt: skip
HALF = dict(list(OCEANS.items())[:6])


def call(*arguments, **options):
    return subprocess.run([str(a) for a in arguments], check=True, cwd=ROOT, **options)


class Run:
    """A command that ran: seconds of the clock and of the processors, peak memory in MB, the answer."""

    def __init__(self, command, environment=None):
        begin = time.perf_counter()
        child = subprocess.Popen([str(a) for a in command], stdout=subprocess.PIPE, env=environment, cwd=ROOT)
        self.answer = child.stdout.read()
        _, status, usage = os.wait4(child.pid, 0)
        self.seconds = time.perf_counter() - begin
        self.cpu, self.peak_mb = usage.ru_utime, usage.ru_maxrss / 1024
        # declared gaps are no failure
        if os.waitstatus_to_exitcode(status) not in (0, 3):
            raise SystemExit(f"{command[1]} failed")

    def json(self):
        return json.loads(self.answer)


class Measure:
    def __init__(self, folder, packing, writes_readme):
        self.folder, self.packing, self.writes_readme = folder, packing, writes_readme
        self.runs = {}

    # what is measured on

    def python(self):
        at = self.folder / "venv/bin/python"
        if not at.exists():
            call(sys.executable, "-m", "venv", self.folder / "venv")
            call(at, "-m", "pip", "install", "-q", "numpy==2.4.6", "eccodes==2.50.0", "eccodeslib==2.50.0.33")
        return at

    def made(self, name, steps, **options):
        """An invented forecast; its steps are shared among the processors."""
        out = self.folder / f"{name}.grib2"
        if not out.exists():
            options = [item for key, value in options.items() for item in (f"--{key}", value)]
            bounds = [round(part * steps / PROCESSES) for part in range(PROCESSES + 1)]
            parts = [self.folder / f"part-{part}" for part in range(PROCESSES)]
            command = [self.python(), ROOT / "benches/peers/make_global.py"]
            making = [
                subprocess.Popen([str(a) for a in [*command, part, "--from-step", first, "--steps", end, *options]], cwd=ROOT)
                for part, first, end in zip(parts, bounds, bounds[1:])
            ]
            if any(child.wait() for child in making):
                raise SystemExit(f"{out} could not be made")
            with open(parts[0], "ab") as whole:
                for part in parts[1:]:
                    whole.write(part.read_bytes())
                    part.unlink()
            parts[0].rename(out)
        return out

    def first(self, whole, steps):
        """The first steps of a forecast of one member."""
        out = whole.with_name(f"{whole.stem}-first-{steps}.grib2")
        if not out.exists():
            with open(whole, "rb") as file:
                end = 0
                for _ in range(steps * FIELDS):
                    file.seek(end)
                    end += int.from_bytes(file.read(16)[8:], "big")
                file.seek(0)
                out.write_bytes(file.read(end))
        return out

    def globe(self, steps):
        whole = self.made(f"global-41-{self.packing}", 41, packing=self.packing)
        return whole if steps == 41 else self.first(whole, steps)

    def half_degree(self, steps):
        whole = self.made("steps", 16, packing=self.packing, res=0.5)
        return whole if steps == 16 else self.first(whole, steps)

    def regions(self, boxes):
        ring = lambda w, s, e, n: [[w, s], [e, s], [e, n], [w, n], [w, s]]
        features = [
            {"type": "Feature", "properties": {"name": name}, "geometry": {"type": "Polygon", "coordinates": [ring(*box)]}}
            for name, box in boxes.items()
        ]
        out = self.folder / f"regions-{len(boxes)}.geojson"
        out.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
        return out

    def environment(self, threads=None, cache="cache"):
        environment = {**os.environ, "ROUGHWATER_CACHE": str(self.folder / cache)}
        return {**environment, "RAYON_NUM_THREADS": str(threads)} if threads else environment

    def derate(self, forecast, boxes=OCEANS, polar=None, threads=None, surge="off", more=("--no-cache",), cache="cache"):
        """The foiler's job in windows of 6 h; response tables come from the cache, the tallies of steps do not."""
        command = [PROGRAM, "derate", "--boat", ROOT / FOILER[0], "--polar", polar or ROOT / FOILER[1], "--forecast", forecast]
        command += ["--regions", self.regions(boxes), "--window", "6h", "--output", self.folder / "out", "--format", "json"]
        return Run([*command, "--surge", surge, *more], self.environment(threads, cache))

    def tally(self, forecast):
        command = [PROGRAM, "tally", "write", "--forecast", forecast, "--regions", self.regions(OCEANS), "--window", "all"]
        return Run([*command, "--no-cache", "--output", self.folder / "tally.parquet"], self.environment())

    def whole(self, steps):
        if steps not in self.runs:
            self.runs[steps] = self.derate(self.globe(steps))
        return self.runs[steps]

    def tallied(self, steps):
        key = ("tally", steps)
        if key not in self.runs:
            self.runs[key] = self.tally(self.globe(steps))
        return self.runs[key]

    # where it is told

    def table(self, name, header, rows, below=""):
        lines = [f"| {' | '.join(header)} |", f"|{'---|' * len(header)}"]
        lines += [f"| {' | '.join(str(item) for item in row)} |" for row in rows]
        self.tell(name, "\n".join(lines) + (f"\n\n{below}" if below else ""))

    def tell(self, name, text):
        print(f"\n{name}\n\n{text}", flush=True)
        if not self.writes_readme:
            return
        readme = README.read_text()
        begin, end = f"<!-- measured: {name} -->\n", "<!-- until here -->"
        if readme.count(begin) != 1:
            raise SystemExit(f"README has no place for {name}: one line {begin.strip()} and below it {end}")
        before, rest = readme.split(begin)
        README.write_text(f"{before}{begin}{text}\n{end}{rest.split(end, 1)[1]}")

    # the parts

    def machine(self):
        cpu = next((line.split(":")[1].strip() for line in open("/proc/cpuinfo") if "model name" in line), platform.processor())
        memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 1e9
        load = os.getloadavg()[2]
        self.tell("machine", f"{PROCESSES} threads of {cpu}, {memory:.0f} GB; load over the quarter of an hour before: {load:.1f}.")

    def limit(self):
        """The whole job and ecCodes unpacking its messages, in turns; with surge once, behind them."""
        forecast = self.globe(41)
        peer = [self.python(), ROOT / "benches/peers/unpack_all.py", forecast, PROCESSES]
        self.tally(forecast)  # the file into memory, for both
        turns = [(self.derate(forecast), self.tally(forecast), Run(peer).json()) for _ in range(2)]
        surged = self.derate(forecast, surge="on")
        ours = [min((turn[k] for turn in turns), key=lambda run: run.seconds) for k in (0, 1)]
        theirs = min((turn[2] for turn in turns), key=lambda run: run["seconds"])
        row = lambda what, seconds, cpu: (what, f"{seconds:.1f}", f"{seconds / theirs['seconds']:.2f}", f"{cpu:.1f}",
                                          f"{cpu / theirs['cpu_seconds']:.2f}")  # fmt: skip
        self.table("limit", ("", "s", "ratio", "processor s", "ratio"), [
            row(f"ecCodes {theirs['messages']} messages, {PROCESSES} processes", theirs["seconds"], theirs["cpu_seconds"]),
            row("decode and tally", ours[1].seconds, ours[1].cpu),
            row("the whole job by mean forces", ours[0].seconds, ours[0].cpu),
            row("the whole job with surge", surged.seconds, surged.cpu),
        ])  # fmt: skip
        each = lambda run: f"{1e3 * (run.cpu - ours[1].cpu) / run.json()['tally_bins']:.2f}"
        self.table("a bin", ("balances of a bin, on 34 headings", "ms of a processor"),
                   [("by mean forces", each(ours[0])), ("with surge", each(surged))])  # fmt: skip

    def end_to_end(self):
        rows = []
        for steps, surge in ((10, "off"), (41, "off"), (10, "on")):
            run = self.whole(steps) if surge == "off" else self.derate(self.globe(steps), surge=surge)
            told, size = run.json(), self.globe(steps).stat().st_size / 1e6
            rows.append((steps, surge, f"{size:.0f}", told["sea_states"], told["tally_bins"], told["polars"],
                         f"{run.seconds:.1f}", f"{run.cpu:.1f}", f"{run.peak_mb:.0f}"))  # fmt: skip
        self.table("end to end", ("steps", "surge", "MB", "sea states", "bins", "polars", "s", "processor s", "peak MB"), rows)

    def streaming(self):
        runs = [(steps, self.tallied(steps)) for steps in (10, 41)]
        rows = [(steps, f"{run.seconds:.1f}", f"{run.cpu:.1f}", f"{run.peak_mb:.0f}") for steps, run in runs]
        self.table("decode and tally", ("steps", "s", "processor s", "peak MB"), rows)

    def again(self):
        """The same job a second time: its steps were tallied before."""
        forecast = self.globe(41)
        first, second = [self.derate(forecast, more=(), cache="cache-again") for _ in range(2)]
        row = lambda what, run: (what, f"{run.seconds:.1f}", f"{run.cpu:.1f}")
        self.table("again", ("", "s", "processor s"), [row("first run", first), row("second run", second)])

    def surge(self):
        """The demo by mean forces and with surge, in turns: processor time, which other work on the machine changes least."""
        def once(choice):
            job = ROOT / "examples/south-pacific/job.toml"
            return Run([PROGRAM, "derate", job, "--surge", choice, "--output", self.folder / "out", "--quiet", "--no-cache"],
                       self.environment()).cpu  # fmt: skip
        once("off")
        turns = [(once("off"), once("on")) for _ in range(3)]
        off, on = (min(turn[part] for turn in turns) for part in (0, 1))
        self.table("surge", ("the demo", "processor s", "ratio"),
                   [("by mean forces", f"{off:.2f}", 1), ("with surge", f"{on:.2f}", f"{on / off:.2f}")])  # fmt: skip

    def solver(self):
        """Nanoseconds of one thread for one sea on one heading, and for one polar cell in it."""
        bench = ["cargo", "bench", "-q", "--bench", "response", "--", "cell", "sea_curve", "rides"]
        told = call(*bench, capture_output=True, text=True).stdout
        # a row of divan's table: branch, name, the fastest time, the slowest, the median
        row = re.compile(r"[├╰]─ (\S+)\s+([\d.]+) (ns|µs|us|ms)\s+│\s+[\d.]+ \S+\s+│\s+([\d.]+) (ns|µs|us|ms)")
        scale = {"ns": 1, "µs": 1e3, "us": 1e3, "ms": 1e6}
        times, under = {}, None
        for line in told.splitlines():
            name = re.search(r"[├╰]─ (\S+)", line)
            found = row.search(line)
            if name and not found:
                under = name[1]
            elif found:
                # angles are numbers under their bench's name
                bench = under if re.fullmatch(r"[\d.]+", found[1]) else found[1]
                times.setdefault(bench, []).append(float(found[4]) * scale[found[5]])
        meant = {"sea_curve": "responses of a sea on one heading, at all speeds", "cell_once": "one polar cell in that sea, cause by cause",
                 "cell_whole": "the same with the second method and both ends of the band",
                 "cell_in_new_sea": "the same in a sea just met", "rides_1000_s": "a thousand seconds of surge, one boat, and four boats side by side"}  # fmt: skip
        span = lambda ns: f"{min(ns):,.0f}" if len(ns) == 1 else f"{min(ns):,.0f} to {max(ns):,.0f}"
        self.table("solver", ("", "ns"), [(meant[name], span(times[name])) for name in meant])

    def peer(self):
        """The polar of one region and window, both ways."""
        call("cargo", "build", "-q", "--release", "--example", "numpy_peer")
        boat = self.folder / "cruiser-without-deck.toml"
        text = (ROOT / CRUISER[0]).read_text()
        start, end = text.index("[deck]"), text.index("[appendages]")
        boat.write_text(text[:start] + text[end:])
        numpy = self.folder / "numpy"
        ours = call(TARGET / "release/examples/numpy_peer", boat, ROOT / CRUISER[1], self.globe(10),
                    *OCEANS["North Atlantic east"], 2, numpy, capture_output=True)  # fmt: skip
        theirs = call(self.python(), "benches/peers/cell_by_cell.py", numpy, numpy / "seas.csv", numpy / "peer.csv",
                      capture_output=True)  # fmt: skip
        ours, theirs = json.loads(ours.stdout), json.loads(theirs.stdout)
        read = lambda name: {tuple(row[:3]): float(row[3]) for row in list(csv.reader(open(numpy / name)))[1:]}
        a, b = read("corrected.csv"), read("peer.csv")
        apart = sorted((abs(a[key] - b[key]) for key in a), reverse=True)
        within = sum(difference <= 0.05 for difference in apart)
        each = lambda told: f"{1e6 * told['seconds'] / told['sea_states']:.1f}"
        self.table("peer", ("", "sea states", "s", "us a sea state"), [
            (f"tally ({ours['bins']} bins) and polar, {PROCESSES} threads", ours["sea_states"], f"{ours['seconds']:.2f}", each(ours)),
            ("NumPy, cell by cell", theirs["sea_states"], f"{theirs['seconds']:.1f}", each(theirs)),
        ], f"A ratio of {theirs['seconds'] / ours['seconds']:.0f}; of {len(apart)} polar cells {within} agree within 0.05 kn, and the "
           f"largest difference is {apart[0]:.3f} kn.")  # fmt: skip

    def growth(self):
        """Each case against the same base; 0.5 degree, 8 steps."""
        best = lambda *arguments, **options: min((self.derate(*arguments, **options) for _ in range(2)), key=lambda run: run.cpu)
        base_file = self.half_degree(8)
        base = best(base_file, HALF)
        polar = self.folder / "polar-x2.csv"
        rows = [row for row in csv.reader(open(ROOT / FOILER[1])) if row and not row[0].startswith("#")]
        angles = [[f"{float(row[0]) - 0.5:g}", *row[1:]] for row in rows[1:]]
        body = sorted(rows[1:] + angles, key=lambda row: float(row[0]))
        polar.write_text("\n".join(",".join(row) for row in [rows[0], *body]) + "\n")
        cases = [
            ("cells x1.9 (0.36 degree)", self.made("cells", 8, packing=self.packing, res=0.36), HALF, None),
            ("steps x2", self.half_degree(16), HALF, None),
            ("regions x2", base_file, OCEANS, None),
            ("polar x2 (angles)", base_file, HALF, polar),
            ("members x2", self.made("members", 8, packing=self.packing, res=0.5, members=2), HALF, None),
        ]
        told = [("0.5 degree, 8 steps, 6 regions", base)] + [(name, best(file, boxes, polar=polar)) for name, file, boxes, polar in cases]
        self.table("growth", ("case", "s", "processor s", "ratio", "bins", "peak MB"), [
            (name, f"{run.seconds:.2f}", f"{run.cpu:.2f}", f"{run.cpu / base.cpu:.2f}", run.json()["tally_bins"], f"{run.peak_mb:.0f}")
            for name, run in told
        ])  # fmt: skip

    def threads(self):
        runs = [(n, self.derate(self.globe(10), threads=n)) for n in (1, 2)]
        self.table("threads", ("threads, 10 steps of 0.25 degree", "s", "speed-up"),
                   [(n, f"{run.seconds:.1f}", f"{runs[0][1].seconds / run.seconds:.2f}") for n, run in runs])  # fmt: skip

    def decode(self):
        """One field of each packing, one thread, beside ecCodes."""
        files = ROOT / "target/decode-files"
        call(self.python(), "benches/peers/make_decode_files.py", files)
        told = call(self.python(), "benches/peers/decode_eccodes.py", files, capture_output=True, text=True).stdout
        rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in told.splitlines() if line.startswith("| ")][1:]
        self.table("decode", ("packing", "roughwater", "ecCodes", "ratio"), [(row[0], row[3], row[5], row[6]) for row in rows])

    def on_paper(self):
        years = 40 * 365.25 * 24
        each = self.tallied(41).seconds / 41 * 0.25  # of the points of 0.25 degree
        hours = each * years / 3600
        self.tell("on paper", f"On paper, forty years at 0.5 degree, hourly, are {years:,.0f} steps x {each:.2f} s = {hours:.0f} h of "
                  f"decoding and tallying on this machine, {hours / 64:.1f} h on 64 such; a boat then takes the time of its bins.")  # fmt: skip


# in README's order
PARTS = ("machine", "limit", "end_to_end", "streaming", "again", "surge", "solver", "peer", "growth", "threads", "decode", "on_paper")


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--folder", type=Path, default=TARGET / "measure", metavar="DIR")
    options.add_argument("--packing", default="grid_jpeg")
    options.add_argument("--only", nargs="+", choices=PARTS, default=PARTS, metavar="NAME")
    options.add_argument("--no-readme", action="store_true")
    chosen = options.parse_args()
    folder = chosen.folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    measure = Measure(folder, chosen.packing, not chosen.no_readme)
    call("cargo", "build", "-q", "--release", "--bin", "roughwater")
    if set(chosen.only) - {"machine", "surge", "solver", "decode"}:
        measure.globe(41)
    begin = time.perf_counter()
    for part in chosen.only:
        getattr(measure, part)()
    print(f"\n{(time.perf_counter() - begin) / 60:.1f} minutes")


if __name__ == "__main__":
    main()
