"""Areas of regions on the sphere, for tests/physics/region_areas.rs, by adaptive quadrature of another program.

Run: python tests/reference/region_areas.py
Made with Python 3, numpy 2.4.6, scipy 1.17.1, shapely 2.2.0, pyproj 3.7.2.

Edges are straight in longitude and latitude. Area = R^2 * integral over longitude of the summed sine of latitude of
the crossings of a meridian with the polygon (shapely), integrated between vertices by scipy.integrate.quad. pyproj's
geodesic area on the sphere, with edges cut into short pieces, checks it.
"""

import numpy as np
from pyproj import Geod
from scipy.integrate import quad
from shapely.geometry import LineString, Polygon, box

R = 6_371_008.8
RINGS = {
    "concave": [(-12, 43), (-2, 44), (-5, 46), (-1, 49), (-9, 51), (-7, 46.5)],
    "southern": [(10, -60), (55, -52), (70, -38), (33, -44), (12, -40)],
}


def area(polygon):
    def chord(lon):
        cut = polygon.intersection(LineString([(lon, -91), (lon, 91)]))
        parts = getattr(cut, "geoms", [cut])
        lats = [sorted(y for _, y in part.coords) for part in parts if len(part.coords) > 1]
        return sum(np.sin(np.radians(b)) - np.sin(np.radians(a)) for a, b in lats)

    rings = [part.exterior for part in getattr(polygon, "geoms", [polygon])]
    lons = sorted({x for ring in rings for x, _ in ring.coords})
    return R * R * np.radians(sum(quad(chord, a, b, epsabs=0, epsrel=1e-13)[0] for a, b in zip(lons, lons[1:])))


def geodesic(polygon):
    lon, lat = np.array(polygon.segmentize(0.002).exterior.coords).T
    return abs(Geod(a=R, b=R).polygon_area_perimeter(lon, lat)[0])


for name, ring in RINGS.items():
    polygon = Polygon(ring)
    print(name, repr(float(area(polygon))), "geodesic", repr(geodesic(polygon)))

concave = Polygon(RINGS["concave"])
for west, south in [(-8, 46), (-6, 45), (-4, 47)]:
    part = concave.intersection(box(west, south, west + 1, south + 1))
    print("cell", west, south, repr(float(area(part))) if not part.is_empty else 0.0)
