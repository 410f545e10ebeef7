#!/usr/bin/env python3
"""Writes grids/south-pacific.grib2: an INVENTED forecast for an invented passage across 180 in the South Pacific.

    pip install eccodes==2.50.0 eccodeslib==2.50.0.33 numpy==2.4.6
    python examples/south-pacific/make_forecast.py LAND.json grids/south-pacific.grib2

LAND.json is Natural Earth's land at 1:110 million as TopoJSON (npm `world-atlas` 2.0.2, land-110m.json).

The file has the shape of NOAA's global wave model: 19 messages a step, parameters and surfaces as in its files,
JPEG 2000 packing with two decimals, a bitmap for land and for absent wave systems. What is in it is made up:

* wind: a westerly belt, and one low that moves east-south-east with inflow across its isobars;
* wind sea: from the wind at each place by the JONSWAP growth relations (Hasselmann et al. 1973, as in CERC, Shore
  Protection Manual 1984, eqs 3-33 to 3-38 without the stress correction; numbers from memory): gHs/U^2 = 1.6e-3 sqrt(x),
  gTp/U = 0.286 x^(1/3), x = gF/U^2, with a fetch F of 350 km or what 18 h of wind allow (the manual's
  gt/U = 68.8 x^(2/3)), whichever is less, and never beyond the fully developed 0.243 and 8.13;
* swell 1: from the south-west, about 3 m and 13 s, out of an older storm, in a slowly moving train of groups;
* swell 2: from the north-west, about 1.2 m and 10 s, ahead of the low, dying out towards the south;
* swell 3: nowhere, as in much of the real files.
"""
import json
import sys

import eccodes as ec
import numpy as np

G = 9.80665
MISSING = 9.999e20
LAT, LON = np.arange(-30.0, -60.01, -1.0), np.arange(165.0, 205.01, 1.0)
HOURS = range(0, 43, 6)
KM_PER_DEG = 111.2


def land_mask(path):
    """True where a grid point lies in a polygon of the TopoJSON (even-odd rule)."""
    topo = json.load(open(path))
    (sx, sy), (tx, ty) = topo["transform"]["scale"], topo["transform"]["translate"]
    arcs = [np.cumsum(np.array(a), axis=0) * (sx, sy) + (tx, ty) for a in topo["arcs"]]
    ring = lambda ids: np.vstack([arcs[i] if i >= 0 else arcs[~i][::-1] for i in ids])
    inside = np.zeros((LAT.size, LON.size), bool)
    la, lo = np.meshgrid(LAT, LON, indexing="ij")
    for turn in (0, 360):
        for geometry in topo["objects"]["land"]["geometries"]:
            for polygon in geometry["arcs"]:
                for ids in polygon if isinstance(polygon[0], list) else [polygon]:
                    xy = ring(ids) + (turn, 0)
                    if xy[:, 0].max() < 160 or xy[:, 0].min() > 210:
                        continue
                    (x0, y0), (x1, y1) = xy.T, np.roll(xy, -1, axis=0).T
                    for a, b, c, d in zip(x0, y0, x1, y1):
                        if b != d:
                            inside ^= ((b > la) != (d > la)) & (lo < (c - a) * (la - b) / (d - b) + a)
    return inside


def wind(la, lo, hour):
    """Eastward and northward components, m/s."""
    belt = np.exp(-(((la + 48) / 11) ** 2))
    u, v = 2 + 9 * belt, 1.2 * np.sin(np.radians(6 * lo + 4 * hour))
    low_lat, low_lon = -46 - 0.09 * hour, 171 + 0.42 * hour
    dx, dy = (lo - low_lon) * np.cos(np.radians(la)) * KM_PER_DEG, (la - low_lat) * KM_PER_DEG
    d, radius = np.hypot(dx, dy) + 1e-6, 650.0
    speed = 13 * (d / radius) * np.exp(0.5 * (1 - (d / radius) ** 2))
    # clockwise round a low of the southern hemisphere, a fifth of it inwards
    return u + speed * (dy - 0.2 * dx) / d, v + speed * (-dx - 0.2 * dy) / d


def wind_sea(u):
    """Height and peak period from the wind speed."""
    u = np.maximum(u, 0.5)
    duration_fetch = (G * 18 * 3600 / u / 68.8) ** 1.5
    x = np.minimum(G * 350e3 / u**2, duration_fetch)
    hs = np.minimum(1.6e-3 * np.sqrt(x), 0.243) * u**2 / G
    tp = np.minimum(0.286 * np.cbrt(x), 8.13) * u / G
    return hs, tp


