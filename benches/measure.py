#!/usr/bin/env python3
"""Remakes the tables of README's section on speed: `python3 benches/measure.py [--folder DIR] [--packing grid_jpeg]`.

Makes a venv with eccodes and numpy, writes invented forecasts (about 1 GB in DIR), builds the release, and prints Markdown:
the solver, end to end, forty years on paper, the peer in NumPy, how cost grows, threads. Takes some minutes on a machine
with nothing else to do, after as long again for the forecasts. Decode alone: benches/run-decode.
"""
import argparse
import csv
import json
import os
import platform
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PROGRAM = ROOT / "target/release/roughwater"
FOILER = ("examples/boats/sleet-heron-15.toml", "polars/sleet-heron-15.csv")
CRUISER = ("examples/boats/oat-plover-10.toml", "polars/oat-plover-10.csv")
# twelve boxes of ocean: west, south, east, north
OCEANS = {
    "North Atlantic west": (-60, 30, -35, 50), "North Atlantic east": (-35, 30, -12, 50), "South Atlantic": (-30, -40, 5, -10),
    "Southern Indian west": (30, -55, 70, -35), "Southern Indian east": (70, -55, 110, -35), "Indian trades": (60, -25, 100, -5),
    "South of Australia": (115, -55, 150, -38), "South Pacific west": (160, -55, 200, -35), "South Pacific east": (200, -55, 270, -40),
    "Pacific trades": (190, -20, 240, 5), "North Pacific west": (145, 30, 190, 48), "North Pacific east": (190, 30, 230, 48),
}  # fmt: skip


def call(*arguments, **options):
    return subprocess.run([str(a) for a in arguments], check=True, cwd=ROOT, **options)


def python(folder):
    at = folder / "venv/bin/python"
    if not at.exists():
        call(sys.executable, "-m", "venv", folder / "venv")
        call(at, "-m", "pip", "install", "-q", "numpy==2.4.6", "eccodes==2.50.0", "eccodeslib==2.50.0.33")
    return at


def forecast(folder, name, **options):
    out = folder / f"{name}.grib2"
    if not out.exists():
        arguments = [item for key, value in options.items() for item in (f"--{key}", value)]
        call(python(folder), ROOT / "benches/peers/make_global.py", folder / "part", *arguments)
        (folder / "part").rename(out)
    return out


def regions(folder, boxes):
    ring = lambda w, s, e, n: [[w, s], [e, s], [e, n], [w, n], [w, s]]
    features = [
        {"type": "Feature", "properties": {"name": name}, "geometry": {"type": "Polygon", "coordinates": [ring(*box)]}}
        for name, box in boxes.items()
    ]
    out = folder / f"regions-{len(boxes)}.geojson"
    out.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return out


def derate(folder, forecast, regions, boat=FOILER, polar=None, window="6h", threads=None):
    """Seconds of the wall clock, peak memory in MB, and the summary, by mean forces; response tables come from the cache."""
    command = [PROGRAM, "derate", "--boat", ROOT / boat[0], "--polar", polar or ROOT / boat[1], "--forecast", forecast]
    command += ["--regions", regions, "--window", window, "--output", folder / "out", "--format", "json", "--surge", "off"]
    environment = {**os.environ, "ROUGHWATER_CACHE": str(folder / "cache")}
    if threads:
        environment["RAYON_NUM_THREADS"] = str(threads)
    seconds, memory, answer = watched(command, environment)
    return seconds, memory, json.loads(answer)


def watched(command, environment=None):
    """Seconds of the wall clock, peak memory in MB and the answer of a command that may leave declared gaps."""
    begin = time.perf_counter()
    child = subprocess.Popen([str(a) for a in command], stdout=subprocess.PIPE, env=environment, cwd=ROOT)
    answer = child.stdout.read()
    _, status, usage = os.wait4(child.pid, 0)
    seconds = time.perf_counter() - begin
    if os.waitstatus_to_exitcode(status) not in (0, 3):
        raise SystemExit(f"{command[1]} failed")
    return seconds, usage.ru_maxrss / 1024, answer


def best(times, *arguments, **options):
    return min((derate(*arguments, **options) for _ in range(times)), key=lambda run: run[0])


