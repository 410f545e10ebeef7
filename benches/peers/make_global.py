#!/usr/bin/env python3
"""Writes an INVENTED global wave forecast for the benchmarks: 19 fields a step, as NOAA's global wave model has.

    python benches/peers/make_global.py OUT.grib2 --res 0.25 --steps 41 --hours 3 --packing grid_jpeg [--members N]

Smooth fields that move west to east; land is an analytic coast that covers about three tenths. Values to two decimals.
Needs eccodes, eccodeslib and numpy from PyPI.
"""
import argparse

import eccodes as ec
import numpy as np

# name: discipline, category, number, surface type, surface value
FIELDS = [
    ("wind", 0, 2, 1, 1, 1), ("wind_dir", 0, 2, 0, 1, 1), ("u", 0, 2, 2, 1, 1), ("v", 0, 2, 3, 1, 1),
    ("hs", 10, 0, 3, 1, 1), ("tp", 10, 0, 11, 1, 1), ("dp", 10, 0, 10, 1, 1),
    ("hs0", 10, 0, 5, 1, 1), ("hs1", 10, 0, 8, 241, 1), ("hs2", 10, 0, 8, 241, 2), ("hs3", 10, 0, 8, 241, 3),
    ("tp0", 10, 0, 6, 1, 1), ("tp1", 10, 0, 9, 241, 1), ("tp2", 10, 0, 9, 241, 2), ("tp3", 10, 0, 9, 241, 3),
    ("dir0", 10, 0, 4, 1, 1), ("dir1", 10, 0, 7, 241, 1), ("dir2", 10, 0, 7, 241, 2), ("dir3", 10, 0, 7, 241, 3),
]  # fmt: skip
MISSING = 9.999e20


def fields(lat, lon, hour, member):
    """Metres, seconds, degrees FROM; NaN on land and where a system is absent."""
    la, lo = np.meshgrid(lat, lon, indexing="ij")
    r = np.radians
    phase = 1.5 * hour + 25 * member
    belts = 11 * np.exp(-(((np.abs(la) - 47) / 13) ** 2)) - 7 * np.exp(-(((np.abs(la) - 14) / 10) ** 2))
    u = belts * (1 + 0.45 * np.sin(r(5 * lo - phase)))
    v = 6 * np.sin(r(4 * lo - phase + 3 * la)) * np.cos(r(la))
    wind, wind_dir = np.hypot(u, v), np.degrees(np.arctan2(-u, -v)) % 360
    hs = [0.019 * wind**2]
    tp = [np.maximum(0.6 * wind, 1.5)]
    direction = [wind_dir]
    for k, (height, period, origin, at) in enumerate(((2.4, 13.0, 240, -45), (1.6, 11.0, 320, 45), (0.8, 9.0, 110, 10))):
        hs.append(height * np.exp(-(((la - at) / 30) ** 2)) * (0.6 + 0.4 * np.sin(r((2 + k) * lo - phase))))
        tp.append(period + 1.5 * np.sin(r(3 * lo + 2 * la - phase)))
        direction.append((origin + 25 * np.sin(r(2 * lo - la)) + 0.3 * la) % 360)
    land = np.sin(r(3 * lo + 20)) * np.cos(r(2 * la)) + 0.3 * np.sin(r(7 * lo + 5 * la)) > 0.42
    hs, tp, direction = np.array(hs), np.array(tp), np.array(direction)
    absent = (hs < 0.05) | land
    energy = np.where(absent, 0, hs**2)
    total = np.sqrt(energy.sum(0))
    main = energy.argmax(0)[None]
    pick = lambda values: np.take_along_axis(values, main, 0)[0]
    out = {"wind": wind, "wind_dir": wind_dir, "u": u, "v": v, "hs": total, "tp": pick(tp), "dp": pick(direction)}
    out = {name: np.where(land | (total == 0), np.nan, values) for name, values in out.items()}
    for k in range(4):
        for name, values in (("hs", hs), ("tp", tp), ("dir", direction)):
            out[f"{name}{k}"] = np.where(absent[k], np.nan, values[k])
    return out


def message(values, field, lat, lon, res, hour, member, packing):
    name, discipline, category, number, surface, level = field
    handle = ec.codes_grib_new_from_samples("regular_ll_sfc_grib2")
    put = lambda key, value: ec.codes_set(handle, key, value)
    if packing.startswith("grid_complex") or packing in ("grid_png", "grid_ieee"):
        put("packingType", packing)
    for key, value in {
        "centre": "kwbc", "dataDate": 20300101, "dataTime": 0, "shapeOfTheEarth": 6, "Ni": lon.size, "Nj": lat.size,
        "latitudeOfFirstGridPoint": round(lat[0] * 1e6), "latitudeOfLastGridPoint": round(lat[-1] * 1e6),
        "longitudeOfFirstGridPoint": 0, "longitudeOfLastGridPoint": round(lon[-1] * 1e6),
        "iDirectionIncrement": round(res * 1e6), "jDirectionIncrement": round(res * 1e6), "scanningMode": 0,
        "resolutionAndComponentFlags": 48, "productDefinitionTemplateNumber": 0 if member is None else 1,
        "discipline": discipline, "parameterCategory": category, "parameterNumber": number,
        "indicatorOfUnitOfTimeRange": 1, "forecastTime": hour, "typeOfFirstFixedSurface": surface,
        "scaleFactorOfFirstFixedSurface": 0, "scaledValueOfFirstFixedSurface": level, "typeOfSecondFixedSurface": 255,
        "missingValue": MISSING, "bitmapPresent": 1,
    }.items():  # fmt: skip
        put(key, value)
    if member is not None:
        put("perturbationNumber", member)
    if packing in ("grid_simple", "grid_jpeg", "grid_ccsds"):
        put("decimalPrecision", 2)
    elif packing != "grid_ieee":
        put("bitsPerValue", 16)
    ec.codes_set_values(handle, np.where(np.isnan(values), MISSING, np.round(values, 2)).ravel())
    if packing in ("grid_jpeg", "grid_ccsds"):
        put("packingType", packing)
    bytes_ = ec.codes_get_message(handle)
    ec.codes_release(handle)
    return bytes_


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("out")
    options.add_argument("--res", type=float, default=0.25)
    options.add_argument("--steps", type=int, default=41)
    options.add_argument("--from-step", type=int, default=0, help="leaves out the steps before")
    options.add_argument("--hours", type=int, default=3)
    options.add_argument("--packing", default="grid_jpeg")
    options.add_argument("--members", type=int, default=0)
    chosen = options.parse_args()
    lat = 90 - chosen.res * np.arange(round(180 / chosen.res) + 1)
    lon = chosen.res * np.arange(round(360 / chosen.res))
    members = list(range(chosen.members)) or [None]
    with open(chosen.out, "wb") as file:
        for step in range(chosen.from_step, chosen.steps):
            for member in members:
                hour = step * chosen.hours
                values = fields(lat, lon, hour, member or 0)
                for field in FIELDS:
                    file.write(message(values[field[0]], field, lat, lon, chosen.res, hour, member, chosen.packing))


if __name__ == "__main__":
    main()
