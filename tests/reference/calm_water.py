"""Expected values for the tests of calm_water, sail, foil and unsteady_lift, from scipy alone.

Made with Python 3, numpy 2.4.6, scipy 1.17.1:  python tests/reference/calm_water.py
"""

import numpy as np
from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq, minimize_scalar
from scipy.special import hankel2, jv
from scipy.stats import norm

G, RHO, NU, RHO_AIR = 9.80665, 1025.0, 1.1892e-6, 1.225


def monotone_cubic():
    xs = [0.0, 0.15, 0.2, 0.4, 0.45, 1.0]
    ys = [0.0, 0.061, 0.385, 19.134, 12.0, 14.5]
    curve = PchipInterpolator(xs, ys)
    print("monotone cubic", [repr(float(curve(x))) for x in (0.05, 0.16, 0.33, 0.41, 0.6, 0.99)])


def savitsky(beam, deadrise, lcg, vcg, weight, speed):
    cv = speed / np.sqrt(G * beam)
    lift = weight / (0.5 * RHO * speed**2 * beam**2)
    flat = brentq(lambda c: c - 0.0065 * deadrise * c**0.6 - lift, lift, 5, xtol=1e-14)

    def state(trim):
        lam = brentq(
            lambda l: trim**1.1 * (0.0120 * np.sqrt(l) + 0.0055 * l**2.5 / cv**2) - flat, 1e-8, 1e3, xtol=1e-13
        )
        c_f = 0.075 / (np.log10(speed * lam * beam / NU) - 2) ** 2
        friction = 0.5 * RHO * speed**2 * lam * beam**2 / np.cos(np.radians(deadrise)) * c_f
        centre = lam * beam * (0.75 - 1 / (5.21 * cv**2 / lam**2 + 2.39))
        return lam, friction, centre

    def moment(trim):
        _, friction, centre = state(trim)
        arm = vcg - beam / 4 * np.tan(np.radians(deadrise))
        return weight * (lcg - centre) / np.cos(np.radians(trim)) + friction * arm

    trim = brentq(moment, 0.3, 25, xtol=1e-12)
    lam, friction, _ = state(trim)
    t = np.radians(trim)
    print("savitsky", repr(trim), repr(lam), repr(float(weight * np.tan(t) + friction / np.cos(t))))


AWA = [0, 10, 27, 50, 80, 100, 180]
MAIN = ([0, 1, 1.5, 1.5, 0.95, 0.85, 0], [0.02, 0.02, 0.02, 0.15, 0.8, 1.0, 0.9])
JIB = ([0, 1, 1.5, 0.5, 0.3, 0, 0], [0.02, 0.02, 0.02, 0.25, 0.15, 0, 0])
SPINNAKER = ([0, 0, 0, 1.5, 1.0, 0.85, 0], [0, 0, 0, 0.25, 0.9, 1.2, 0.66])


def at(sail, awa):
    return [PchipInterpolator(AWA, c)(np.degrees(awa)) for c in sail]


def sail_set(sails, aspect, limit, tws, twa, speed):
    """Best drive under a side-force limit, by brute force over flattening and reefing."""
    ahead, across = tws * np.cos(twa) + speed, tws * np.sin(twa)
    aws, awa = np.hypot(ahead, across), np.arctan2(across, ahead)
    q = 0.5 * RHO_AIR * aws**2
    area = sum(a for a, _ in sails)
    lift = sum(a * at(s, awa)[0] for a, s in sails)
    drag = sum(a * at(s, awa)[1] for a, s in sails)
    induced = lift**2 / area * (1 / (np.pi * aspect) + 0.005)

    def forces(f):
        l, d = f * lift, drag + f * f * induced
        return q * (l * np.sin(awa) - d * np.cos(awa)), q * (l * np.cos(awa) + d * np.sin(awa))

    drive, side = forces(1.0)
    if side <= limit:
        return drive, side

    def reefed(f):
        drive, side = forces(f)
        return drive * min(1.0, limit / side) if side > 0 else drive

    grid = np.linspace(0.01, 1, 2000)
    best = grid[np.argmax([reefed(f) for f in grid])]
    found = minimize_scalar(
        lambda f: -reefed(f), bounds=(max(0.01, best - 1e-3), min(1, best + 1e-3)), method="bounded",
        options={"xatol": 1e-10},
    )
    return max(-found.fun, reefed(1.0)), limit


def sails():
    kn, deg = 1852 / 3600, np.pi / 180
    for name, sails_, limit in [
        ("full main 160 jib 120", [(160, MAIN), (120, JIB)], np.inf),
        ("limit 14 kN main 120 jib 80", [(120, MAIN), (80, JIB)], 14e3),
    ]:
        for tws, twa, v in [(20, 45, 9.5), (20, 60, 12.5), (20, 90, 18), (12, 45, 8), (20, 120, 10), (20, 150, 10)]:
            d, s = sail_set(sails_, 4, limit, tws * kn, twa * deg, v * kn)
            h = 0.01
            up = sail_set(sails_, 4, limit, tws * kn, twa * deg, (v + h) * kn)[0]
            down = sail_set(sails_, 4, limit, tws * kn, twa * deg, (v - h) * kn)[0]
            slope = (np.log(up) - np.log(down)) / (np.log(v + h) - np.log(v - h))
            print(f"{name}: TWS {tws} TWA {twa} V {v}: drive {d:.4f} side {s:.4f} slope {slope:+.4f}")
    d, s = sail_set([(160, MAIN), (250, SPINNAKER)], 4, np.inf, 20 * kn, 120 * deg, 10 * kn)
    print(f"main 160 spinnaker 250: TWS 20 TWA 120 V 10: drive {d:.4f} side {s:.4f}")


def stalled_lift():
    for mean, sd, stall, low in [(4, 2, 12, None), (4, 4, 12, None), (6, 6, 10, None), (3, 5, 12, -10)]:
        for name, after in [("plateau", 1.0), ("drop to 60 %", 0.6)]:
            def lift(angle):
                if angle > stall:
                    return after * stall
                return after * low if low is not None and angle < low else angle

            points = [stall] if low is None else [low, stall]
            value = quad(lambda x: lift(x) * norm.pdf(x, mean, sd), mean - 12 * sd, mean + 12 * sd, points=points, limit=500)[0]
            print(f"mean lift {name} m {mean} s {sd} A {stall} A' {low}: {value / mean!r}")


def unsteady():
    for k in (0.05, 0.1, 0.2, 0.5, 1.0, 2.0):
        h1, h0 = hankel2(1, k), hankel2(0, k)
        c = h1 / (h1 + 1j * h0)
        s = (jv(0, k) - 1j * jv(1, k)) * c + 1j * jv(1, k)
        print(f"k {k}: C {c:.10f} S {s:.10f} |S| {abs(s):.10f}")


monotone_cubic()
savitsky(2.9, 12.0, 4.2, 0.7, 60_000.0, 11.0)
sails()
stalled_lift()
unsteady()