def table(title, header, rows):
    print(f"\n{title}\n\n| {' | '.join(header)} |\n|{'---|' * len(header)}", flush=True)
    for row in rows:
        print(f"| {' | '.join(str(item) for item in row)} |", flush=True)


def end_to_end(folder, packing, steps):
    file = forecast(folder, f"global-{steps}-{packing}", packing=packing, steps=steps)
    boxes = regions(folder, OCEANS)
    seconds, memory, answer = derate(folder, file, boxes)
    size = file.stat().st_size / 1e6
    row = (steps, f"{size:.0f}", answer["sea_states"], answer["tally_bins"], answer["polars"], f"{seconds:.1f}",
           f"{size / seconds:.1f}", f"{memory:.0f}")  # fmt: skip
    table(f"End to end: global 0.25 degree, 19 fields a step, 12 regions, 6 h windows, {packing}",
          ("steps", "MB", "sea states", "bins", "polars", "s", "MB/s", "peak MB"), [row])  # fmt: skip
    return file, boxes


def threads(folder, part, boxes):
    runs = [(n, best(1, folder, part, boxes, threads=n)) for n in (1, 2)]
    rows = [(n, f"{seconds:.1f}", f"{runs[0][1][0] / seconds:.2f}", f"{memory:.0f}") for n, (seconds, memory, _) in runs]
    table("Threads, 10 steps", ("threads", "s", "speed-up", "peak MB"), rows)


def growth(folder, packing):
    """Each case against the same base; 0.5 degree, 8 steps."""
    half = dict(list(OCEANS.items())[:6])
    base_file = forecast(folder, "base", packing=packing, res=0.5, steps=8)
    base = best(2, folder, base_file, regions(folder, half))
    polar = folder / "polar-x2.csv"
    rows = [row for row in csv.reader(open(ROOT / FOILER[1])) if row and not row[0].startswith("#")]
    angles = [[f"{float(row[0]) - 0.5:g}", *row[1:]] for row in rows[1:]]
    body = sorted(rows[1:] + angles, key=lambda row: float(row[0]))
    polar.write_text("\n".join(",".join(row) for row in [rows[0], *body]) + "\n")
    cases = [
        ("cells x1.9 (0.36 degree)", forecast(folder, "cells", packing=packing, res=0.36, steps=8), half, None),
        ("steps x2", forecast(folder, "steps", packing=packing, res=0.5, steps=16), half, None),
        ("regions x2", base_file, OCEANS, None),
        ("polar x2 (angles)", base_file, half, polar),
        ("members x2", forecast(folder, "members", packing=packing, res=0.5, steps=8, members=2), half, None),
    ]
    told = [("base: 0.5 degree, 8 steps, 6 regions", f"{base[0]:.2f}", 1, f"{base[1]:.0f}", base[2]["tally_bins"])]
    for name, file, boxes, polar in cases:
        seconds, memory, answer = best(2, folder, file, regions(folder, boxes), polar=polar)
        told.append((name, f"{seconds:.2f}", f"{seconds / base[0]:.2f}", f"{memory:.0f}", answer["tally_bins"]))
    table("How cost grows", ("case", "s", "ratio", "peak MB", "bins"), told)


def peer(folder, part, box, steps):
    """The polar of one region and window, both ways."""
    boat = folder / "cruiser-without-deck.toml"
    text = (ROOT / CRUISER[0]).read_text()
    start, end = text.index("[deck]"), text.index("[appendages]")
    boat.write_text(text[:start] + text[end:])
    numpy = folder / "numpy"
    ours = call(ROOT / "target/release/examples/numpy_peer", boat, ROOT / CRUISER[1], part, *box, steps, numpy,
                capture_output=True)  # fmt: skip
    theirs = call(python(folder), "benches/peers/cell_by_cell.py", numpy, numpy / "seas.csv", numpy / "peer.csv",
                  capture_output=True)  # fmt: skip
    ours, theirs = json.loads(ours.stdout), json.loads(theirs.stdout)
    read = lambda name: {tuple(row[:3]): float(row[3]) for row in list(csv.reader(open(numpy / name)))[1:]}
    a, b = read("corrected.csv"), read("peer.csv")
    apart = sorted((abs(a[key] - b[key]) for key in a), reverse=True)
    each = theirs["seconds"] / theirs["sea_states"]
    table("The same computation cell by cell in NumPy",
          ("", "sea states", "s", "us a sea state"),
          [("tally and derate", ours["sea_states"], f"{ours['seconds']:.2f}", f"{1e6 * ours['seconds'] / ours['sea_states']:.1f}"),
           ("NumPy, cell by cell", theirs["sea_states"], f"{theirs['seconds']:.1f}", f"{1e6 * each:.1f}")])  # fmt: skip
    within = sum(difference <= 0.05 for difference in apart)
    print(f"\nRatio {theirs['seconds'] / ours['seconds']:.0f}; {ours['bins']} bins; of {len(apart)} polar cells {within} agree "
          f"within 0.05 kn; largest difference {apart[0]:.3f} kn, mean {sum(apart) / len(apart):.4f} kn.")  # fmt: skip
    return each


