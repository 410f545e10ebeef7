"""`passage` and `lookup`: what a result says of a track, a place and a time."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from typing import Literal, TypedDict

from . import _native
from ._native import Table
from ._paths import StrPath, path


@dataclass(frozen=True)
class Passage:
    """What `passage` gives. Times are UTC; lengths in nautical miles, speeds in kn, times taken in hours.

    legs         a row for each departure and leg, with the columns of the command's CSV: on the flat polar and on the corrected
                 ones; `flat_nm` and `corrected_nm` tell what was sailed where a leg was not finished
    departures   a row a departure: `start`, `distance_nm`, then what is sailed of it on either (`flat_nm`, `flat_h`,
                 `flat_arrival`, `corrected_nm`, and so on; no arrival where she stops), `cost_h` (how much later she arrives),
                 `same_wind_cost_h` (what the sea takes in the winds that she meets)
    gaps         declared gaps: what was sailed without a corrected polar, and where she stops (the command's exit code 3)
    """

    legs: Table
    departures: Table
    gaps: list[str]


class _Polar(TypedDict):
    file: str
    """The polar's file."""
    region: str
    """The region."""
    start: str
    """Start of its window, UTC."""
    end: str
    """End of its window, UTC, which it does not hold."""
    tacks: str
    """The tacks in the file."""
    covered: float | None
    """Share of the region's sea that the forecast covers; None where the audit does not say."""


class ServedPolar(_Polar, total=False):
    """A polar that serves a place and a time. What follows `covered` is there where a wind is given."""

    speed_kn: float
    """Its speed in the wind, kn."""
    flat_kn: float | None
    """Speed in flat water, kn; None where the audit does not tell."""


class _Lookup(TypedDict):
    polars: list[ServedPolar]
    """One polar, or several where regions overlap or meet."""


class Lookup(_Lookup, total=False):
    """What serves a place and a time."""

    why_none: str
    """Why nothing does."""


def passage(
    job_or_result: StrPath,
    *,
    track: StrPath,
    start: datetime,
    start_every: timedelta | None = None,
    starts: int | None = None,
    legs: Literal["geodesic", "great-circle", "rhumb"] = "geodesic",
    by_tack: bool = False,
    member: int | None = None,
    polar: StrPath | None = None,
    forecast: StrPath | Sequence[StrPath] = (),
) -> Passage:
    """Tells the time along a track on the flat and on the corrected polars, and what the sea costs on each leg.

    job_or_result   folder of a result, or the job file it was made from
    track           the one route or track of a GPX file, a GeoJSON LineString, CSV with a position a line, or waypoints such as
                    "52S 168E; 53S 175E"
    start           start (UTC where the time has no zone)
    start_every     compare departures this far apart, `starts` of them or up to the end of the forecast
    legs            what a leg between two positions is
    by_tack         let the tacks differ: take both from the result's audit instead of the polars the index names
    member          member of an ensemble whose wind is met
    polar           flat polar, and forecast, its files, where they are not found as the result or job names them; the same files

    Raises RoughwaterError with the words of the command.
    """
    several = [forecast] if isinstance(forecast, str) or not isinstance(forecast, Sequence) else forecast
    tables = _native.passage(
        path(job_or_result),
        path(track),
        _text(start),
        None if start_every is None else start_every.total_seconds(),
        starts,
        legs,
        by_tack,
        member,
        None if polar is None else path(polar),
        [path(one) for one in several],
    )
    return Passage(*tables)


def lookup(
    result: StrPath,
    lat_deg: float,
    lon_deg: float,
    time: datetime,
    *,
    tws_kn: float | None = None,
    twa_deg: float | None = None,
) -> Lookup:
    """Says which corrected polar of a result serves a place and a time; any sea is asked of an `Atlas`.

    result            folder of a result
    lat_deg, lon_deg  the place, degrees, north and east positive; longitudes from -180 to 180 or from 0 to 360
    time              the time (UTC where it has no zone)
    tws_kn, twa_deg   true wind speed, kn, and angle, degrees, positive on starboard tack: tells speeds in this wind too

    Raises RoughwaterError with the words of the command.
    """
    told: Lookup = json.loads(_native.lookup(path(result), lat_deg, lon_deg, _text(time), tws_kn, twa_deg))
    return told


def _text(time: datetime) -> str:
    """With its offset."""
    return (time.replace(tzinfo=timezone.utc) if time.tzinfo is None else time).isoformat()
