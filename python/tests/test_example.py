"""The example runs as a program and says what it should."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest
from conftest import ROOT


def test_the_example_runs() -> None:
    pytest.importorskip("polars")
    ran = subprocess.run([sys.executable, ROOT / "examples/python/passage.py"], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    leg = re.search(r"([\d.]+) kn in flat water, ([\d.]+) kn at sea", ran.stdout)
    assert leg, ran.stdout
    # without surge the sea gives nothing
    assert 0 < float(leg[2]) <= float(leg[1])
    assert "stage_added_resistance" in ran.stdout and "speed_kn" in ran.stdout