def solver():
    """Nanoseconds of one thread for one sea on one heading, and for one polar cell in it."""
    told = call("cargo", "bench", "-q", "--bench", "response", "--", "cell", "sea_curve", capture_output=True, text=True)
    print(f"\nSolver\n\n```\n{told.stdout.strip()}\n```", flush=True)


def on_paper(steps, tally_seconds):
    years = 40 * 365.25 * 24
    quarter = 0.25  # of the points of 0.25 degree
    hours = tally_seconds / steps * quarter * years / 3600
    print(f"\nForty years at 0.5 degree, hourly, on paper: {years:.0f} steps x {tally_seconds / steps * quarter:.2f} s "
          f"= {hours:.0f} h on this machine, {hours / 64:.1f} h on 64 such; then a boat takes the seconds of its bins.")  # fmt: skip


def tally(folder, part, boxes):
    """Seconds and peak memory in MB of decoding and tallying alone, all steps in one window."""
    command = [PROGRAM, "tally", "write", "--forecast", part, "--regions", boxes, "--window", "all"]
    command += ["--output", folder / "tally.parquet"]
    seconds, memory, _ = watched(command)
    return seconds, memory


def surge(folder):
    """The demo by mean forces and with surge, in turns: processor time, which other work on the machine changes least."""
    def once(choice):
        begin = os.times()
        watched([PROGRAM, "derate", ROOT / "examples/south-pacific/job.toml", "--surge", choice, "--output", folder / "out", "--quiet"])
        end = os.times()
        return end.children_user - begin.children_user
    once("off")
    turns = [(once("off"), once("on")) for _ in range(5)]
    off, on = (min(turn[part] for turn in turns) for part in (0, 1))
    table("The demo, processor time", ("surge", "s", "ratio"), [("off", f"{off:.2f}", 1), ("on", f"{on:.2f}", f"{on / off:.2f}")])


def streaming(told):
    rows = [(steps, f"{seconds:.1f}", f"{memory:.0f}") for steps, (seconds, memory) in told.items()]
    table("Decode and tally alone, 12 regions, one window", ("steps", "s", "peak MB"), rows)


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--folder", type=Path, default=ROOT / "target/measure")
    options.add_argument("--packing", default="grid_jpeg")
    chosen = options.parse_args()
    folder = chosen.folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    call("cargo", "build", "-q", "--release", "--bin", "roughwater", "--example", "numpy_peer")
    cpu = next((line.split(":")[1].strip() for line in open("/proc/cpuinfo") if "model name" in line), platform.processor())
    print(f"{os.cpu_count()} threads, {cpu}, {os.sysconf('SC_PAGE_SIZE') * os.sysconf('SC_PHYS_PAGES') / 1e9:.0f} GB")
    solver()
    surge(folder)
    part, boxes = end_to_end(folder, chosen.packing, 10)
    peer(folder, part, OCEANS["North Atlantic east"], 2)
    growth(folder, chosen.packing)
    threads(folder, part, boxes)
    whole, _ = end_to_end(folder, chosen.packing, 41)
    told = {10: tally(folder, part, boxes), 41: tally(folder, whole, boxes)}
    streaming(told)
    on_paper(41, told[41][0])


if __name__ == "__main__":
    main()
