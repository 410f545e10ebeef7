"""Constants and check values of the JONSWAP spectrum (src/hydro/spectrum.rs).

With x = w/wp the JONSWAP shape is p(x) gamma**e(x), p(x) = 5 x^-5 exp(-1.25 x^-4), e(x) a Gaussian, and
gamma**e = sum (ln gamma)^n e^n / n!. The moments of order -1, 0, 1, 2 are so power series in ln gamma with
the coefficients int x^k p e^n dx / n!, printed here as Rust rows, one row a power n.

    python tests/reference/jonswap_moments.py        mpmath 1.4.1
"""

from mpmath import exp, factorial, inf, log, mp, mpf, nstr, quad

mp.dps = 30
ORDERS = (-1, 0, 1, 2)


def bump(x):
    sigma = mpf("0.07") if x <= 1 else mpf("0.09")
    return exp(-((x - 1) ** 2) / (2 * sigma**2))


def shape(x):
    return 5 * x**-5 * exp(mpf("-1.25") * x**-4) if x > 0 else mpf(0)


def coefficient(order, n):
    f = lambda x: x**order * shape(x) * bump(x) ** n
    knots = [0, 0.5, 0.8, 0.9, 0.95, 1, 1.05, 1.1, 1.3, 2, 4, inf] if n == 0 else [0.3, 0.7, 0.85, 0.93, 1, 1.05, 1.1, 1.2, 1.5, 2.5]
    return quad(f, knots) / factorial(n)


def direct(order, gamma):
    f = lambda x: x**order * shape(x) * mpf(gamma) ** bump(x)
    return quad(f, [0.3, 0.5, 0.7, 0.85, 0.93, 1, 1.05, 1.1, 1.2, 1.5, 2.5, 4, 10, 100, inf])


for n in range(20):
    print("    [" + ", ".join(nstr(coefficient(k, n), 16, min_fixed=-2, max_fixed=2) for k in ORDERS) + "],")
for gamma in (1, 2, 3.3, 5, 7, 10):
    m = [direct(k, gamma) for k in ORDERS]
    print(f"gamma {gamma}: m-1..m2", *[nstr(v, 13) for v in m], end=" | ")
    print("Tm01/Tp", nstr(m[1] / m[2], 12), "Tm02/Tp", nstr((m[1] / m[3]) ** 0.5, 12), "Tm-10/Tp", nstr(m[0] / m[1], 12), end=" | ")
    print("Hm0/Hs with the DNV factor", nstr((m[1] * (1 - mpf("0.287") * log(gamma))) ** 0.5, 10))
