#!/usr/bin/env python3
"""Small NetCDF files for the tests, and what is in them.

    pip install netCDF4==1.7.5.1.post1 xarray==2026.9.0 scipy==1.17.1 numpy==2.4.6
    python tests/reference/make_netcdf.py tests/data tests/reference/small_netcdf.csv tests/reference/small_spectra.csv \
        tests/reference/small_wind.csv [era5file.nc]

The values are invented. The tables hold what xarray reads back (scale, offset, fill and times decoded), turned into
the units and senses of this project by the formulas in `convert` below: file, variable, time, member, lat, lon, value
(empty where missing). Every fifth point of every field is listed.
"""
import csv
import pathlib
import sys

import netCDF4
import numpy as np
import xarray as xr
from scipy.interpolate import RegularGridInterpolator

LAT, LON = np.arange(52.0, 48.9, -1.0), np.arange(358.0, 363.1, 1.0) % 360
SHAPE = (2, LAT.size, LON.size)


def wave(seed, low, high, shape=SHAPE):
    """Smooth, different for each seed, between low and high."""
    index = np.indices(shape).astype(float)
    phase = sum((k + 1.3) * (seed + 0.7) * a * 0.31 for k, a in enumerate(index))
    return low + (high - low) * (0.5 + 0.5 * np.sin(phase))


def land(values):
    mask = np.zeros(values.shape, bool)
    mask[..., 0, :2] = True
    return np.ma.array(values, mask=mask)


def create(path, form, times, unit, calendar="standard", lat=LAT, lon=LON, names=("time", "latitude", "longitude")):
    d = netCDF4.Dataset(path, "w", format=form)
    for name, size in zip(names, (len(times), lat.size, lon.size)):
        d.createDimension(name, size)
    t = d.createVariable(names[0], "f8", (names[0],))
    t.units, t.calendar, t[:] = unit, calendar, times
    for name, values, units in ((names[1], lat, "degrees_north"), (names[2], lon, "degrees_east")):
        v = d.createVariable(name, "f4", (name,))
        v.units, v[:] = units, values
    return d


def put(d, name, values, dims, unit=None, standard=None, packed=None, kind="f4", **options):
    kind = "i2" if packed else kind
    fill = -32767 if packed else np.float32(1e20)
    v = d.createVariable(name, kind, dims, fill_value=fill, **options)
    if packed:
        v.scale_factor, v.add_offset = packed
    if unit:
        v.units = unit
    if standard:
        v.standard_name = standard
    v[:] = values


def cf_classic(path):
    """CF names; every unit and sense that has to be turned."""
    d = create(path, "NETCDF3_CLASSIC", [12418.0, 12418.125], "days since 1990-01-01 00:00:00")
    dims, p = ("time", "latitude", "longitude"), "sea_surface_"
    put(d, "h", land(wave(1, 0.5, 6)), dims, "m", p + "wave_significant_height", packed=(0.001, 10.0))
    put(d, "towards", land(wave(2, 0, 359)), dims, "degree", p + "wave_to_direction")
    put(d, "peak", land(wave(3, 0.06, 0.2)), dims, "s-1", p + "wave_frequency_at_variance_spectral_density_maximum")
    put(d, "hw", land(wave(4, 0.5, 3)), dims, "m", p + "wind_wave_significant_height")
    put(d, "dw", land(wave(5, 0, 6.28)), dims, "radian", p + "wind_wave_to_direction")
    put(d, "tw", land(wave(6, 3, 8)), dims, "s", p + "wind_wave_mean_period")
    turned = ("time", "longitude", "latitude")
    put(d, "hs1", np.ma.swapaxes(land(wave(7, 20, 200)), 1, 2), turned, "cm", p + "primary_swell_wave_significant_height")
    put(d, "ds1", land(wave(8, 0, 6.28)), dims, "rad", p + "primary_swell_wave_from_direction")
    put(d, "ts1", land(wave(9, 8, 15)), dims, "s", p + "primary_swell_wave_period_at_variance_spectral_density_maximum")
    put(d, "ws", wave(10, 5, 40), dims, "knots", "wind_speed")
    put(d, "wd", wave(11, 0, 359), dims, "degree", "wind_to_direction")
    put(d, "current", wave(12, 0, 1), dims, "m s-1", "eastward_sea_water_velocity")
    d.close()


