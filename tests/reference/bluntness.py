"""Bluntness B_f of the two invented boats' design waterlines (src/hydro/added_resistance/short_waves.rs).

The waterline as `src/hull/parametric.rs` draws it, but smooth: half-breadth over the greatest is t + (1 - t) (1 - r^2) aft of
the greatest beam and (1 - s^2)^(1/(1 + fullness)) forward of it. Written with angles, as the formula is published:
B_f = 1/B {int sin^2(a + b) sin b dl + int sin^2(a - b) sin b dl} over the sides that waves reach.

    python tests/reference/bluntness.py        numpy 2.4
"""

import numpy as np

PEAK = 0.5 - 0.5 * np.cos(np.pi * 18 / 40)


def half(u, transom, fullness):
    aft = transom + (1 - transom) * (1 - ((PEAK - u) / PEAK) ** 2)
    fore = np.clip(1 - ((u - PEAK) / (1 - PEAK)) ** 2, 0, None) ** (1 / (1 + fullness))
    return np.where(u < PEAK, aft, fore)


def bluntness(a_deg, length, beam, transom, fullness, count=200_001):
    u = 0.5 - 0.5 * np.cos(np.linspace(0, np.pi, count))
    x, y = u * length, half(u, transom, fullness) * beam / 2
    dl, b = np.hypot(np.diff(x), np.diff(y)), np.arctan2(-np.diff(y), np.diff(x))
    a = np.radians(a_deg)
    sides = [np.where(np.sin(b + sign * a) > 0, np.sin(b + sign * a) ** 2, 0) * np.sin(b) * dl for sign in (1, -1)]
    return (sides[0].sum() + sides[1].sum()) / beam


for name, hull in (("foiler", (15.0, 3.3, 0.7, 0.25)), ("cruiser", (8.9, 2.9, 0.55, 0.4))):
    print(name, *[f"{off}: {bluntness(off, *hull):.4f}" for off in (0, 30, 60, 90)])
