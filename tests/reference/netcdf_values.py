#!/usr/bin/env python3
"""Expected values of NetCDF files, as xarray decodes them: one CSV row a variable and time.

    pip install netCDF4==1.7.5.1.post1 xarray==2026.9.0 numpy==2.4.6
    python tests/reference/netcdf_values.py FILE... > tests/reference/real_netcdf.csv

Columns: file, variable, time, count of points, missing, min, max, sum, then three points as lat:lon:value (`-` where
missing). Scale, offset, fill values and times are decoded; units and senses are the file's own.
"""
import os
import sys

import numpy as np
import xarray as xr

print("file,variable,time,points,missing,min,max,sum,p1,p2,p3")
for path in sys.argv[1:]:
    d = xr.open_dataset(path, mask_and_scale=True)
    for name, variable in d.data_vars.items():
        if variable.ndim != 3:
            continue
        time, lat, lon = variable.dims
        for field in variable:
            v = field.values.astype("f8")
            there = v[~np.isnan(v)]
            points = []
            for k in np.linspace(0, v.size - 1, 5).astype(int)[1:-1]:
                i, j = np.unravel_index(k, v.shape)
                value = "-" if np.isnan(v[i, j]) else f"{v[i, j]:.9g}"
                points.append(f"{d[lat].values[i]:.6f}:{d[lon].values[j]:.6f}:{value}")
            when = np.datetime_as_string(field[time].values, unit="s") + "Z"
            print(os.path.basename(path), name, when, v.size, v.size - there.size, f"{there.min():.9g}",
                  f"{there.max():.9g}", f"{there.sum():.12g}", *points, sep=",")
