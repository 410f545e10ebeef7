"""Small jobs, and the command to hold the package against."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BOAT = ROOT / "examples/boats/sleet-heron-15.toml"
FULL_BOW = ROOT / "examples/boats/sleet-heron-15-full-bow.toml"
POLAR = ROOT / "polars/sleet-heron-15.csv"
FORECAST = ROOT / "grids/south-pacific.grib2"

# a few cells of the Sleet Heron's polar, so that a job takes a second
SMALL_POLAR = "twa_deg,10,20\n60,10.0,14.0\n110,13.0,25.0\n150,8.5,17.0\n"
BOX = (-52.0, 178.0, -49.0, -178.0)


def program() -> str:
    """The command: the one that cargo built where `ROUGHWATER_COMMAND` names it, else the wheel's."""
    found = os.environ.get("ROUGHWATER_COMMAND") or shutil.which("roughwater")
    assert found, "the wheel's command is not on the path"
    return found


def command(*words: object, ends: int = 0) -> str:
    """What the command prints; on errors what it says."""
    ran = subprocess.run([program(), *map(str, words)], capture_output=True, text=True)
    assert ran.returncode == ends, ran.stderr
    return ran.stdout if ends == 0 else ran.stderr


@pytest.fixture(scope="session", autouse=True)
def cache(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Response tables of a boat, made once for all tests."""
    os.environ.setdefault("ROUGHWATER_CACHE", str(tmp_path_factory.mktemp("cache")))


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job with a small polar and a box of sea across the date line."""
    (tmp_path / "polar.csv").write_text(SMALL_POLAR)
    path = tmp_path / "job.toml"
    path.write_text(
        f'boat = "{BOAT.as_posix()}"\npolar = "polar.csv"\nforecast = "{FORECAST.as_posix()}"\n'
        f'box = {list(BOX)}\nwindow = "1d"\noutput = "out"\ncell_audit = "none"\n[model]\nsurge = "off"\n'
    )
    return path
