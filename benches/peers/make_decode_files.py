#!/usr/bin/env python3
"""Global wave heights on 0.25 degrees, with land left out by a bitmap, in each packing of GRIB2: what decoding is timed on.

    pip install eccodes==2.50.0 eccodeslib==2.50.0.33 numpy==2.4.6
    python benches/peers/make_decode_files.py target/decode-files

Invented: storms drifting along two belts over a smooth background, rounded to 0.01 m, packed in 16 bits, three fields a file; land is what
lies above a level of a smooth noise, about a third of the globe. Every file is read back and held to the values it was
made from.
"""
import pathlib
import sys

import eccodes as ec
import numpy as np

MISSING = 9999.0
LAT, LON = np.arange(90.0, -90.1, -0.25), np.arange(0.0, 359.9, 0.25)
FIELDS = 3
PACKINGS = {
    "simple": {},
    "complex": dict(packingType="grid_complex"),
    "spatial-differencing-1": dict(packingType="grid_complex_spatial_differencing", orderOfSpatialDifferencing=1),
    "spatial-differencing-2": dict(packingType="grid_complex_spatial_differencing", orderOfSpatialDifferencing=2),
    "ccsds": dict(packingType="grid_ccsds"),
    "png": dict(packingType="grid_png"),
    "jpeg2000": dict(packingType="grid_jpeg"),
}


def waves(seed):
    la, lo = np.radians(LAT)[:, None], np.radians(LON)[None, :]
    height = 1.2 + 1.0 * np.sin(2 * la) ** 2 + 0.3 * np.sin(3 * lo + seed) * np.cos(2 * la)
    draw = np.random.default_rng(seed)
    for _ in range(24):
        centre_la = np.radians(draw.choice([-52, 45]) + draw.normal(0, 8))
        centre_lo, size, top = draw.uniform(0, 2 * np.pi), np.radians(draw.uniform(5, 14)), draw.uniform(1, 7)
        cos = np.sin(la) * np.sin(centre_la) + np.cos(la) * np.cos(centre_la) * np.cos(lo - centre_lo)
        height = height + top * np.exp((cos - 1) / (0.5 * size**2) / 2)
    return np.round(height, 2)


def land():
    la, lo = np.radians(LAT)[:, None], np.radians(LON)[None, :]
    draw, noise = np.random.default_rng(7), np.zeros((LAT.size, LON.size))
    for order in range(1, 13):
        for _ in range(3):
            noise += draw.normal() / order * np.sin(order * lo + draw.uniform(0, 6.3)) * np.cos(order * la + draw.uniform(0, 6.3))
    return noise > np.quantile(noise, 0.66)


def message(values, bitmap, keys):
    h = ec.codes_grib_new_from_samples("regular_ll_sfc_grib2")
    put = lambda k, v: ec.codes_set(h, k, v)
    # ecCodes takes these two after the values are there, the others before the grid changes size
    late = keys.get("packingType") in ("grid_ccsds", "grid_jpeg")
    for k, v in keys.items() if not late else ():
        put(k, v)
    for k, v in dict(
        centre=7, dataDate=20240229, dataTime=0, Ni=LON.size, Nj=LAT.size, scanningMode=0, latitudeOfFirstGridPoint=90_000_000,
        latitudeOfLastGridPoint=-90_000_000, longitudeOfFirstGridPoint=0, longitudeOfLastGridPoint=359_750_000,
        iDirectionIncrement=250_000, jDirectionIncrement=250_000, discipline=10, productDefinitionTemplateNumber=0,
        parameterCategory=0, parameterNumber=3, typeOfFirstFixedSurface=1, missingValue=MISSING, bitmapPresent=1,
        bitsPerValue=16,
    ).items():
        put(k, v)
    ec.codes_set_values(h, np.where(bitmap, MISSING, values).ravel())
    for k, v in keys.items() if late else ():
        put(k, v)
    found = ec.codes_get_values(h).reshape(values.shape)
    rounding = 0.001
    assert np.array_equal(found == MISSING, bitmap) and np.abs(found - values)[~bitmap].max() < rounding, keys
    assert ec.codes_get(h, "packingType") == keys.get("packingType", "grid_simple"), ec.codes_get(h, "packingType")
    data = ec.codes_get_message(h)
    ec.codes_release(h)
    return data


def main():
    out = pathlib.Path(sys.argv[1])
    out.mkdir(parents=True, exist_ok=True)
    bitmap, fields = land(), [waves(seed) for seed in range(FIELDS)]
    for name, keys in PACKINGS.items():
        path = out / f"{name}.grib2"
        if not path.exists():
            path.write_bytes(b"".join(message(field, bitmap, keys) for field in fields))
            print(f"{path}: {path.stat().st_size / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
