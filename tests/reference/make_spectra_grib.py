#!/usr/bin/env python3
"""Directional spectra in GRIB as ECMWF writes them, and what NumPy makes of ecCodes' decoding of them.

    pip install eccodes==2.50.0 eccodeslib==2.50.0.33 numpy==2.4.6
    python tests/reference/make_spectra_grib.py tests/data tests/reference/small_spectra_grib.csv

The values are invented: JONSWAP spectra spread by cos^2s, base-10 logarithms, what is below 1e-4 m2 s/rad is missing, and
so is all of the north-western point, which is land.
"""
import csv
import pathlib
import sys

import eccodes as ec
import numpy as np

MISSING = 9.999e20
LAT, LON = np.array([-49.0, -50.0, -51.0]), np.array([178.0, 179.0, 180.0, 181.0])


def spectra(directions, frequencies):
    """Towards in degrees, frequencies in Hz, densities by latitude, longitude, frequency, direction."""
    towards = 360 / directions * (0.5 + np.arange(directions))
    f = 0.05 * 1.2 ** np.arange(frequencies)
    i, j = np.meshgrid(np.arange(LAT.size), np.arange(LON.size), indexing="ij")
    hs, fp, mean = 1.5 + 0.7 * i + 0.2 * j, 0.075 + 0.01 * i + 0.005 * j, 40.0 + 25 * i + 15 * j
    x = f / fp[..., None]
    line = f**-5.0 * np.exp(-1.25 * x**-4.0) * 3.3 ** np.exp(-((x - 1) ** 2) / (2 * np.where(x <= 1, 0.07, 0.09) ** 2))
    spread = np.cos(np.radians(towards - mean[..., None]) / 2) ** 12
    density = line[..., :, None] * spread[..., None, :]
    total = np.trapezoid(density.sum(-1), f) * np.radians(360 / directions)
    return towards, f, density * (hs**2 / 16 / total)[..., None, None]


def message(edition, keys, values, arrays={}):
    h = ec.codes_grib_new_from_samples(f"regular_ll_sfc_grib{edition}")
    for k, v in {**keys, **dict(
        dataDate=20240115, dataTime=0, Ni=LON.size, Nj=LAT.size, scanningMode=0,
        latitudeOfFirstGridPointInDegrees=LAT[0], latitudeOfLastGridPointInDegrees=LAT[-1],
        longitudeOfFirstGridPointInDegrees=LON[0], longitudeOfLastGridPointInDegrees=LON[-1] - 360 * (edition == 1),
        iDirectionIncrementInDegrees=1.0, jDirectionIncrementInDegrees=1.0, missingValue=MISSING, bitmapPresent=1,
    )}.items():
        ec.codes_set(h, k, v)
    for k, v in arrays.items():
        ec.codes_set_array(h, k, [int(x) for x in v])
    ec.codes_set(h, "bitsPerValue", 12)
    ec.codes_set_values(h, np.ravel(values))
    data = ec.codes_get_message(h)
    ec.codes_release(h)
    return data


def wind(edition, member):
    out = b""
    for number, value in ((165, 7.0), (166, -9.0)):
        values = value + 0.3 * np.arange(LAT.size * LON.size)
        if edition == 2:
            keys = dict(centre=98, tablesVersion=32, indicatorOfUnitOfTimeRange=1, forecastTime=6,
                        productDefinitionTemplateNumber=0 if member is None else 1,
                        discipline=0, parameterCategory=2, parameterNumber=number - 163,
                        typeOfFirstFixedSurface=103, scaleFactorOfFirstFixedSurface=0, scaledValueOfFirstFixedSurface=10)
        else:
            keys = dict(centre=98, setLocalDefinition=1, localDefinitionNumber=1, table2Version=128,
                        indicatorOfParameter=number, indicatorOfTypeOfLevel=1, level=0, indicatorOfUnitOfTimeRange=1,
                        P1=6, timeRangeIndicator=0, marsType="pf", marsStream="waef")
        if member is not None:
            keys["perturbationNumber"] = member
        out += message(edition, keys, values)
    return out


