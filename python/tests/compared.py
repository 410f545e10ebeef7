"""A table against the command's CSV."""

from __future__ import annotations

import csv
import io
from datetime import datetime

import pytest

import roughwater as rw


def hold_to_csv(table: rw.Table, text: str) -> None:
    """The same columns and rows; numbers to the decimals of the file, times to the instant, what is empty as None."""
    rows = list(csv.DictReader(io.StringIO(text)))
    columns = table.to_pydict()
    assert list(columns) == list(rows[0]) and len(table) == len(rows) > 0
    for name, values in columns.items():
        for value, row in zip(values, rows, strict=True):
            told = row[name]
            if value is None:
                assert told == "", name
            elif isinstance(value, bool):
                assert told == str(value).lower(), name
            elif isinstance(value, datetime):
                assert value == datetime.fromisoformat(told.replace("Z", "+00:00")), name
            elif isinstance(value, (int, float)):
                assert float(told) == pytest.approx(value, abs=10.0 ** -len(told.partition(".")[2]), rel=0), name
            else:
                assert value == told, name
