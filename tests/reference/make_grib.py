#!/usr/bin/env python3
"""Small GRIB2 files for the tests: one field in every packing, both longitude conventions, every scanning mode.

    pip install eccodes==2.50.0 eccodeslib==2.50.0.33 numpy==2.4.6
    python tests/reference/make_grib.py tests/data

The values are invented (a wave height of two sines, rounded to 0.01, a triangle of land left out); their expected
decoding comes from ecCodes through grib_values.py, not from here.
"""
import pathlib
import sys

import eccodes as ec
import numpy as np

MISSING = 9.999e20


def sea(lat, lon):
    la, lo = np.meshgrid(lat, lon, indexing="ij")
    height = 2.5 + 1.5 * np.sin(np.radians(9 * lo)) * np.cos(np.radians(7 * la)) + 0.02 * (la - la.mean())
    return np.round(height, 2), (lo - lon[0]) + 1.3 * (la - lat.min()) < 5


def scanned(field, mode):
    """North-to-south, west-to-east rows into the order of a scanning mode (flag table 3.4)."""
    a = field[::-1] if mode & 0x40 else field
    a = a[:, ::-1] if mode & 0x80 else a
    a = a.T if mode & 0x20 else a
    a = a.copy()
    if mode & 0x10:
        a[1::2] = a[1::2, ::-1]
    return a.ravel()


def message(lat, lon, packing="grid_simple", mode=0, bits=None, land=True, product=(10, 0, 3), surface=(1, 1), field=None):
    """One message; lat runs north to south, lon west to east."""
    h = ec.codes_grib_new_from_samples("regular_ll_sfc_grib2")
    put = lambda k, v: ec.codes_set(h, k, v)
    # these packers must be chosen before the grid changes size
    early = packing not in ("grid_simple", "grid_jpeg", "grid_ccsds")
    if early:
        put("packingType", packing)
    for k, v in dict(
        centre=7, subCentre=0, tablesVersion=2, localTablesVersion=1, significanceOfReferenceTime=1,
        dataDate=20240229, dataTime=1800, typeOfProcessedData=1, shapeOfTheEarth=6, Ni=lon.size, Nj=lat.size,
    ).items():
        put(k, v)
    ends = lambda a, turn: (a[-1], a[0]) if turn else (a[0], a[-1])
    la, lo = ends(lat, mode & 0x40), ends(lon, mode & 0x80)
    micro = lambda a: round(a * 1e6)
    put("latitudeOfFirstGridPoint", micro(la[0])), put("latitudeOfLastGridPoint", micro(la[1]))
    put("longitudeOfFirstGridPoint", micro(lo[0] % 360)), put("longitudeOfLastGridPoint", micro(lo[1] % 360))
    put("iDirectionIncrement", micro(lon[1] - lon[0])), put("jDirectionIncrement", micro(lat[0] - lat[1]))
    put("scanningMode", mode), put("resolutionAndComponentFlags", 48)
    put("productDefinitionTemplateNumber", 0)
    put("discipline", product[0]), put("parameterCategory", product[1]), put("parameterNumber", product[2])
    put("indicatorOfUnitOfTimeRange", 1), put("forecastTime", 6)
    put("typeOfFirstFixedSurface", surface[0]), put("scaleFactorOfFirstFixedSurface", 0)
    put("scaledValueOfFirstFixedSurface", surface[1]), put("typeOfSecondFixedSurface", 255)
    height, is_land = field or sea(lat, lon)
    put("missingValue", MISSING), put("bitmapPresent", 1 if land else 0)
    if packing == "grid_ieee":
        put("precision", 1)
    elif early or bits:
        put("bitsPerValue", bits or 16)
    else:
        put("decimalPrecision", 2)
    ec.codes_set_values(h, scanned(np.where(is_land & land, MISSING, height), mode))
    if packing in ("grid_jpeg", "grid_ccsds"):
        put("packingType", packing)
    data = ec.codes_get_message(h)
    ec.codes_release(h)
    return data


