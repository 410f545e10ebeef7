#!/usr/bin/env python3
"""Corrected polars in vectorised NumPy, every sea cell by itself: the peer of `derate` for a boat without foils and deck.

    python benches/peers/cell_by_cell.py TABLES SEAS.csv OUT.csv

TABLES is what examples/numpy_peer.rs writes, SEAS.csv a list of sea states (tws_kn, then kind, hs_m, tp_s,
off_wind_deg of up to four systems, and weight). Linear between the nodes of the tables, where the program is cubic between
wider ones; root by the first change of sign from the flat speed down, linear between nodes 0.05 m/s apart.
Like the program it solves each cell four times (the method, the second method, both ends of the model band) and takes
distance over time over the seas in which the boat moves, 0 where more than half of the weight stops her.
Prints the seconds of the computation alone, and the sea states and polar cells.
"""
import csv
import json
import sys
import time
from pathlib import Path

import numpy as np

BAND = np.exp(0.5)
GRAVITY = 9.80665
BATCH = 4096


def systems(path):
    rows = list(csv.reader(open(path)))[1:]
    weight = np.array([float(row[-1]) for row in rows], np.float32)
    out = np.zeros((4, 4, len(rows)), np.float32)  # system, (kind, hs, tp, off wind), sea
    for at, row in enumerate(rows):
        for k in range((len(row) - 2) // 4):
            kind, hs, tp, off = row[1 + 4 * k : 5 + 4 * k]
            if hs:
                out[k, :, at] = (kind == "wind-sea", float(hs), float(tp), float(off))
    return out, weight


def place(axis, value):
    at = np.clip((value - axis[0]) / (axis[1] - axis[0]), 0, len(axis) - 1.000001)
    low = at.astype(np.int32)
    return low, (at - low).astype(np.float32)


def shapes(axes, wind, hs, tp):
    """The lower of the two tabulated shapes around each system's, and the upper one's weight: swells first, then wind seas."""
    # DNV-RP-C205: gamma = exp(5.75 - 1.15 Tp / sqrt(Hs))
    g, wg = place(axes["log_gammas"], np.clip(5.75 - 1.15 * tp / np.sqrt(hs), 0, np.log(5)))
    # Huang et al. 1981: the Wallop spectrum's slope N = 4 L + 1, by the deep-water length of the peak
    length = GRAVITY * tp**2 / (2 * np.pi)
    slope = np.abs(np.log(2 * np.pi**2 * (hs / 4) ** 2 / length**2)) / np.log(2)
    exponents = axes["exponents"]
    e, we = place(exponents, np.clip((slope - 1) / 4, exponents[0], exponents[-1]))
    return np.where(wind, g + len(exponents), e), np.where(wind, wg, we)


def curves(table, axes, sea, twa_deg):
    """Added resistance, the second method's, and pitch rate variance of all systems at every speed: [sea, speed, 3]."""
    total = np.zeros((sea.shape[2],) + table.shape[3:], np.float32)
    for kind, hs, tp, off in sea:
        there = hs > 0
        if not there.any():
            continue
        hs2, tp = np.where(there, hs * hs, 0), np.where(there, tp, 8)
        mu = np.abs((off + 180 + twa_deg + 180) % 360 - 180)
        p, wp = place(axes["log_periods"], np.log(tp))
        a, wa = place(axes["angles_deg"], mu)
        g, wg = shapes(axes, kind > 0, np.where(there, hs, 1), tp)
        for dg, fg in ((0, 1 - wg), (1, wg)):
            if not fg.any():
                continue
            for dp, fp in ((0, 1 - wp), (1, wp)):
                for da, fa in ((0, 1 - wa), (1, wa)):
                    total += (hs2 * fg * fp * fa)[:, None, None] * table[np.minimum(g + dg, len(table) - 1), p + dp, a + da]
    return total


def solve(surplus, speeds, flat):
    """The largest speed up to the flat one at which nothing is lacking: [sea]."""
    top = int(np.searchsorted(speeds, flat))
    at = speeds[: top + 1].copy()
    at[top] = flat
    s = surplus[:, : top + 1]
    good = s >= 0
    last = top - np.argmax(good[:, ::-1], axis=1)
    any_good = good.any(axis=1)
    upper = np.minimum(last + 1, top)
    rows = np.arange(len(s))
    lo, hi = s[rows, last], s[rows, upper]
    with np.errstate(all="ignore"):
        part = np.where(upper > last, lo / (lo - hi), 0)
    return np.where(any_good, at[last] + part * (at[upper] - at[last]), 0)


def main():
    folder, seas_file, out = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
    axes = {k: np.array(v) for k, v in json.load(open(folder / "tables.json")).items()}
    n = [len(axes[k]) for k in ("exponents", "log_gammas", "log_periods", "angles_deg", "speeds_m_s", "twa_deg", "tws_kn")]
    table = np.fromfile(folder / "responses.f32", np.float32).reshape(n[0] + n[1], n[2], n[3], n[4], 3)
    balance = np.fromfile(folder / "balance.f32", np.float32).reshape(2, n[5], n[6], n[4], 2)
    flat = axes["flat_kn"].reshape(n[5], n[6]) * 1852 / 3600
    speeds = axes["speeds_m_s"]
    sea, weight = systems(seas_file)
    begin = time.perf_counter()
    time_spent, moving = np.zeros((2, 4, 2, n[5], n[6]))
    for start in range(0, len(weight), BATCH):
        part, w = sea[:, :, start : start + BATCH], weight[start : start + BATCH]
        for tack, sign in enumerate((1, -1)):
            for i, twa in enumerate(axes["twa_deg"]):
                response = curves(table, axes, part, sign * twa)
                used, second, pitch = response[:, :, 0], response[:, :, 1], response[:, :, 2]
                for j in range(n[6]):
                    free = balance[tack, i, j, :, 0] + balance[tack, i, j, :, 1] * pitch
                    for way, added in enumerate((used, second, BAND * used, used / BAND)):
                        speed = solve(free - added, speeds, flat[i, j])
                        moves = speed > 0
                        moving[way, tack, i, j] += w[moves].sum()
                        time_spent[way, tack, i, j] += (w[moves] / speed[moves]).sum()
    seconds = time.perf_counter() - begin
    sails = moving[0] >= 0.5 * weight.sum()
    corrected = np.divide(moving[0], time_spent[0], out=np.zeros_like(moving[0]), where=sails) * 3600 / 1852
    with open(out, "w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["tack", "tws_kn", "twa_deg", "corrected_kn"])
        for tack, name in enumerate(("starboard", "port")):
            for i, twa in enumerate(axes["twa_deg"]):
                for j, tws in enumerate(axes["tws_kn"]):
                    rows.writerow([name, f"{tws:g}", f"{twa:g}", f"{corrected[tack, i, j]:.5f}"])
    print(json.dumps({"seconds": seconds, "sea_states": len(weight), "polar_cells": 2 * n[5] * n[6]}))


if __name__ == "__main__":
    main()
