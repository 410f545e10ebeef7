"""Bilinear boat speeds in the example polars, for tests/program/polar_files.rs.

Run from the repository's root: python tests/reference/bilinear_polar.py > tests/reference/bilinear_polar.csv
Made with Python 3, numpy 2.4.6, scipy 1.17.1.
"""

import numpy as np
from scipy.interpolate import RegularGridInterpolator

print("file,tws_kn,twa_deg,speed_kn")
for name in ["sleet-heron-15", "sleet-heron-15-foils-up", "oat-plover-10"]:
    table = np.genfromtxt(f"polars/{name}.csv", delimiter=",", comments="#")
    tws, twa, speed = table[0, 1:], table[1:, 0], table[1:, 1:]
    bilinear = RegularGridInterpolator((twa, tws), speed, method="linear")
    random = np.random.default_rng(15)
    points = [(tws[0], twa[0]), (tws[-1], twa[-1]), (tws[3], twa[4]), (tws[2], 100.5)]
    points += zip(random.uniform(tws[0], tws[-1], 40), random.uniform(twa[0], twa[-1], 40))
    for w, a in points:
        print(f"{name},{w!r},{a!r},{bilinear((a, w)).item()!r}".replace("np.float64(", "").replace(")", ""))
