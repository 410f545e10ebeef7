"""Paths and forecasts as users have them."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Protocol, TypeAlias, runtime_checkable

StrPath: TypeAlias = "str | os.PathLike[str]"


@runtime_checkable
class Dataset(Protocol):
    """An `xarray.Dataset`."""

    def to_netcdf(self, path: Any = None) -> Any:
        """Writes it."""


Forecast: TypeAlias = "StrPath | Dataset"


def path(given: StrPath) -> str:
    """A path as text."""
    return os.fspath(given)


def several(given: str | Iterable[str]) -> list[str]:
    """One name, or several."""
    return [given] if isinstance(given, str) else list(given)


def forecast_paths(given: Forecast | Iterable[Forecast], aside: Path) -> list[str]:
    """Paths of forecasts; a Dataset is written into a folder aside."""
    if isinstance(given, (str, os.PathLike, Dataset)):
        given = [given]
    return [forecast_path(one, aside) for one in given]


def forecast_path(given: Forecast, aside: Path) -> str:
    """The path of one forecast."""
    if isinstance(given, (str, os.PathLike)):
        return os.fspath(given)
    handle, name = tempfile.mkstemp(prefix="dataset-", suffix=".nc", dir=aside)
    os.close(handle)
    given.to_netcdf(name)
    return name
