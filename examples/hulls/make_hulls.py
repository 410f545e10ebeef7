"""Writes wigley-iii.csv and round-transom.csv from their formulas. Run in this folder: python make_hulls.py"""
import math


def write(name, comment, x_of, section, stations, points):
    with open(name, "w", newline="\n") as out:
        out.write(f"# {comment}\nx_m,z_m,y_m\n")
        for i in range(stations):
            x = x_of(i / (stations - 1))
            draught, y_of = section(x)
            if draught == 0:
                out.write(f"{x:.5f},0,{y_of(0):.5f}\n")
                continue
            for j in range(points):
                depth = math.cos(0.5 * math.pi * j / (points - 1)) if j < points - 1 else 0.0
                out.write(f"{x:.5f},{-draught * depth:.6g},{y_of(depth):.6g}\n")


def cosine(length):
    return lambda t: 0.5 * length * (1 - math.cos(math.pi * t))


def wigley_iii(x):
    s = (2 * x / 3 - 1) ** 2
    return 0.1875, lambda d: max(0.0, 0.15 * (1 - d * d) * (1 - s) * (1 + 0.2 * s))


def round_transom(x):
    u = x / 12
    aft, fore = max(0.0, (0.45 - u) / 0.45), max(0.0, (u - 0.45) / 0.55)
    beam = 1.75 * (1 - 0.25 * aft**2) * max(0.0, 1 - fore**2.3)
    draught = 0.48 * (1 - 0.8 * aft**2) * max(0.0, 1 - fore**2) ** 0.7
    return draught, lambda d: beam * max(0.0, 1 - d**1.8) ** 0.7


write("wigley-iii.csv", "Wigley hull III, analytic (see README.md)", cosine(3.0), wigley_iii, 41, 25)
write("round-transom.csv", "An invented boat, analytic (see README.md)", cosine(12.0), round_transom, 41, 21)
