"""Roughwater: from a boat's flat-water speed polar and a sea forecast to the speeds she will really make.

A planning aid, not a safety limit: speeds in waves are estimates from a model with known gaps. The skipper, official
forecasts and the rules decide.

    import roughwater as rw
    result = rw.derate("job.toml")
    result.polars                        # an Arrow table: pandas, Polars and DuckDB take it as it is

Names, units and defaults are those of the command's options; what goes wrong is a `RoughwaterError`.
"""

from ._atlas import AtlasSpeed, MadeAtlas, MetSystem, atlas
from ._boat import Irregular, Regular, Simulated, Simulation, compare, compare_in_time, response, simulate
from ._derate import Derated, derate
from ._errors import RoughwaterError
from ._inspect import inspect
from ._native import CAUTION, Atlas, Polar, Table, __version__
from ._passage import Lookup, Passage, ServedPolar, lookup, passage

__all__ = [
    "CAUTION",
    "Atlas",
    "AtlasSpeed",
    "Derated",
    "Irregular",
    "Lookup",
    "MadeAtlas",
    "MetSystem",
    "Passage",
    "Polar",
    "Regular",
    "RoughwaterError",
    "ServedPolar",
    "Simulated",
    "Simulation",
    "Table",
    "__version__",
    "atlas",
    "compare",
    "compare_in_time",
    "derate",
    "inspect",
    "lookup",
    "passage",
    "response",
    "simulate",
]
