"""The compiled part of the package."""

from collections.abc import Sequence
from typing import Any, final

from ._atlas import AtlasSpeed
from ._paths import StrPath

__all__ = [
    "__version__",
    "CAUTION",
    "Table",
    "Atlas",
    "Polar",
    "make_atlas",
    "command",
    "compare",
    "compare_in_time",
    "derate",
    "inspect",
    "lookup",
    "passage",
    "response",
    "simulate",
]

__version__: str
"""The version of package and command."""

CAUTION: str
"""What every output says about its use."""

@final
class Table:
    """A table in memory, column by column, in the layout of Apache Arrow.

    Other libraries take it without a copy of its numbers, by the Arrow PyCapsule interface: `polars.DataFrame(table)`,
    `pandas.DataFrame.from_arrow(table)`, `pyarrow.table(table)`, `duckdb.sql("select * from table")`.
    """

    @property
    def column_names(self) -> list[str]:
        """The names of the columns."""

    @property
    def num_rows(self) -> int:
        """The number of rows."""

    @property
    def num_columns(self) -> int:
        """The number of columns."""

    def __len__(self) -> int: ...
    def column(self, name: str) -> list[Any]:
        """The values of a column: str, float, int, bool, datetime (UTC), or None where there is none. Raises KeyError."""

    def to_pydict(self) -> dict[str, list[Any]]:
        """All columns by name."""

    def __arrow_c_schema__(self) -> object: ...
    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object: ...

@final
class Polar:
    """Boat speed through the water by true wind speed (TWS, kn) and true wind angle (TWA, degrees)."""

    @staticmethod
    def read(path: StrPath) -> Polar:
        """Reads a polar, flat or corrected, from CSV. Raises RoughwaterError."""

    @property
    def tws_kn(self) -> list[float]:
        """True wind speeds of the columns, kn, rising."""

    @property
    def twa_deg(self) -> list[float]:
        """True wind angles of the rows, degrees, rising; below zero on port tack where the polar tells the tacks apart."""

    @property
    def notes(self) -> list[str]:
        """What was put in order as the file was read."""

    def speed(self, tws_kn: float, twa_deg: float) -> float | None:
        """Boat speed in one wind, kn, bilinear between the table's values; None outside the table.

        `twa_deg` lies within -180 to 180, below zero on port tack; a polar of both tacks alike takes either sign.
        """

    def table(self) -> Table:
        """The polar with one row a cell: `tws_kn`, `twa_deg`, `speed_kn`."""

@final
class Atlas:
    """What a boat's polar becomes in any sea, within an error that it states.

    A sea is one wave system or several that are met together:

    swell        swells, each as significant height, m, peak period, s, and degrees that it comes from off the wind, positive
                 clockwise: `[(3.0, 11.0, 60.0)]`
    wind_sea     wind seas, the same; the angle may be left out
    fetch_nm     instead of wind_sea, what the wind raises over so many nautical miles; or duration_h, in so many hours
    """

    @staticmethod
    def read(folder: StrPath) -> Atlas:
        """Reads the atlas of a folder that `atlas` wrote. Raises RoughwaterError."""

    @property
    def boat(self) -> str:
        """The boat's name."""

    @property
    def digest(self) -> str:
        """SHA-256 of all that it was made from, hexadecimal."""

    @property
    def fineness(self) -> str:
        """How fine it is: coarse, medium or fine."""

    @property
    def flat(self) -> Polar:
        """Her polar in flat water."""

    def errors(self) -> Table:
        """How far it is from the direct way at random seas, kn, by what these are made of; all together last."""

    def table(self) -> Table:
        """Every cell and tack of every sea of its folder, with the columns of the command's `--table`."""

    def speed(
        self,
        tws_kn: float,
        twa_deg: float,
        *,
        swell: Sequence[Sequence[float]] = ...,
        wind_sea: Sequence[Sequence[float]] = ...,
        fetch_nm: float | None = None,
        duration_h: float | None = None,
    ) -> AtlasSpeed:
        """Speeds, stages and band in one wind (TWS, kn, and TWA, degrees, positive on starboard tack) and sea.

        Raises RoughwaterError where the wind lies outside the polar or the sea outside the atlas.
        """

    def polar(
        self,
        *,
        swell: Sequence[Sequence[float]] = ...,
        wind_sea: Sequence[Sequence[float]] = ...,
        fetch_nm: float | None = None,
        duration_h: float | None = None,
    ) -> Polar:
        """Her polar in a sea, starboard tack positive. Raises RoughwaterError as `speed`."""

def command(arguments: Sequence[str]) -> int: ...
def derate(
    job: StrPath | None, keys: str, aside: StrPath, strict: bool
) -> tuple[
    Table, Table, str, str, list[str], list[str], list[tuple[str, str, str, int | None, Polar]], StrPath
]: ...
def response(
    boat: StrPath,
    speed_kn: float | None,
    froude: float | None,
    hs_m: float | None,
    tp_s: float | None,
    wave_angle_deg: float,
    kind: str,
    long_crested: bool,
    regular: bool,
    period_s: float | None,
    wave_length_m: float | None,
    without_foil: Sequence[str],
) -> str: ...
def simulate(
    boat: StrPath,
    polar: StrPath,
    tws_kn: float,
    twa_deg: float,
    hs_m: float,
    tp_s: float,
    off_wind_deg: float,
    kind: str,
    regular: bool,
    body: str,
    duration_s: float,
    dt_s: float,
    seed: int,
    seeds: int,
    without_foil: Sequence[str],
) -> tuple[str, Table]: ...
def compare(
    a: StrPath,
    b: StrPath,
    polar: StrPath | None,
    polar_b: StrPath | None,
    without_foil_a: Sequence[str],
    without_foil_b: Sequence[str],
    job: StrPath | None,
    region: str | None,
    hs_m: float | None,
    tp_s: float | None,
    off_wind_deg: float,
    kind: str,
    tws_kn: float | None,
) -> Table: ...
def compare_in_time(
    a: StrPath,
    b: StrPath,
    polar: StrPath,
    polar_b: StrPath | None,
    without_foil_a: Sequence[str],
    without_foil_b: Sequence[str],
    tws_kn: float,
    twa_deg: float,
    hs_m: float,
    tp_s: float,
    off_wind_deg: float,
    kind: str,
    duration_s: float,
    dt_s: float,
    seed: int,
    seeds: int,
) -> Table: ...
def passage(
    job_or_result: StrPath,
    track: StrPath,
    start: str,
    start_every_s: float | None,
    starts: int | None,
    legs: str,
    by_tack: bool,
    member: int | None,
    polar: StrPath | None,
    forecast: Sequence[StrPath],
) -> tuple[Table, Table, list[str]]: ...
def lookup(
    result: StrPath, lat_deg: float, lon_deg: float, time: str, tws_kn: float | None, twa_deg: float | None
) -> str: ...
def inspect(file: StrPath) -> str: ...
def make_atlas(
    boat: StrPath,
    polar: StrPath,
    output: StrPath | None,
    error_kn: float,
    finest: str,
    sailed_s: float,
    table: str | None,
    added_resistance: str | None,
    own_responses: StrPath | None,
    surge: str | None,
    surfing_gains: str | None,
    without_foil: Sequence[str],
    delimiter: str | None,
    decimal: str | None,
    corner: str | None,
    layout: str | None,
    line_end: str | None,
    smoothing: str | None,
) -> tuple[Atlas, Table]: ...
