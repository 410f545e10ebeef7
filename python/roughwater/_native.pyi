"""The compiled part of the package."""

from collections.abc import Sequence
from typing import Any

from ._paths import StrPath

__version__: str
"""The version of package and command."""

CAUTION: str
"""What every output says about its use."""

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
        """The values of a column: str, float, int, datetime (UTC), or None where there is none. Raises KeyError."""

    def to_pydict(self) -> dict[str, list[Any]]:
        """All columns by name."""

    def __arrow_c_schema__(self) -> object: ...
    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object: ...

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
