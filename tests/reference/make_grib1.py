#!/usr/bin/env python3
"""Small GRIB1 files and ensemble GRIB2 files for the tests.

    pip install eccodes==2.50.0 eccodeslib==2.50.0.33 numpy==2.4.6
    python tests/reference/make_grib1.py tests/data

The values are invented; their expected decoding comes from ecCodes through grib_values.py.
"""
import pathlib
import sys

import eccodes as ec
import numpy as np

MISSING = 9.999e20
LAT, LON = np.arange(-30.0, -34.1, -1.0), np.arange(177.0, 184.1, 1.0)


def field(seed, low, high):
    i, j = np.meshgrid(np.arange(LAT.size), np.arange(LON.size), indexing="ij")
    values = np.round(low + (high - low) * (0.5 + 0.5 * np.sin(0.7 * seed + 0.4 * i + 0.3 * j * (1 + seed % 3))), 2)
    return np.where(i + j < 2, MISSING, values)


def message(edition, values, keys, mode=0):
    h = ec.codes_grib_new_from_samples(f"regular_ll_sfc_grib{edition}")
    put = lambda k, v: ec.codes_set(h, k, v)
    for k, v in {k: v for k, v in keys.items() if k in ("centre", "setLocalDefinition", "localDefinitionNumber")}.items():
        put(k, v)
    for k, v in dict(dataDate=20240115, dataTime=600, Ni=LON.size, Nj=LAT.size, scanningMode=mode).items():
        put(k, v)
    la = (LAT[-1], LAT[0]) if mode & 0x40 else (LAT[0], LAT[-1])
    put("latitudeOfFirstGridPointInDegrees", la[0]), put("latitudeOfLastGridPointInDegrees", la[1])
    put("longitudeOfFirstGridPointInDegrees", LON[0]), put("longitudeOfLastGridPointInDegrees", LON[-1] - 360)
    put("iDirectionIncrementInDegrees", 1.0), put("jDirectionIncrementInDegrees", 1.0)
    for k, v in keys.items():
        put(k, v)
    put("missingValue", MISSING), put("bitmapPresent", 1), put("decimalPrecision", 2)
    ec.codes_set_values(h, (values[::-1] if mode & 0x40 else values).ravel())
    data = ec.codes_get_message(h)
    ec.codes_release(h)
    return data


def noaa(steps=(0, 3), drop=()):
    """Table 2 in the order of NOAA's wave model; the swells differ by order alone."""
    one = [(32, 1), (31, 1), (100, 1), (108, 1), (107, 1), (102, 1), (105, 241), (105, 241), (105, 241), (103, 1),
           (106, 241), (106, 241), (106, 241), (101, 1), (104, 241), (104, 241), (104, 241)]
    ranges = {32: (4, 15), 31: (0, 359), 100: (1, 6), 102: (0.5, 3), 105: (0.3, 3)}
    out = b""
    for step in steps:
        for i, (number, level) in enumerate(one):
            if (step, i) in drop:
                continue
            low, high = ranges.get(number, (0, 359) if number in (107, 101, 104) else (4, 16))
            keys = dict(centre=7, table2Version=2, indicatorOfParameter=number, indicatorOfTypeOfLevel=level, level=0,
                        indicatorOfUnitOfTimeRange=1, P1=step, timeRangeIndicator=0)
            out += message(1, field(i + step, low, high), keys, mode=64 if step else 0)
    return out


def ecmwf(members):
    """Tables 140 and 128 with ECMWF's local section: members by perturbation number."""
    out = b""
    for n in members:
        for i, (table, number, low, high) in enumerate(
            [(140, 229, 1, 6), (140, 230, 0, 359), (140, 232, 6, 12), (128, 165, -10, 10), (128, 166, -10, 10)]
        ):
            keys = dict(centre=98, setLocalDefinition=1, localDefinitionNumber=1, table2Version=table,
                        indicatorOfParameter=number, indicatorOfTypeOfLevel=1, level=0, indicatorOfUnitOfTimeRange=1,
                        P1=6, timeRangeIndicator=0, marsType="pf" if n else "cf", marsStream="waef",
                        perturbationNumber=n, numberOfForecastsInEnsemble=3)
            out += message(1, field(i + 10 * n, low, high), keys)
    return out


