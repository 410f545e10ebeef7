"""Values of the exponential integral E1(z) off the real axis, for src/maths/expint.rs.

Command: python tests/reference/exp1.py        (scipy 1.17.1, mpmath 1.4.1 as a second opinion)
scipy loses digits near the negative real axis, so values are mpmath's at 40 digits; the script stops
where scipy.special.exp1 differs by more than 1e-9 of the value.
"""
import cmath
import math

import mpmath
import scipy.special

mpmath.mp.dps = 40
for r in (0.01, 0.5, 2.0, 3.9, 4.1, 10.0, 38.0, 42.0, 150.0):
    for deg in (0.0, -60.0, -90.0, -120.0, -150.0, -155.0, -179.0, -179.999):
        z = cmath.rect(r, math.radians(deg))
        scaled = mpmath.e1(mpmath.mpc(z)) * mpmath.exp(mpmath.mpc(z))
        scipy_value = scipy.special.exp1(z) * cmath.exp(z)
        assert abs(complex(scaled) - scipy_value) < 1e-9 * abs(scipy_value), (z, scaled, scipy_value)
        s = complex(scaled)
        print(f"    ({z.real!r}, {z.imag!r}, {s.real!r}, {s.imag!r}),")
