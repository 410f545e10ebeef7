#!/usr/bin/env python3
"""ecCodes unpacks every message of a GRIB file, shared among so many processes: what a forecast job is measured against.

    python benches/peers/unpack_all.py FILE.grib2 PROCESSES

Each process reads its own messages from the file and asks ecCodes for their values; nothing is done with them. Prints
JSON: messages, values, seconds of the clock and of all processors, without the start of Python.
"""
import json
import multiprocessing
import os
import sys
import time

import eccodes as ec


def places(path):
    """Where each message starts, and how long it is."""
    found, at, size = [], 0, os.path.getsize(path)
    with open(path, "rb") as file:
        while at < size:
            file.seek(at)
            head = file.read(16)
            if head[:4] != b"GRIB":
                raise SystemExit(f"{path}: no message at byte {at}")
            length = int.from_bytes(head[8:16], "big")
            found.append((at, length))
            at += length
    return found


def unpack(path, own):
    values = 0
    with open(path, "rb") as file:
        for at, length in own:
            file.seek(at)
            handle = ec.codes_new_from_message(file.read(length))
            values += ec.codes_get_values(handle).size
            ec.codes_release(handle)
    return values


def main():
    path, processes = sys.argv[1], int(sys.argv[2])
    begin, before = time.perf_counter(), os.times()
    messages = places(path)
    shares = [(path, messages[part::processes]) for part in range(processes)]
    with multiprocessing.get_context("fork").Pool(processes) as pool:
        values = sum(pool.starmap(unpack, shares))
        pool.close()
        pool.join()
    after = os.times()
    cpu = sum(getattr(after, k) - getattr(before, k) for k in ("user", "system", "children_user", "children_system"))
    print(json.dumps({"messages": len(messages), "values": values, "seconds": time.perf_counter() - begin, "cpu_seconds": cpu}))


if __name__ == "__main__":
    main()
