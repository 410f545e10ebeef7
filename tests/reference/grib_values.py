#!/usr/bin/env python3
"""Expected values of GRIB2 files, as ecCodes decodes them: one CSV row a message.

    pip install eccodes==2.50.0 eccodeslib==2.50.0.33 numpy==2.4.6
    python tests/reference/grib_values.py FILE... > tests/reference/NAME.csv

Columns: file, message (from 1), date and hour of validity (UTC), count of points, missing, min, max, sum, then five
points as lat:lon:value (value `-` where missing), spread over the file's points. Latitudes and longitudes are ecCodes'
own, from its geographic iterator; of edition 1 see `places`.
"""
import os
import sys

import eccodes as ec
import numpy as np


ec.codes_grib_multi_support_on()


def places(h):
    """Edition 1 writes increments in thousandths of a degree, which drift: places from the first and the last point."""
    key = lambda name: ec.codes_get(h, f"{name}GridPointInDegrees")
    assert ec.codes_get(h, "scanningMode") in (0, 64)
    lat = np.linspace(key("latitudeOfFirst"), key("latitudeOfLast"), ec.codes_get(h, "Nj"))
    west, east = key("longitudeOfFirst"), key("longitudeOfLast")
    lon = np.linspace(west, west + (east - west) % 360, ec.codes_get(h, "Ni"))
    return np.repeat(lat, lon.size), np.tile(lon, lat.size)


def rows(path):
    with open(path, "rb") as f:
        number = 0
        while (h := ec.codes_grib_new_from_file(f)) is not None:
            number += 1
            ec.codes_set(h, "missingValue", 1e20)
            lat, lon = (ec.codes_get_array(h, k) for k in ("latitudes", "longitudes"))
            values = ec.codes_get_array(h, "latLonValues").reshape(-1, 3)
            assert np.array_equal(values[:, 0], lat) and np.array_equal(values[:, 1], lon)
            v = values[:, 2]
            if ec.codes_get(h, "edition") == 1:
                lat, lon = places(h)
            there = v[v < 1e19]
            at = [int(k) for k in np.linspace(0, v.size - 1, 7)[1:-1]]
            if there.size:
                present = np.flatnonzero(v < 1e19)
                at[1], at[3] = int(present[present.size // 3]), int(present[2 * present.size // 3])
            points = [f"{lat[k]:.6f}:{lon[k]:.6f}:" + (f"{v[k]:.9g}" if v[k] < 1e19 else "-") for k in at]
            low, high, total = (
                (f"{there.min():.9g}", f"{there.max():.9g}", f"{there.sum():.12g}") if there.size else ("-", "-", "0")
            )
            yield [
                os.path.basename(path), number, ec.codes_get(h, "validityDate"), ec.codes_get(h, "validityTime") // 100,
                v.size, v.size - there.size, low, high, total, *points,
            ]
            ec.codes_release(h)


print("file,message,date,hour,points,missing,min,max,sum,p1,p2,p3,p4,p5")
for path in sys.argv[1:]:
    for row in rows(path):
        print(*row, sep=",")
