"""`derate`: corrected polars for every region and window of a forecast."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any, Final, Literal

from . import _native
from ._errors import RoughwaterError
from ._native import Polar, Table
from ._paths import Forecast, StrPath, forecast_paths, path, several


class _OfTheJob:
    """Stands for what the job says."""

    def __repr__(self) -> str:
        return "<as the job says>"


_OF_THE_JOB: Final = _OfTheJob()


@dataclass(frozen=True)
class _Served:
    region: str
    start: datetime
    end: datetime
    member: int | None
    polar: Polar


@dataclass(frozen=True)
class Derated:
    """What `derate` gives. Tables are Arrow tables; times are UTC.

    polars     every cell of every corrected polar: `region`, `window_start`, `window_end` (the window is half-open), `tacks`,
               `member` (null but for the polars of single ensemble members), `twa_deg`, `tws_kn` (kn), `speed_kn` (kn, through
               the water, before it is rounded to the two decimals of the file)
    audit      every cell and tack, with the columns and numbers of `audit.csv`
    manifest   inputs with SHA-256, every option in force, counts, warnings, gaps, as in `manifest.json`
    index      regions with their windows and polar files, as in `index.geojson`
    warnings   things to know
    gaps       declared gaps: what the result lacks (the command's exit code 3)
    output     the result's folder; None where none was written
    """

    polars: Table
    audit: Table
    manifest: dict[str, Any]
    index: dict[str, Any]
    warnings: list[str]
    gaps: list[str]
    output: Path | None
    _served: list[_Served] = field(repr=False)

    def polar(self, region: str, time: datetime, *, member: int | None = None) -> Polar:
        """The corrected polar that serves a region at a time (UTC where the time has no zone).

        Raises RoughwaterError where none does.
        """
        at = time.replace(tzinfo=timezone.utc) if time.tzinfo is None else time
        own = [one for one in self._served if one.region == region and one.member == member]
        for one in own:
            if one.start <= at < one.end:
                return one.polar
        told = {
            "problem": "no corrected polar serves there and then",
            "found": f"region {region!r} at {at.isoformat()}",
            "expected": "; ".join(f"{one.region}: {one.start.isoformat()} to {one.end.isoformat()}" for one in own)
            or "one of the regions " + ", ".join(sorted({one.region for one in self._served})),
        }
        text = f"{told['problem']}\n  found     {told['found']}\n  expected  {told['expected']}"
        raise RoughwaterError(text, **told)


def derate(
    job: StrPath | None = None,
    *,
    boat: StrPath | None = None,
    polar: StrPath | None = None,
    forecast: Forecast | Iterable[Forecast] | None = None,
    regions: StrPath | None = None,
    box: Sequence[float] | Sequence[Sequence[float]] | None = None,
    tiles: tuple[float, float] | None = None,
    corridor: StrPath | None = None,
    half_width_nmi: float = 60.0,
    leg_nmi: float = 300.0,
    window: str | timedelta | None = None,
    window_alignment: Literal["midnight", "first-step", "epoch"] | None = None,
    tally: StrPath | None = None,
    atlas: StrPath | None = None,
    members: Literal["together", "each"] | None = None,
    match_wind: bool | None = None,
    split: Literal["given", "auto"] | None = None,
    split_error_kn: float | None = None,
    audit_format: Literal["csv", "parquet"] | Sequence[Literal["csv", "parquet"]] | None = None,
    cell_audit: Literal["csv", "parquet", "none"] | Sequence[Literal["csv", "parquet"]] | None = None,
    output: StrPath | None | _OfTheJob = _OF_THE_JOB,
    tacks: Literal["mean", "slower", "starboard", "port", "signed"] | None = None,
    added_resistance: Literal["radiated-energy", "snnm", "table"] | None = None,
    body: Literal["linear", "exact"] | None = None,
    surge: Literal["on", "off"] | None = None,
    surfing_gains: Literal["on", "off"] | None = None,
    own_responses: StrPath | None = None,
    without_foil: Literal["port", "starboard"] | Sequence[Literal["port", "starboard"]] | None = None,
    delimiter: Literal["comma", "semicolon", "tab"] | None = None,
    decimal: Literal["point", "comma"] | None = None,
    corner: str | None = None,
    layout: Literal["matrix", "long"] | None = None,
    line_end: Literal["crlf", "lf"] | None = None,
    smoothing: Literal["none", "binomial"] | None = None,
    strict: bool = False,
) -> Derated:
    """Makes corrected polars for every region and time window of a forecast, with an audit of every cell.

    `job` is a job file, whose paths are relative to it; everything else stands in the place of its key, with paths relative
    to the current folder. Without a job file, `boat`, `polar`, a forecast (or `tally`) and regions are needed.

    boat              boat file
    polar             flat polar
    forecast          files, folders, patterns, or xarray Datasets with CF standard names (significant height in m, periods in
                      s, directions the waves come from in degrees, wind in m s-1; `latitude`, `longitude`, `time`), or several
    regions           GeoJSON of named polygons
    box               south, west, north, east, degrees; or a list of such
    tiles             height and width of tiles over the forecast's extent, degrees
    corridor          track; with half_width_nmi and leg_nmi, nautical miles
    window            length of the time windows: a timedelta, or text such as "6h", "1d", "month" (the calendar's), "all"
    window_alignment  where windows begin: at multiples of their length from midnight of the first step's day, at the first step,
                      or at multiples since 1970-01-01, so that windows of days agree between files
    tally             tally in place of forecast, regions and window
    atlas             folder of an atlas of this boat and polar, which answers for the seas it holds: sooner done, less exact
    members           "each": polars of each ensemble member besides
    match_wind        whether each wind column sees only seas that come with winds like its own
    split             "auto": neighbouring regions and hours that are alike are joined, within split_error_kn, kn
    audit_format      "parquet": the audit as Parquet too
    cell_audit        how each forecast cell is accounted for
    output            folder of the result. Left out, the job's, if it has one; None: nothing is written
    tacks             which tacks the polars hold
    added_resistance  method of added resistance; "table" needs own_responses (CSV)
    body              "exact": what large waves change of mean forces, from simulating all of her hull once a boat (minutes)
    surge             whether the swing of her speed in the waves is counted; surfing_gains: whether it may make her faster
    without_foil      foils that she sails without
    delimiter, decimal, corner, layout, line_end, smoothing   how polar files are written
    strict            fail where the result would have gaps

    The result is whole or not at all: an error or Ctrl-C leaves an earlier result as it was. Other threads run meanwhile.

    Raises RoughwaterError with the words of the command.
    """
    with tempfile.TemporaryDirectory(prefix="roughwater-") as folder:
        aside = Path(folder)
        nowhere = str(aside / "result")
        keys: dict[str, Any] = {
            "boat": None if boat is None else path(boat),
            "polar": None if polar is None else path(polar),
            "forecast": None if forecast is None else forecast_paths(forecast, aside),
            "regions": None if regions is None else path(regions),
            "box": None if box is None else [list(one) if isinstance(one, Sequence) else one for one in box],
            "tiles": None if tiles is None else dict(zip(("lat_deg", "lon_deg"), tiles, strict=True)),
            "corridor": None
            if corridor is None
            else {"track": path(corridor), "half_width_nmi": half_width_nmi, "leg_nmi": leg_nmi},
            "window": f"{window.total_seconds():.0f}s" if isinstance(window, timedelta) else window,
            "window_alignment": window_alignment,
            "tally": None if tally is None else path(tally),
            "atlas": None if atlas is None else path(atlas),
            "members": members,
            "match_wind": match_wind,
            "split": split,
            "split_error_kn": split_error_kn,
            "audit_format": None if audit_format is None else several(audit_format),
            "cell_audit": None if cell_audit is None else several(cell_audit),
            "output": None if isinstance(output, _OfTheJob) else nowhere if output is None else path(output),
            "tacks": tacks,
            "polar_csv": _given(
                delimiter=delimiter,
                decimal=decimal,
                corner=corner,
                layout=layout,
                line_end=line_end,
                smoothing=smoothing,
            ),
            "model": _given(
                added_resistance=added_resistance,
                body=body,
                surge=surge,
                surfing_gains=surfing_gains,
                own_responses=None if own_responses is None else path(own_responses),
                without_foil=None if without_foil is None else several(without_foil),
            ),
        }
        polars, audit, manifest, index, warnings, gaps, served, written = _native.derate(
            None if job is None else path(job), json.dumps(_given(**keys)), nowhere, strict
        )
        return Derated(
            polars=polars,
            audit=audit,
            manifest=json.loads(manifest),
            index=json.loads(index),
            warnings=warnings,
            gaps=gaps,
            output=None if str(written) == nowhere else Path(written),
            _served=[
                _Served(region, _time(start), _time(end), member, polar) for region, start, end, member, polar in served
            ],
        )


def _given(**keys: Any) -> dict[str, Any]:
    """Those that are given."""
    return {key: value for key, value in keys.items() if value is not None and value != {}}


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text.replace("Z", "+00:00"))