def ww3(path):
    """WAVEWATCH III's names, with the standard names it gets wrong."""
    d = create(path, "NETCDF4_CLASSIC", [0.0, 3.0], "hours since 2024-01-15 00:00:00")
    dims, o = ("time", "latitude", "longitude"), {}
    chunked = dict(zlib=True, chunksizes=(2, 2, 3), shuffle=True, fletcher32=True)
    wrong = "sea_surface_wind_wave_mean_period_from_variance_spectral_density_second_frequency_moment"
    put(d, "hs", land(wave(1, 1, 6)), dims, "m", "sea_surface_wave_significant_height", packed=(0.002, 0.0), **chunked)
    put(d, "t02", land(wave(2, 4, 8)), dims, "s", wrong, **o)
    put(d, "fp", land(wave(3, 0.06, 0.2)), dims, "s-1", **o)
    put(d, "dir", land(wave(4, 0, 359)), dims, "degree", "sea_surface_wave_from_direction", **o)
    for k, low in ((0, 3), (1, 8), (2, 10)):
        put(d, f"phs{k}", land(wave(5 + k, 0.3, 3)), dims, "m", **o)
        put(d, f"ptp{k}", land(wave(8 + k, low, low + 5)), dims, "s", **o)
        put(d, f"pdir{k}", land(wave(11 + k, 0, 359)), dims, "degree", **o)
    put(d, "dpt", land(wave(14, 10, 4000)), dims, "m", "depth", **o)
    put(d, "uwnd", wave(15, -10, 10), dims, "m s-1", "eastward_wind", **o)
    put(d, "vwnd", wave(16, -10, 10), dims, "m s-1", "northward_wind", **o)
    put(d, "ucur", wave(17, -1, 1), dims, "m s-1", "eastward_sea_water_velocity", **o)
    d.close()


def ensemble(path):
    """ERA5's names with members, and a depth without time; no wind."""
    d = create(path, "NETCDF4", [1705276800, 1705287600], "seconds since 1970-01-01", "proleptic_gregorian",
               names=("valid_time", "latitude", "longitude"))
    d.createDimension("number", 3)
    n = d.createVariable("number", "i8", ("number",))
    n.standard_name, n[:] = "realization", [0, 1, 7]
    dims = ("number", "valid_time", "latitude", "longitude")
    shape = (3, *SHAPE)
    for seed, (name, unit, low, high) in enumerate(
        [("swh", "m", 1, 6), ("mwd", "Degree true", 0, 359), ("mwp", "s", 6, 12), ("pp1d", "s", 8, 16)]
    ):
        put(d, name, land(wave(seed, low, high, shape)), dims, unit, "unknown", zlib=True)
    put(d, "wmb", land(wave(9, 20, 300, SHAPE[1:])), dims[2:], "m")
    d.close()


def wind(path):
    """Wind every 2 h on a coarser grid that ends before the waves' does, for `ensemble.nc`."""
    lat, lon = np.array([48.5, 50.0, 53.0]), np.array([-3.0, -1.0, 0.5, 2.25])
    d = create(path, "NETCDF4", [23.0, 25.0, 27.0], "hours since 2024-01-14", lat=lat, lon=lon, names=("time", "lat", "lon"))
    dims, shape = ("time", "lat", "lon"), (3, lat.size, lon.size)
    put(d, "u10", wave(1, -12, 12, shape), dims, "m s**-1")
    put(d, "v10", wave(2, -12, 12, shape), dims, "m s**-1")
    d.close()


def coast_wind(path):
    """Wind of 10 m/s from the south-west, every 6 h, wide over the coast of the real ERA5 and Copernicus files."""
    lat, lon, hours = np.array([49.0, 56.0]), np.array([-2.0, 9.0]), np.arange(0.0, 67.0, 6.0)
    d = create(path, "NETCDF3_CLASSIC", hours, "hours since 2017-10-27 00:00:00", lat=lat, lon=lon)
    dims, part = ("time", "latitude", "longitude"), np.full((hours.size, 2, 2), 10 / np.sqrt(2))
    put(d, "u10", part, dims, "m s-1", "eastward_wind")
    put(d, "v10", part, dims, "m s-1", "northward_wind")
    d.close()


