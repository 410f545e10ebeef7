"""A program that uses the package, for the type checker: `mypy --strict`."""

from datetime import datetime
from pathlib import Path

import roughwater as rw


def fastest(result: rw.Derated) -> float:
    speeds: list[float] = result.polars.column("speed_kn")
    return max(speeds)


def upwind(result: rw.Derated, region: str, time: datetime) -> float | None:
    polar: rw.Polar = result.polar(region, time)
    return polar.speed(14.0, polar.twa_deg[0])


def slammed(boat: Path) -> float:
    sea = rw.response(boat, speed_kn=10.0, hs_m=2.0, tp_s=6.5)
    wave = rw.response(boat, froude=0.3, regular=True, period_s=1.5)
    return sea["slam_probability"] + wave["heave_m_per_m"]


def rides(boat: str, polar: str) -> float:
    simulation = rw.simulate(boat, polar=polar, tws_kn=20.0, twa_deg=-150.0, hs_m=2.0, tp_s=7.0, seeds=1)
    return simulation.figures["riding_share"]


def later(job: str, start: datetime) -> float | None:
    passage: rw.Passage = rw.passage(job, track="52S 168E; 53S 175E", start=start)
    costs: list[float | None] = passage.departures.column("cost_h")
    return costs[0]


def today(boat: str, polar: str) -> float:
    made = rw.atlas(boat, polar=polar, finest="coarse")
    told: rw.AtlasSpeed = made.atlas.speed(18.0, 110.0, swell=[(3.0, 11.0, 60.0)], fetch_nm=200.0)
    sea: list[rw.MetSystem] = told["sea"]
    return told["corrected_kn"] + sea[0]["hs_m"]


def serving(result: str, time: datetime) -> list[str]:
    found = rw.lookup(result, -52.0, 179.5, time)
    return [polar["file"] for polar in found["polars"]]


def run(job: str) -> int:
    try:
        result = rw.derate(job, tacks="signed", without_foil=["port"], output=None)
    except rw.RoughwaterError as error:
        remedy: str | None = error.remedy
        print(error, remedy)
        return 1
    output: Path | None = result.output
    print(output, fastest(result))
    return len(rw.compare("a.toml", "b.toml", polar="polar.csv", hs_m=2.0, tp_s=7.0))
