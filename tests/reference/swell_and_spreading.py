"""Check values of the swell's spectrum and the wind sea's spreading (src/hydro/spectrum.rs, spreading.rs).

Ochi & Hubble's one system with wp = 1, Hs = 1: variance and periods by quadrature of the density, energy above 1.6 and 2
times the peak frequency. Means of cos(n theta) over cos^2s(theta/2) by quadrature of the density. Modified Bessel functions
and the share of a wave that a draught reflects.

    python tests/reference/swell_and_spreading.py        numpy 2.4, scipy 1.17.1
"""

import numpy as np
from scipy.integrate import quad
from scipy.special import gamma, i1, k1


def density(x, L):
    a = (4 * L + 1) / 4
    return 0.25 * a**L / gamma(L) * x ** -(4 * L + 1) * np.exp(-a * x**-4)


def moment(L, order, least=0.2):
    knots = [least, 0.6, 0.8, 1, 1.3, 1.6, 2, 4, 10]
    knots = [x for x in knots if x >= least]
    f = lambda x: x**order * density(x, L)
    return sum(quad(f, a, b, epsabs=1e-14, epsrel=1e-12)[0] for a, b in zip(knots, knots[1:])) + quad(f, 10, np.inf)[0]


for L in (1, 1.5, 2.29, 3):
    m = [moment(L, k) for k in (-1, 0, 1, 2)]
    print(f"L {L}: m0 {m[1]:.12f} Tm01/Tp {m[1] / m[2]:.10f} Tm02/Tp {(m[1] / m[3]) ** 0.5:.10f} Tm-10/Tp {m[0] / m[1]:.10f}", end=" ")
    print("above 1.6, 2 wp:", *[f"{moment(L, 0, x) / m[1]:.6f}" for x in (1.6, 2)])

for s in (0.1, 0.5, 2.5, 10):
    weigh = lambda n: quad(lambda t: np.cos(t / 2) ** (2 * s) * np.cos(n * t), 0, np.pi, limit=500, epsabs=1e-13)[0]
    print("s", s, *[f"{weigh(n) / weigh(0):.10f}" for n in (1, 2, 3, 5, 10, 18)])

for z in (0.05, 0.3, 1, 2, 5, 10):
    share = 1 / (1 + (k1(z) / (np.pi * i1(z))) ** 2)
    print(f"z {z}: I1 {i1(z):.15g} K1 {k1(z):.15g} share {share:.12g}")