def odd(path):
    """A sea of 30 cells that a check should have something to say about: which cells is written here, by hand."""
    lat, lon = np.arange(50.0, 45.9, -1.0), np.arange(-10.0, -4.9, 1.0)
    d = create(path, "NETCDF3_CLASSIC", [0.0], "hours since 2024-01-15 00:00:00", lat=lat, lon=lon)
    dims, p = ("time", "latitude", "longitude"), "sea_surface_"

    def flat(value, *others):
        values = np.full((1, 5, 6), value, "f4")
        for row, column, other in others:
            values[0, row, column] = other
        return values

    # together sqrt(1.5^2 + 2^2) = 2.5 m; at two cells the total is less than half, or more than one and a half
    put(d, "hs", flat(2.5, (1, 2, 1.2), (3, 4, 40.0)), dims, "m", p + "wave_significant_height")
    put(d, "dir", flat(250.0, (0, 5, 365.0)), dims, "degree", p + "wave_from_direction")
    # frequencies in a variable that says seconds
    put(d, "tp", flat(0.1), dims, "s", p + "wave_period_at_variance_spectral_density_maximum")
    moment = p + "wave_mean_period_from_variance_spectral_density_"
    put(d, "t0m1", flat(9.0), dims, "s", moment + "inverse_frequency_moment")
    put(d, "t02", flat(7.0, (2, 0, 9.5), (2, 1, 9.5), (4, 5, 9.5)), dims, "s", moment + "second_frequency_moment")
    # 1.5 m on a peak period of 3 s is 1 in 9.4
    put(d, "hw", flat(1.5), dims, "m", p + "wind_wave_significant_height")
    put(d, "tw", flat(6.0, (1, 1, 3.0), (1, 3, 3.0)), dims, "s", p + "wind_wave_period_at_variance_spectral_density_maximum")
    # towards in a variable that says from, at (2, 2) and at (2, 3), where there is hardly any wind
    put(d, "dw", flat(240.0, (2, 2, 60.0), (2, 3, 60.0)), dims, "degree", p + "wind_wave_from_direction")
    put(d, "h1", flat(2.0, (4, 4, -0.5)), dims, "m", p + "primary_swell_wave_significant_height")
    put(d, "t1", flat(12.0), dims, "s", p + "primary_swell_wave_period_at_variance_spectral_density_maximum")
    # radians in a variable that says degrees
    put(d, "d1", flat(4.2, (0, 0, 4.0)), dims, "degree", p + "primary_swell_wave_from_direction")
    put(d, "ws", flat(9.0, (2, 3, 2.0), (4, 0, -1.0)), dims, "m s-1", "wind_speed")
    put(d, "wd", flat(235.0), dims, "degree", "wind_from_direction")
    put(d, "depth", flat(60.0, (3, 3, -5.0)), dims, "m", "sea_floor_depth_below_sea_surface")
    d.close()


def spectra(path):
    """Directional spectra by CF names, towards, with wind."""
    d = create(path, "NETCDF4", [0.0], "hours since 2024-01-15 00:00:00", lat=LAT[:2], lon=LON[:3])
    f, th = 0.04 * 1.1 ** np.arange(25), np.arange(0.0, 360.0, 15.0)
    for name, values, unit, standard in (
        ("frequency", f, "s-1", "sea_surface_wave_frequency"),
        ("direction", th, "degree", "sea_surface_wave_to_direction"),
    ):
        d.createDimension(name, values.size)
        v = d.createVariable(name, "f8", (name,))
        v.units, v.standard_name, v[:] = unit, standard, values
    fp, towards, hs = wave(1, 0.08, 0.2, (2, 3)), wave(2, 0, 359, (2, 3)), wave(3, 1, 5, (2, 3))
    line = 0.3125 * hs[..., None] ** 2 * fp[..., None] ** 4 / f**5 * np.exp(-1.25 * (fp[..., None] / f) ** 4)
    spread = np.maximum(np.cos(np.radians(th - towards[..., None])), 0) ** 2 * 2 / np.pi
    density = line[..., :, None] * spread[..., None, :]
    density[0, 0] = np.nan
    put(d, "efth", np.ma.masked_invalid(density)[None], ("time", "latitude", "longitude", "frequency", "direction"),
        "m2 s rad-1", "sea_surface_wave_directional_variance_spectral_density", zlib=True)
    put(d, "uwnd", wave(4, -10, 10, (1, 2, 3)), ("time", "latitude", "longitude"), "m s-1", "eastward_wind")
    put(d, "vwnd", wave(5, -10, 10, (1, 2, 3)), ("time", "latitude", "longitude"), "m s-1", "northward_wind")
    d.close()