def mercator():
    """A Mercator grid on a sphere, 9 x 7, 160E to 200E, 30S to 50S; its latitudes are ecCodes' to work out."""
    h = ec.codes_grib_new_from_samples("regular_ll_sfc_grib2")
    put = lambda k, v: ec.codes_set(h, k, v)
    put("gridType", "mercator")
    # the sphere of shape 6, true at 40 degrees
    radius, ordinate = 6_371_229 * np.cos(np.radians(40)), lambda lat: np.arctanh(np.sin(np.radians(lat)))
    di, dj = radius * np.radians(5), radius * (ordinate(-30) - ordinate(-50)) / 6
    for k, v in dict(
        centre=7, dataDate=20240229, dataTime=1800, shapeOfTheEarth=6, Ni=9, Nj=7, LaD=40_000_000, scanningMode=64,
        latitudeOfFirstGridPoint=-50_000_000, latitudeOfLastGridPoint=-30_000_000, longitudeOfFirstGridPoint=160_000_000,
        longitudeOfLastGridPoint=200_000_000, orientationOfTheGrid=0, Di=round(di * 1000), Dj=round(dj * 1000),
        resolutionAndComponentFlags=48, discipline=10, parameterCategory=0, parameterNumber=3, decimalPrecision=2,
        typeOfFirstFixedSurface=1, indicatorOfUnitOfTimeRange=1, forecastTime=6,
    ).items():
        put(k, v)
    ec.codes_set_values(h, np.round(2 + 0.01 * np.arange(63.0), 2))
    data = ec.codes_get_message(h)
    ec.codes_release(h)
    return data


def two_fields(path, first, second):
    """One message that repeats sections 4 to 7 for its second field."""
    multi = ec.codes_grib_multi_new()
    for data, start in ((first, 0), (second, 4)):
        h = ec.codes_new_from_message(data)
        ec.codes_grib_multi_append(h, start, multi)
        ec.codes_release(h)
    with open(path, "wb") as f:
        ec.codes_grib_multi_write(multi, f)
    ec.codes_grib_multi_release(multi)


def main():
    out = pathlib.Path(sys.argv[1])
    lat, lon = np.arange(46.0, 37.9, -0.5), np.arange(350.0, 370.1, 1.0)
    packings = ["simple", "complex", "complex_spatial_differencing", "png", "jpeg", "ccsds", "ieee"]
    for p in packings:
        (out / f"packing-{p}.grib2").write_bytes(message(lat, lon, f"grid_{p}"))
    calm, nowhere = np.full((lat.size, lon.size), 1.25), np.zeros((lat.size, lon.size), bool)
    (out / "packing-constant.grib2").write_bytes(message(lat, lon, field=(calm, nowhere), land=False))
    lone = nowhere.copy()
    lone[4, 4] = True
    (out / "packing-jpeg-one-point.grib2").write_bytes(message(lat, lon, "grid_jpeg", field=(calm, ~lone)))
    (out / "packing-jpeg-all-missing.grib2").write_bytes(message(lat, lon, "grid_jpeg", field=(calm, ~nowhere)))
    for name, west in [("crosses-0", 350.0), ("crosses-180", 170.0), ("west-180", 180.0), ("signed", -75.0)]:
        axis = np.arange(west, west + 20.1, 1.0)
        (out / f"lon-{name}.grib2").write_bytes(message(lat, axis))
    for mode in (0x00, 0x40, 0x80, 0xC0, 0x20, 0x60, 0xA0, 0xE0, 0x10, 0x50, 0x90):
        (out / f"scan-{mode:02x}.grib2").write_bytes(message(lat[:9], lon[:7], mode=mode))
    (out / "mercator.grib2").write_bytes(mercator())
    two_fields(out / "two-fields.grib2", message(lat, lon), message(lat, lon, "grid_simple", product=(10, 0, 5)))
    (out / "no-wind.grib2").write_bytes(message(lat[:5], lon[:5]))
    (out / "no-waves.grib2").write_bytes(message(lat[:5], lon[:5], product=(0, 0, 0)))
    pair = lambda la, lo: message(la, lo, product=(0, 2, 1)) + message(la, lo, product=(0, 2, 0))
    (out / "mixed-grids.grib2").write_bytes(message(lat[:5], lon[:5]) + pair(lat[:5], lon[:6]))


if __name__ == "__main__":
    main()
