"""Least time from A to B on a result's polars and on the flat one, by a program that knows the result's files alone.

    python least_time.py RESULT FLAT_POLAR WIND_CSV START FROM_LAT FROM_LON TO_LAT TO_LON

RESULT is a folder with index.geojson and the polars it names; WIND_CSV has valid, lat_deg, lon_deg, tws_kn and
wind_from_deg of a regular grid. Prints as JSON the hours along the great circle from A to B, cut into pieces, and the
hours of the fastest way over a grid of places, each on the flat polar and on the corrected ones.

The search is networkx's Dijkstra. An edge's time depends on when it is sailed: the clock of a place is final once its
edges are looked at, so the weight function keeps the clocks. Needs pandas, numpy and networkx; exit code 3 without.
"""
import csv
import json
import math
import sys
from datetime import datetime
from pathlib import Path

try:
    import networkx
    import numpy
    import pandas
except ImportError as error:
    print("skipped:", error)
    sys.exit(3)

EARTH_NM = 6371.0088 / 1.852
# pieces of an edge, and of the way from A to B
EDGE_PIECE_NM, TRACK_PIECE_NM = 4.0, 0.05


def hours(text):
    return datetime.fromisoformat(text.replace("Z", "+00:00")).timestamp() / 3600


class Polar:
    def __init__(self, path):
        table = pandas.read_csv(path, index_col=0, comment="#")
        self.tws = table.columns.astype(float).to_numpy()
        self.twa = table.index.to_numpy(float)
        self.kn = table.to_numpy(float)
        with open(path, newline="", encoding="utf-8") as file:
            rows = [row for row in csv.reader(file) if row and not row[0].startswith("#")]
        assert [float(cell) for cell in rows[0][1:]] == list(self.tws), path
        assert [[float(cell) for cell in row] for row in rows[1:]] == [[a, *v] for a, v in zip(self.twa, self.kn)]

    def speed(self, tws, twa):
        """Bilinear, knots; none outside the table."""
        twa = twa if self.twa[0] < 0 else abs(twa)
        i, j = numpy.searchsorted(self.twa, twa), numpy.searchsorted(self.tws, tws)
        i, j = max(i, 1), max(j, 1)
        if not (self.twa[0] <= twa <= self.twa[-1] and self.tws[0] <= tws <= self.tws[-1]):
            return None
        a = (twa - self.twa[i - 1]) / (self.twa[i] - self.twa[i - 1])
        b = (tws - self.tws[j - 1]) / (self.tws[j] - self.tws[j - 1])
        low = (1 - b) * self.kn[i - 1, j - 1] + b * self.kn[i - 1, j]
        return (1 - a) * low + a * ((1 - b) * self.kn[i, j - 1] + b * self.kn[i, j])


