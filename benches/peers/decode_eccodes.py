#!/usr/bin/env python3
"""ecCodes beside `cargo bench --bench decode`, on the files of make_decode_files.py.

    python benches/peers/decode_eccodes.py target/decode-files

Both read a file from the page cache and decode its fields one by one on one thread: roughwater to 32-bit floats in the
grid's order, ecCodes to 64-bit ones as they lie in the file. They take turns, and the best of all repeats of each
counts, so that a machine that is busy for a while slows neither alone; MB are of the packed file.
"""
import pathlib
import re
import subprocess
import sys
import time

import eccodes as ec

ROUNDS = 3
REPEATS = 7
SECONDS = {"ns": 1e-9, "µs": 1e-6, "us": 1e-6, "ms": 1e-3, "s": 1.0}
# a row of divan's table: branch, name, then the fastest time
ROW = re.compile(r"[├╰]─ (\S+)\s+([\d.]+) (ns|µs|us|ms|s)\s")


def decode(path):
    points = 0
    with open(path, "rb") as file:
        while (handle := ec.codes_grib_new_from_file(file)) is not None:
            points += ec.codes_get_values(handle).size
            ec.codes_release(handle)
    return points


def seconds(path):
    start = time.perf_counter()
    points = decode(path)
    return time.perf_counter() - start, points


def our_seconds():
    bench = ["cargo", "bench", "--quiet", "--bench", "decode"]
    table = subprocess.run(bench, check=True, stdout=subprocess.PIPE, text=True).stdout
    return {name: float(value) * SECONDS[unit] for name, value, unit in ROW.findall(table)}


def main():
    paths = sorted(pathlib.Path(sys.argv[1]).glob("*.grib2"))
    ours, theirs = {}, {}
    for _ in range(ROUNDS):
        for name, time_taken in our_seconds().items():
            ours[name] = min(ours.get(name, time_taken), time_taken)
        for path in paths:
            best = min(seconds(path) for _ in range(REPEATS))
            theirs[path.stem] = min(theirs.get(path.stem, best), best)
    print(f"ecCodes {ec.codes_get_api_version()}, best of {ROUNDS} x {REPEATS}")
    print("| packing | MB | roughwater MB/s | Mpoints/s | ecCodes MB/s | Mpoints/s | ratio |")
    print("|---|---|---|---|---|---|---|")
    for path in paths:
        if path.stem not in ours:
            sys.exit(f"the bench printed no time for {path.stem}")
        megabytes = path.stat().st_size / 1e6
        taken, points = theirs[path.stem]
        row = [f"{megabytes / s:.1f} | {points / s / 1e6:.1f}" for s in (ours[path.stem], taken)]
        print(f"| {path.stem} | {megabytes:.2f} | {row[0]} | {row[1]} | {taken / ours[path.stem]:.2f} |")


if __name__ == "__main__":
    main()