def ensemble(members):
    """GRIB2, template 4.1; the period bands in 4.104; no period of the total sea but by its bands."""
    out = b""
    common = dict(centre=98, tablesVersion=32, indicatorOfUnitOfTimeRange=1)
    plain = [(10, 0, 3, 4.0, 6.0), (10, 0, 14, 0, 359), (0, 2, 2, -10, 10), (0, 2, 3, -10, 10)]
    for n in members:
        for i, (d, c, p, low, high) in enumerate(plain):
            surface = dict(typeOfFirstFixedSurface=103, scaleFactorOfFirstFixedSurface=0, scaledValueOfFirstFixedSurface=10)
            keys = dict(common, discipline=d, productDefinitionTemplateNumber=1, parameterCategory=c, parameterNumber=p,
                        forecastTime=12, perturbationNumber=n, numberOfForecastsInEnsemble=2,
                        **(surface if d == 0 else dict(typeOfFirstFixedSurface=1)))
            out += message(2, field(i + 10 * n, low, high), keys)
        for i, (lower, upper, low, high) in enumerate([(10, 12, 2.9, 4.0), (12, 14, 0.5, 3.0)]):
            keys = dict(common, discipline=10, productDefinitionTemplateNumber=104, parameterCategory=0,
                        parameterNumber=3, typeOfWavePeriodInterval=7, scaleFactorOfLowerWavePeriodLimit=0,
                        scaledValueOfLowerWavePeriodLimit=lower, scaleFactorOfUpperWavePeriodLimit=0,
                        scaledValueOfUpperWavePeriodLimit=upper, forecastTime=12, typeOfFirstFixedSurface=1,
                        perturbationNumber=n, numberOfForecastsInEnsemble=2)
            out += message(2, field(i + 20 * n, low, high), keys)
    return out


# name, GRIB1 table and number, GRIB2 discipline, category and number, range
ECMWF = [((140, 229), (10, 0, 3), 2, 5), ((140, 230), (10, 0, 14), 0, 359), ((140, 232), (10, 0, 15), 6, 12),
         ((140, 234), (10, 0, 5), 1, 3), ((140, 235), (10, 0, 4), 200, 260), ((140, 236), (10, 0, 6), 4, 8),
         ((140, 237), (10, 0, 8), 1, 3), ((140, 238), (10, 0, 7), 90, 250), ((140, 239), (10, 0, 9), 8, 14),
         ((128, 165), (0, 2, 2), 3, 9), ((128, 166), (0, 2, 3), 3, 9)]


def twins():
    """One deterministic forecast of ECMWF's parameters in both editions."""
    first = second = b""
    for i, ((table, number), (discipline, category, parameter), low, high) in enumerate(ECMWF):
        keys = dict(centre=98, table2Version=table, indicatorOfParameter=number, indicatorOfTypeOfLevel=1, level=0,
                    indicatorOfUnitOfTimeRange=1, P1=6, timeRangeIndicator=0)
        first += message(1, field(i, low, high), keys)
        ten_metres = dict(typeOfFirstFixedSurface=103, scaleFactorOfFirstFixedSurface=0, scaledValueOfFirstFixedSurface=10)
        keys = dict(centre=98, tablesVersion=32, discipline=discipline, productDefinitionTemplateNumber=0,
                    parameterCategory=category, parameterNumber=parameter, indicatorOfUnitOfTimeRange=1, forecastTime=6,
                    **(ten_metres if discipline == 0 else dict(typeOfFirstFixedSurface=1)))
        second += message(2, field(i, low, high), keys)
    return first, second


def main():
    out = pathlib.Path(sys.argv[1])
    first, second = twins()
    (out / "ecmwf-twin.grib1").write_bytes(first)
    (out / "ecmwf-twin.grib2").write_bytes(second)
    (out / "noaa-order.grib1").write_bytes(noaa())
    (out / "noaa-order-broken.grib1").write_bytes(noaa(drop={(3, 8)}))
    (out / "ecmwf-ensemble.grib1").write_bytes(ecmwf((0, 1, 2)))
    (out / "ecmwf-ensemble.grib2").write_bytes(ensemble((1, 2)))


if __name__ == "__main__":
    main()
