"""Check values of the overtopping integral (src/hydro/deck_water.rs): int_f^inf (t-f)^p phi(t) dt, p = 1.5 and 0.5.

Printed beside its closed form Gamma(p+1)/sqrt(2 pi) exp(-f^2/4) D_{-p-1}(f), an independent way.

    python tests/reference/overtopping.py        mpmath 1.4.1
"""

from mpmath import exp, gamma, inf, mp, mpf, nstr, pcfd, pi, quad, sqrt

mp.dps = 30
for p in (mpf("1.5"), mpf("0.5")):
    print(f"p = {nstr(p, 2)}")
    for f in map(mpf, ("-40", "-20", "-8", "-2", "-0.5", "0", "0.25", "1", "1.5", "2", "3", "4", "5", "6", "8", "12", "20", "35")):
        knots = [0] + [k for k in sorted((-f - 6, -f - 3, -f, -f + 3, -f + 6, mpf(1) / (1 + abs(f)), 10 / (1 + abs(f)), 30 / (1 + abs(f)), 3)) if k > 0] + [inf]
        integral = quad(lambda v: v ** p * exp(-((v + f) ** 2) / 2), knots) / sqrt(2 * pi)
        closed = gamma(p + 1) / sqrt(2 * pi) * exp(-f * f / 4) * pcfd(-p - 1, f)
        print(f"({nstr(f, 4)}, {nstr(integral, 15)}),  // closed form / quadrature - 1 = {nstr(closed / integral - 1, 3)}")
