#!/usr/bin/env python3
"""One small sea in each compression of NetCDF-4 that a reader may lack, and one in 16-bit floats.

    pip install netCDF4==1.7.5.1.post1 h5netcdf numpy
    python tests/reference/make_compressed.py tests/data

Four rows and columns: waves of 2 m and 8 s and 10 m/s of wind, all from 270 degrees.
"""
import pathlib
import sys

import h5netcdf
import netCDF4
import numpy as np

WAVE = "sea_surface_wave_"
FIELDS = [("hs", WAVE + "significant_height", "m", 2), ("dir", WAVE + "from_direction", "degree", 270),
          ("tp", WAVE + "period_at_variance_spectral_density_maximum", "s", 8),
          ("ws", "wind_speed", "m s-1", 10), ("wd", "wind_from_direction", "degree", 270)]


def main():
    for name in ("zstd", "bzip2", "szip"):
        d = netCDF4.Dataset(pathlib.Path(sys.argv[1]) / f"compressed-{name}.nc", "w")
        for dim, size in (("time", 1), ("lat", 4), ("lon", 4)):
            d.createDimension(dim, size)
        for axis, unit in (("time", "hours since 2024-01-15"), ("lat", "degrees_north"), ("lon", "degrees_east")):
            v = d.createVariable(axis, "f8", (axis,))
            v.units, v[:] = unit, np.arange(v.size)
        for field, standard, unit, value in FIELDS:
            v = d.createVariable(field, "f4", ("time", "lat", "lon"), compression=name, chunksizes=(1, 4, 4))
            v.units, v.standard_name, v[:] = unit, standard, value
        d.close()
    half_floats(pathlib.Path(sys.argv[1]) / "half-floats.nc")


def half_floats(path):
    """What NetCDF has not, but HDF5 has."""
    d = h5netcdf.File(path, "w", invalid_netcdf=True)
    d.dimensions = {"lat": 4}
    v = d.create_variable("hs", ("lat",), "f2")
    v[:] = np.full(4, 2.0, "f2")
    d.close()


if __name__ == "__main__":
    main()
