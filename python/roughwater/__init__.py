"""Roughwater: from a boat's flat-water speed polar and a sea forecast to the speeds she will really make.

A planning aid, not a safety limit: speeds in waves are estimates from a model with known gaps. The skipper, official
forecasts and the rules decide.

    import roughwater as rw
    result = rw.derate("job.toml")
    result.polars                        # an Arrow table: pandas, Polars and DuckDB take it as it is

Names, units and defaults are those of the command's options; what goes wrong is a `RoughwaterError`.
"""

from ._derate import Derated, derate
from ._boat import Irregular, Regular, Simulated, Simulation, compare, response, simulate
from ._errors import RoughwaterError
from ._native import CAUTION, Polar, Table, __version__

__all__ = [
    "CAUTION",
    "Derated",
    "Irregular",
    "Polar",
    "Regular",
    "RoughwaterError",
    "Simulated",
    "Simulation",
    "Table",
    "__version__",
    "compare",
    "derate",
    "response",
    "simulate",
]
