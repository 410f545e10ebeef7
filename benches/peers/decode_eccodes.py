#!/usr/bin/env python3
"""ecCodes on the files of make_decode_files.py, beside what `cargo bench --bench decode` printed of the same files.

    cargo bench --bench decode | python benches/peers/decode_eccodes.py target/decode-files

Both read a file from the page cache and decode its fields one by one on one thread: roughwater to 32-bit floats in the
grid's order, ecCodes to 64-bit ones as they lie in the file. The best of all repeats of each is taken; MB are of the
packed file. Standard input may hold several runs of the bench.
"""
import pathlib
import re
import sys
import time

import eccodes as ec

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


def best(path):
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        points = decode(path)
        times.append(time.perf_counter() - start)
    return points, min(times)


def main():
    ours = {}
    for name, value, unit in ROW.findall(sys.stdin.read()):
        ours[name] = min(ours.get(name, float("inf")), float(value) * SECONDS[unit])
    print(f"ecCodes {ec.codes_get_api_version()}, best of {REPEATS}")
    print("| packing | MB | roughwater MB/s | Mpoints/s | ecCodes MB/s | Mpoints/s | ratio |")
    print("|---|---|---|---|---|---|---|")
    for path in sorted(pathlib.Path(sys.argv[1]).glob("*.grib2")):
        megabytes = path.stat().st_size / 1e6
        points, theirs = best(path)
        if path.stem not in ours:
            sys.exit(f"the bench printed no time for {path.stem}")
        row = [f"{megabytes / s:.1f} | {points / s / 1e6:.1f}" for s in (ours[path.stem], theirs)]
        print(f"| {path.stem} | {megabytes:.2f} | {row[0]} | {row[1]} | {theirs / ours[path.stem]:.2f} |")


if __name__ == "__main__":
    main()