def grib(edition, directions, frequencies, member=None):
    towards, f, density = spectra(directions, frequencies)
    out = b""
    for m in range(frequencies):
        for k in range(directions):
            values = density[..., m, k]
            with np.errstate(divide="ignore"):
                values = np.where(values < 1e-4, MISSING, np.log10(values))
            values[0, 0] = MISSING
            if edition == 2:
                keys = dict(centre=98, tablesVersion=32, discipline=10, indicatorOfUnitOfTimeRange=1,
                            productDefinitionTemplateNumber=99 if member is None else 100, forecastTime=6,
                            parameterCategory=0, parameterNumber=86, waveDirectionNumber=k + 1,
                            waveFrequencyNumber=m + 1, numberOfWaveDirections=directions,
                            numberOfWaveFrequencies=frequencies, scaleFactorOfWaveDirections=2,
                            scaleFactorOfWaveFrequencies=6)
                arrays = dict(scaledValuesOfWaveDirections=np.round(towards * 100),
                              scaledValuesOfWaveFrequencies=np.round(f * 1e6))
            else:
                keys = dict(centre=98, setLocalDefinition=1, localDefinitionNumber=13, table2Version=140,
                            indicatorOfParameter=251, indicatorOfTypeOfLevel=102, level=0, indicatorOfUnitOfTimeRange=1,
                            P1=6, timeRangeIndicator=0, marsType="pf", marsStream="waef", directionNumber=k + 1,
                            frequencyNumber=m + 1, numberOfDirections=directions, numberOfFrequencies=frequencies,
                            directionScalingFactor=1000, frequencyScalingFactor=1_000_000)
                arrays = dict(scaledDirections=np.round(towards * 1000), scaledFrequencies=np.round(f * 1e6))
            if member is not None:
                keys["perturbationNumber"] = member
            out += message(edition, keys, values, arrays)
    return out + wind(edition, member)


def decoded(path):
    """As ecCodes has it: directions it comes from, frequencies, densities."""
    parts = {}
    with open(path, "rb") as file:
        while (h := ec.codes_grib_new_from_file(file)) is not None:
            if ec.codes_get(h, "paramId") == 140251:
                ec.codes_set(h, "missingValue", MISSING)
                values = ec.codes_get_values(h)
                get = lambda *names: next(ec.codes_get_array(h, n) for n in names if ec.codes_is_defined(h, n))
                if ec.codes_get(h, "edition") == 1:
                    th = get("scaledDirections") / ec.codes_get(h, "directionScalingFactor")
                    f = get("scaledFrequencies") / ec.codes_get(h, "frequencyScalingFactor")
                    place = ec.codes_get(h, "directionNumber"), ec.codes_get(h, "frequencyNumber")
                else:
                    th = get("scaledValuesOfWaveDirections") * 10.0 ** -ec.codes_get(h, "scaleFactorOfWaveDirections")
                    f = get("scaledValuesOfWaveFrequencies") * 10.0 ** -ec.codes_get(h, "scaleFactorOfWaveFrequencies")
                    place = ec.codes_get(h, "waveDirectionNumber"), ec.codes_get(h, "waveFrequencyNumber")
                parts[place] = np.where(values == MISSING, np.nan, 10**values).reshape(LAT.size, LON.size)
            ec.codes_release(h)
    density = np.array([[parts[k + 1, m + 1] for k in range(th.size)] for m in range(f.size)])
    return (th + 180) % 360, f, np.moveaxis(density, (0, 1), (2, 3))


def table(out, paths):
    """Integrals by NumPy: trapezoidal over frequency, equal sectors over direction."""
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["file", "lat", "lon", "hs_m", "tm01_s", "tm02_s", "tm10_s", "mean_from_deg", "spread_deg"])
    for path in paths:
        th, f, e = decoded(path)
        for i, j in np.ndindex(e.shape[:2]):
            if np.isnan(e[i, j]).all():
                continue
            s = np.nan_to_num(e[i, j])
            sector = np.radians(360 / th.size)
            line = s.sum(1) * sector
            m = {k: np.trapezoid(line * f**k, f) for k in (-1, 0, 1, 2)}
            east, north = (np.trapezoid((s * g(np.radians(th))).sum(1) * sector, f) for g in (np.sin, np.cos))
            r = np.hypot(east, north) / m[0]
            values = [4 * m[0] ** 0.5, m[0] / m[1], (m[0] / m[2]) ** 0.5, m[-1] / m[0],
                      np.degrees(np.arctan2(east, north)) % 360, np.degrees(np.sqrt(2 * (1 - r)))]
            rows.writerow([path.name, f"{LAT[i]:g}", f"{LON[j]:g}", *(f"{v:.8g}" for v in values)])


def main():
    data = pathlib.Path(sys.argv[1])
    paths = [data / name for name in ("spectra.grib2", "spectra-member.grib2", "spectra.grib1")]
    paths[0].write_bytes(grib(2, 12, 10))
    paths[1].write_bytes(grib(2, 6, 5, member=3))
    paths[2].write_bytes(grib(1, 12, 10, member=2))
    with open(sys.argv[2], "w") as out:
        table(out, paths)


if __name__ == "__main__":
    main()