def fields(hour, land):
    la, lo = np.meshgrid(LAT, LON, indexing="ij")
    u, v = wind(la, lo, hour)
    speed, wind_from = np.hypot(u, v), np.degrees(np.arctan2(-u, -v)) % 360
    hs, tp = wind_sea(speed)
    waves = {0: (hs, tp, wind_from)}
    group = np.cos(np.radians(5 * (lo - 165) - 3 * (la + 45) - 4 * hour))
    waves[1] = (
        3.0 * (1 + 0.22 * group) * (0.75 + 0.25 * np.exp(-(((la + 52) / 14) ** 2))),
        13.0 + 0.5 * group + 0.03 * (la + 45),
        225 + 0.35 * (lo - 185) + 0.4 * (la + 45),
    )
    fade = np.exp(-(((la + 34) / 13) ** 2)) * (0.8 + 0.2 * np.cos(np.radians(7 * (lo - 180) - 5 * hour)))
    waves[2] = (1.45 * fade, 10.0 + 0.04 * (185 - lo) / 2, 318 + 0.5 * (lo - 185))
    waves[3] = (np.zeros_like(la), la * 0 + 10, la * 0)
    height, period, source = (np.stack([waves[k][i] for k in range(4)]) for i in range(3))
    absent = height < 0.05
    height, source = np.where(absent, np.nan, height), source % 360
    period, source = np.where(absent, np.nan, period), np.where(absent, np.nan, source)
    energy = np.nan_to_num(height) ** 2
    peak = np.argmax(energy / np.nan_to_num(period, nan=1) ** -1, axis=0)[None]
    pick = lambda a: np.take_along_axis(a, peak, 0)[0]
    out = dict(WIND=speed, WDIR=wind_from, UGRD=u, VGRD=v, HTSGW=np.sqrt(energy.sum(0)), PERPW=pick(period), DIRPW=pick(source))
    for k, suffix in enumerate(("W", "S1", "S2", "S3")):
        out["H" + suffix], out["T" + suffix], out["D" + suffix] = height[k], period[k], source[k]
    return {name: np.where(land, np.nan, a) for name, a in out.items()}


# name, discipline, category, number, first surface, its value: NOAA's order of messages
MESSAGES = [
    ("WIND", 0, 2, 1, 1, 1), ("WDIR", 0, 2, 0, 1, 1), ("UGRD", 0, 2, 2, 1, 1), ("VGRD", 0, 2, 3, 1, 1),
    ("HTSGW", 10, 0, 3, 1, 1), ("PERPW", 10, 0, 11, 1, 1), ("DIRPW", 10, 0, 10, 1, 1),
    ("HW", 10, 0, 5, 1, 1), *[(f"HS{k}", 10, 0, 8, 241, k) for k in (1, 2, 3)],
    ("TW", 10, 0, 6, 1, 1), *[(f"TS{k}", 10, 0, 9, 241, k) for k in (1, 2, 3)],
    ("DW", 10, 0, 4, 1, 1), *[(f"DS{k}", 10, 0, 7, 241, k) for k in (1, 2, 3)],
]


def message(code, hour, values):
    _, discipline, category, number, surface, level = code
    h = ec.codes_grib_new_from_samples("regular_ll_sfc_grib2")
    micro = lambda a: round(float(a) * 1e6)
    for key, value in [
        ("centre", 7), ("subCentre", 0), ("tablesVersion", 2), ("localTablesVersion", 1),
        ("significanceOfReferenceTime", 1), ("dataDate", 20240115), ("dataTime", 0),
        ("productionStatusOfProcessedData", 1), ("typeOfProcessedData", 1), ("shapeOfTheEarth", 6),
        ("Ni", LON.size), ("Nj", LAT.size),
        ("latitudeOfFirstGridPoint", micro(LAT[0])), ("latitudeOfLastGridPoint", micro(LAT[-1])),
        ("longitudeOfFirstGridPoint", micro(LON[0])), ("longitudeOfLastGridPoint", micro(LON[-1])),
        ("iDirectionIncrement", 1_000_000), ("jDirectionIncrement", 1_000_000), ("scanningMode", 0),
        ("resolutionAndComponentFlags", 48), ("productDefinitionTemplateNumber", 0), ("discipline", discipline),
        ("parameterCategory", category), ("parameterNumber", number), ("typeOfGeneratingProcess", 2),
        ("indicatorOfUnitOfTimeRange", 1), ("forecastTime", hour), ("typeOfFirstFixedSurface", surface),
        ("scaleFactorOfFirstFixedSurface", 0), ("scaledValueOfFirstFixedSurface", level),
        ("typeOfSecondFixedSurface", 255), ("missingValue", MISSING), ("bitmapPresent", 1), ("decimalPrecision", 2),
    ]:
        ec.codes_set(h, key, value)
    values = np.round(values, 2)
    if code[0] in ("WDIR", "DIRPW") or code[0].startswith("D"):
        values = np.where(values >= 360, values - 360, values)
    ec.codes_set_values(h, np.where(np.isnan(values), MISSING, values).ravel())
    ec.codes_set(h, "packingType", "grid_jpeg")
    data = ec.codes_get_message(h)
    ec.codes_release(h)
    return data


def main():
    land = land_mask(sys.argv[1])
    with open(sys.argv[2], "wb") as out:
        for hour in HOURS:
            step = fields(hour, land)
            for code in MESSAGES:
                out.write(message(code, hour, step[code[0]]))
            steep = max(np.nanmax(step["H" + s] / (G * step["T" + s] ** 2 / 2 / np.pi)) for s in ("W", "S1", "S2"))
            span = lambda k: f"{np.nanmin(step[k]):.1f}..{np.nanmax(step[k]):.1f}"
            print(f"{hour:3} h  wind {span('WIND')} m/s  total {span('HTSGW')} m  wind sea {span('HW')} m {span('TW')} s  "
                  f"swell {span('HS1')} m, {span('HS2')} m  steepest 1/{1 / steep:.0f}  land {land.sum()}")


if __name__ == "__main__":
    main()