def stations(path):
    """Point output as WAVEWATCH III writes it: two stations, directions towards and running down, positions by time.

    JONSWAP spectra (gamma 3.3) spread by cos^2s of the half angle, scaled to Hs 2.0 and 3.0 m at the first time and
    2.5 and 3.0 m at the second; from 250 with Tp 12.5 s (station 1) and from 300 with Tp 8 s (station 2).
    """
    d = netCDF4.Dataset(path, "w", format="NETCDF4_CLASSIC")
    f, th = 0.04 * 1.1 ** np.arange(25), (90.0 - np.arange(0.0, 360.0, 10.0)) % 360
    for name, size in (("time", 2), ("station", 2), ("string40", 40), ("frequency", f.size), ("direction", th.size)):
        d.createDimension(name, size)
    def axis(name, dims, values, unit, standard, kind="f8"):
        v = d.createVariable(name, kind, dims)
        v.units, v.standard_name, v[:] = unit, standard, values
    axis("time", ("time",), [12432.0, 12432.125], "days since 1990-01-01 00:00:00", "time")
    v = d.createVariable("station_name", "S1", ("station", "string40"))
    v[:] = netCDF4.stringtochar(np.array(["INVENT-1".ljust(40), "INVENT-2".ljust(40)], "S40"))
    place = ("time", "station")
    axis("longitude", place, [[-178.5, 179.25]] * 2, "degree_east", "longitude", "f4")
    axis("latitude", place, [[-51.0, -50.5]] * 2, "degree_north", "latitude", "f4")
    axis("frequency", ("frequency",), f, "s-1", "sea_surface_wave_frequency", "f4")
    axis("frequency1", ("frequency",), f / 1.1**0.5, "s-1", "frequency_of_lower_band", "f4")
    axis("direction", ("direction",), th, "degree", "sea_surface_wave_to_direction", "f4")
    def sea(hs, tp, wave_from, s):
        x = f * tp
        line = f**-5.0 * np.exp(-1.25 * x**-4.0)
        line *= 3.3 ** np.exp(-((x - 1) ** 2) / (2 * np.where(x <= 1, 0.07, 0.09) ** 2))
        spread = np.cos(np.radians(th + 180 - wave_from) / 2) ** (2 * s)
        density = line[:, None] * spread[None, :]
        return density * hs**2 / 16 / (np.trapezoid(density.sum(1), f) * np.radians(10.0))
    density = [[sea(hs, 12.5, 250.0, 20), sea(3.0, 8.0, 300.0, 8)] for hs in (2.0, 2.5)]
    put(d, "efth", density, ("time", "station", "frequency", "direction"), "m2 s rad-1",
        "sea_surface_wave_directional_variance_spectral_density", zlib=True)
    put(d, "dpt", [[4000.0, 3500.0]] * 2, place, "m", "depth")
    put(d, "wnd", [[10.0, 12.0], [11.0, 12.0]], place, "m s-1", "wind_speed")
    put(d, "wnddir", [[280.0, 300.0]] * 2, place, "degree", "wind_from_direction")
    put(d, "cur", [[0.1, 0.2]] * 2, place, "m s-1", "sea_water_speed")
    put(d, "curdir", [[10.0, 20.0]] * 2, place, "degree", "direction_of_sea_water_velocity")
    d.close()


def convert(variable):
    """Units and senses of this project."""
    v, unit, name = variable.values.astype("f8"), variable.attrs.get("units", ""), variable.attrs.get("standard_name", "")
    if unit in ("radian", "rad"):
        v = np.degrees(v)
    if name.endswith("to_direction"):
        v = (v + 180) % 360
    if unit in ("s-1", "Hz"):
        v = 1 / v
    return v * {"cm": 0.01, "knots": 1852 / 3600}.get(unit, 1.0)


