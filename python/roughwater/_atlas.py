"""`atlas`: corrected polars for any sea, before there is a forecast."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypedDict

from . import _native
from ._native import Atlas, Table
from ._paths import StrPath, path, several


class MetSystem(TypedDict):
    """A wave system that she meets."""

    kind: Literal["wind-sea", "swell"]
    hs_m: float
    """Significant height, m."""
    tp_s: float
    """Peak period, s."""
    off_wind_deg: float
    """Direction it comes from less the wind's, degrees, positive clockwise."""


class AtlasSpeed(TypedDict):
    """What an atlas says of one wind and sea."""

    error_rms_kn: float | None
    """How far the atlas is from the direct way at random seas, root mean square, kn."""
    error_95_kn: float | None
    """What 95 % of them are within, kn."""
    tws_kn: float
    """True wind speed, kn."""
    twa_deg: float
    """True wind angle, degrees, positive on starboard tack."""
    flat_kn: float
    """Speed in flat water, kn."""
    corrected_kn: float
    """Speed in the sea, kn."""
    factor_band_slow: float
    """Factor at the slow end of the model band."""
    factor_band_fast: float
    """Factor at its fast end."""
    speed_sd_kn: float
    """Swing of the speed, standard deviation, kn."""
    stage_added_resistance: float
    """Factor of added resistance; those of all stages multiply to the factor, as in the audit."""
    stage_deck_water: float
    stage_windage: float
    stage_foil_lift: float
    stage_foil_downtime: float
    stage_surge: float
    sea: list[MetSystem]
    """The systems that she meets."""
    note: str | None
    """What should be known of the sea that the wind raises."""


@dataclass(frozen=True)
class MadeAtlas:
    """What `atlas` gives.

    atlas     the atlas: `speed` and `polar` of any sea
    errors    of each grid that was tried, how far it is from the direct way at random seas, by what these are made of: `own_rms_kn`
              is what is left of `rms_kn` (kn) without the chance of the direct computations
    is_good   whether its own error is within the one asked for (else the command's exit code 3)
    output    the folder; None where none was written
    """

    atlas: Atlas
    errors: Table
    is_good: bool
    output: Path | None


def atlas(
    boat: StrPath,
    *,
    polar: StrPath,
    output: StrPath | None = None,
    error_kn: float = 0.1,
    finest: Literal["coarse", "medium", "fine"] = "fine",
    sailed_s: float = 1500.0,
    table: Literal["csv", "parquet"] | None = None,
    added_resistance: Literal["radiated-energy", "snnm", "table"] | None = None,
    own_responses: StrPath | None = None,
    surge: Literal["on", "off"] | None = None,
    surfing_gains: Literal["on", "off"] | None = None,
    without_foil: Literal["port", "starboard"] | Sequence[Literal["port", "starboard"]] = (),
    delimiter: Literal["comma", "semicolon", "tab"] | None = None,
    decimal: Literal["point", "comma"] | None = None,
    corner: str | None = None,
    layout: Literal["matrix", "long"] | None = None,
    line_end: Literal["crlf", "lf"] | None = None,
    smoothing: Literal["none", "binomial"] | None = None,
) -> MadeAtlas:
    """Makes corrected polars for any sea before there is a forecast: minutes of work, kept in the cache as it is done.

    boat               boat file
    polar              flat polar
    output             folder to write as the command does, polars, index, page and what lookup reads; None: nothing is written
    error_kn           make it finer until its own root mean square error over random seas is within this, kn
    finest             the finest grid that may be tried
    sailed_s           how long each cell is sailed through each swell for its surge, s, three times as long through each wind sea
    table              format of the long table of the folder; `atlas.table()` gives it in memory
    added_resistance   method of added resistance; "table" needs own_responses (CSV)
    surge              whether the swing of her speed in the waves is counted; surfing_gains: whether it may make her faster
    without_foil       foils that she sails without
    delimiter, decimal, corner, layout, line_end, smoothing   how polar files are written

    An error or Ctrl-C leaves an earlier atlas as it was; the next call goes on where this one was. Other threads run meanwhile.

    Raises RoughwaterError with the words of the command.
    """
    made, errors = _native.make_atlas(
        path(boat),
        path(polar),
        None if output is None else path(output),
        error_kn,
        finest,
        sailed_s,
        table,
        added_resistance,
        None if own_responses is None else path(own_responses),
        surge,
        surfing_gains,
        several(without_foil),
        delimiter,
        decimal,
        corner,
        layout,
        line_end,
        smoothing,
    )
    return MadeAtlas(made, errors, errors.column("own_rms_kn")[-1] <= error_kn, None if output is None else Path(path(output)))