def within(ring, lat, lon):
    """Even-odd rule on straight lines in longitude and latitude."""
    inside = False
    for (x1, y1, *_), (x2, y2, *_) in zip(ring, ring[1:]):
        if (y1 > lat) != (y2 > lat) and lon < x1 + (lat - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
    return inside


class Corrected:
    def __init__(self, folder):
        features = json.loads((folder / "index.geojson").read_text(encoding="utf-8"))["features"]
        self.regions = []
        for feature in features:
            shape = feature["geometry"]
            parts = shape["coordinates"] if shape["type"] == "MultiPolygon" else [shape["coordinates"]]
            served = [
                (hours(entry["start"]), hours(entry["end"]), Polar(folder / entry["file"]))
                for entry in feature["properties"]["polars"]
                if "member" not in entry
            ]
            self.regions.append((parts, served))

    def at(self, lat, lon, hour):
        """The polar that serves; longitudes in the index lie within -180 to 180."""
        lon = (lon + 180) % 360 - 180
        for parts, served in self.regions:
            if any(within(p[0], lat, lon) and not any(within(hole, lat, lon) for hole in p[1:]) for p in parts):
                for start, end, polar in served:
                    if start <= hour < end:
                        return polar
        return None


class Wind:
    def __init__(self, path):
        table = pandas.read_csv(path)
        table["lon_deg"] %= 360
        rad = numpy.radians(table["wind_from_deg"])
        table["u"], table["v"] = -table["tws_kn"] * numpy.sin(rad), -table["tws_kn"] * numpy.cos(rad)
        self.times = sorted(table["valid"].unique(), key=hours)
        self.hours = [hours(time) for time in self.times]
        square = [table[table["valid"] == time].pivot(index="lat_deg", columns="lon_deg") for time in self.times]
        self.lat, self.lon = square[0]["u"].index.to_numpy(), square[0]["u"].columns.to_numpy()
        self.uv = [(s["u"].to_numpy(), s["v"].to_numpy()) for s in square]

    def at(self, lat, lon, hour):
        """Speed and direction it comes from: nearest time, the earlier of two, bilinear as a vector."""
        apart, time = min((abs(hour - known), n) for n, known in enumerate(self.hours))
        if apart > 3:
            return None
        lon %= 360
        i, j = max(numpy.searchsorted(self.lat, lat), 1), max(numpy.searchsorted(self.lon, lon), 1)
        if i >= len(self.lat) or j >= len(self.lon):
            return None
        a = (lat - self.lat[i - 1]) / (self.lat[i] - self.lat[i - 1])
        b = (lon - self.lon[j - 1]) / (self.lon[j] - self.lon[j - 1])
        weights = ((1 - a) * (1 - b), (1 - a) * b, a * (1 - b), a * b)
        corners = ((i - 1, j - 1), (i - 1, j), (i, j - 1), (i, j))
        u, v = (sum(w * field[c] for w, c in zip(weights, corners)) for field in self.uv[time])
        return math.hypot(u, v), math.degrees(math.atan2(-u, -v)) % 360


def vector(lat, lon):
    lat, lon = math.radians(lat), math.radians(lon)
    return numpy.array([math.cos(lat) * math.cos(lon), math.cos(lat) * math.sin(lon), math.sin(lat)])


def pieces(a, b, piece_nm):
    """Middle, course and length in nm of equal pieces of the great circle from a to b."""
    p, q = vector(*a), vector(*b)
    angle = math.atan2(numpy.linalg.norm(numpy.cross(p, q)), p @ q)
    count = max(1, math.ceil(angle * EARTH_NM / piece_nm))
    for piece in range(count):
        part = (piece + 0.5) / count
        place = (math.sin((1 - part) * angle) * p + math.sin(part * angle) * q) / math.sin(angle)
        lat, lon = math.asin(place[2]), math.atan2(place[1], place[0])
        north = numpy.array([-math.sin(lat) * math.cos(lon), -math.sin(lat) * math.sin(lon), math.cos(lat)])
        east = numpy.array([-math.sin(lon), math.cos(lon), 0.0])
        course = math.degrees(math.atan2(q @ east, q @ north))
        yield math.degrees(lat), math.degrees(lon), course, angle * EARTH_NM / count


def sail(a, b, hour, polar_at, wind, served, piece_nm=EDGE_PIECE_NM):
    """Hours from a to b, left at an hour; infinite where speed is not known or no corrected polar serves."""
    start = hour
    for lat, lon, course, nm in pieces(a, b, piece_nm):
        blows, polar = wind.at(lat, lon, hour), polar_at(lat, lon, hour)
        if blows is None or polar is None or served(lat, lon, hour) is None:
            return math.inf
        twa = (blows[1] - course + 180) % 360 - 180
        speed = polar.speed(blows[0], twa)
        if not speed:
            return math.inf
        hour += nm / speed
    return hour - start


def fastest(a, b, hour, polar_at, wind, served):
    """Hours from a to b over a grid of half a degree by a degree, with edges to places up to three steps away."""
    places = {(i, j): (a[0] + i / 2, a[1] + j) for i in range(-6, 7) for j in range(-1, 12)}
    goal = min(places, key=lambda n: abs(places[n][0] - b[0]) + abs(places[n][1] - b[1]))
    places[(0, 0)], places[goal] = a, b
    graph = networkx.DiGraph()
    steps = [(i, j) for i in range(-3, 4) for j in range(-3, 4) if math.gcd(i, j) == 1]
    for i, j in places:
        graph.add_edges_from(((i, j), (i + m, j + n)) for m, n in steps if (i + m, j + n) in places)
    clock = {(0, 0): hour}

    def edge(u, v, _):
        takes = sail(places[u], places[v], clock[u], polar_at, wind, served)
        if math.isinf(takes):
            return None
        clock[v] = min(clock.get(v, math.inf), clock[u] + takes)
        return takes

    return networkx.dijkstra_path_length(graph, (0, 0), goal, weight=edge)


def main():
    folder, flat, wind = Path(sys.argv[1]), Polar(sys.argv[2]), Wind(sys.argv[3])
    hour, (lat1, lon1, lat2, lon2) = hours(sys.argv[4]), map(float, sys.argv[5:9])
    a, b = (lat1, lon1 % 360), (lat2, lon2 % 360)
    corrected = Corrected(folder)
    told = {}
    for name, polar_at in [("flat", lambda *_: flat), ("corrected", corrected.at)]:
        told[name] = {
            "along_h": sail(a, b, hour, polar_at, wind, corrected.at, TRACK_PIECE_NM),
            "fastest_h": fastest(a, b, hour, polar_at, wind, corrected.at),
        }
    print(json.dumps(told))


main()