def table(out, data):
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["file", "variable", "time", "member", "lat", "lon", "value"])
    for file in ("cf-classic.nc", "ww3.nc", "ensemble.nc", "wind.nc"):
        d = xr.open_dataset(data / file)
        for name, variable in d.data_vars.items():
            if name in ("current", "ucur") or variable.ndim < 3:
                continue
            lat, lon = [next(k for k in variable.dims if k.startswith(p)) for p in ("lat", "lon")]
            time = next(k for k in variable.dims if "time" in k)
            values = xr.DataArray(convert(variable), dims=variable.dims, coords=variable.coords)
            for v in values.stack(all=variable.dims)[::5]:
                value = "" if np.isnan(v.item()) else f"{v.item():.9g}"
                member = v["number"].item() if "number" in variable.dims else ""
                when = np.datetime_as_string(v[time].values, unit="s") + "Z"
                rows.writerow([file, name, when, member, f"{v[lat].item():g}", f"{v[lon].item():g}", value])


def spectra_table(out, data, others):
    """Integrals by NumPy: trapezoidal over frequency, equal sectors over direction."""
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["file", "lat", "lon", "hs_m", "tm01_s", "tm02_s", "tm10_s", "mean_from_deg", "spread_deg"])
    for path in (data / "spectra.nc", *others):
        d = xr.open_dataset(path)
        if "d2fd" in d:
            e = (10 ** d.d2fd.isel(time=0).transpose("latitude", "longitude", "frequency", "direction")).values
            f, th = 0.03453 * 1.1 ** np.arange(30), (7.5 + 15 * np.arange(24) + 180) % 360
        else:
            e, f, th = d.efth.isel(time=0).values, d.frequency.values, (d.direction.values + 180) % 360
        for i, j in np.ndindex(e.shape[:2]):
            s = e[i, j].astype("f8")
            if np.isnan(s).all():
                continue
            s = np.nan_to_num(s)
            sector = np.radians(360 / th.size)
            line = s.sum(1) * sector
            m = {k: np.trapezoid(line * f**k, f) for k in (-1, 0, 1, 2)}
            east, north = (np.trapezoid((s * g(np.radians(th))).sum(1) * sector, f) for g in (np.sin, np.cos))
            r = np.hypot(east, north) / m[0]
            values = [4 * m[0] ** 0.5, m[0] / m[1], (m[0] / m[2]) ** 0.5, m[-1] / m[0],
                      np.degrees(np.arctan2(east, north)) % 360, np.degrees(np.sqrt(2 * (1 - r)))]
            place = [f"{d.latitude.values[i]:g}", f"{d.longitude.values[j]:g}"]
            rows.writerow([pathlib.Path(path).name, *place, *(f"{v:.8g}" for v in values)])


def wind_table(out, data):
    """The wind of the nearest time (of two as near, the earlier) at the points of the waves, bilinear, by SciPy."""
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["time", "lat", "lon", "eastward_m_s", "northward_m_s"])
    d, waves = xr.open_dataset(data / "wind.nc"), xr.open_dataset(data / "ensemble.nc")
    for when in waves.valid_time.values:
        at = int(np.argmin(np.abs(d.time.values - when)))
        both = [RegularGridInterpolator((d.lat.values, d.lon.values), d[k].values[at].astype("f8"), bounds_error=False)
                for k in ("u10", "v10")]
        for lat in waves.latitude.values:
            for lon in waves.longitude.values:
                place = (float(lat), float((lon + 180) % 360 - 180))
                u, v = (np.ravel(f(place)).item() for f in both)
                values = ["", ""] if np.isnan(u) else [f"{u:.8g}", f"{v:.8g}"]
                rows.writerow([np.datetime_as_string(when, unit="s") + "Z", f"{lat:g}", f"{lon:g}", *values])


def main():
    data = pathlib.Path(sys.argv[1])
    cf_classic(data / "cf-classic.nc"), ww3(data / "ww3.nc"), ensemble(data / "ensemble.nc")
    wind(data / "wind.nc"), spectra(data / "spectra.nc"), stations(data / "stations.nc")
    coast_wind(data / "coast-wind.nc"), odd(data / "odd.nc")
    with open(sys.argv[2], "w") as out:
        table(out, data)
    with open(sys.argv[3], "w") as out:
        spectra_table(out, data, sys.argv[5:])
    with open(sys.argv[4], "w") as out:
        wind_table(out, data)


if __name__ == "__main__":
    main()
