#!/usr/bin/env python3
"""One field without any value in every packing that ecCodes writes, and in edition 1.

    pip install eccodes==2.50.0 numpy
    python tests/reference/make_all_missing.py tests/data

Four rows and four columns of total wave height; every value is missing.
"""
import pathlib
import sys

import eccodes as ec

PACKINGS = ["grid_simple", "grid_complex", "grid_complex_spatial_differencing", "grid_jpeg", "grid_png", "grid_ccsds",
            "grid_ieee"]


def message(edition, packing):
    h = ec.codes_grib_new_from_samples(f"regular_ll_sfc_grib{edition}")
    keys = dict(dataDate=20240115, dataTime=0, Ni=4, Nj=4, latitudeOfFirstGridPointInDegrees=3.0,
                latitudeOfLastGridPointInDegrees=0.0, longitudeOfFirstGridPointInDegrees=0.0,
                longitudeOfLastGridPointInDegrees=3.0, iDirectionIncrementInDegrees=1.0, jDirectionIncrementInDegrees=1.0)
    if edition == 2:
        keys.update(discipline=10, parameterCategory=0, parameterNumber=3, typeOfFirstFixedSurface=1)
    else:
        keys.update(table2Version=140, centre=98, indicatorOfParameter=229)
    for key, value in keys.items():
        ec.codes_set(h, key, value)
    ec.codes_set(h, "packingType", packing)
    ec.codes_set(h, "missingValue", 9999.0)
    ec.codes_set(h, "bitmapPresent", 1)
    ec.codes_set_values(h, [9999.0] * 16)
    found = ec.codes_get(h, "packingType"), ec.codes_get(h, "numberOfMissing")
    data = ec.codes_get_message(h)
    ec.codes_release(h)
    print(edition, *found, len(data))
    return data


def main():
    out = pathlib.Path(sys.argv[1])
    (out / "all-missing-packings.grib2").write_bytes(b"".join(message(2, packing) for packing in PACKINGS))
    (out / "all-missing.grib1").write_bytes(message(1, "grid_simple"))


if __name__ == "__main__":
    main()
