"""`inspect`: what a file is and holds."""

from __future__ import annotations

import json
from typing import Any

from . import _native
from ._paths import StrPath, path


def inspect(file: StrPath) -> dict[str, Any]:
    """Says what a file is and holds, and what the model would lack: the command's JSON.

    file   any file that the program reads or writes: forecast, polar, boat, job, regions, track, hull sections, own responses, a
           sheet of seas, a tally, an atlas, a result folder or a table of one

    `answer["is"]` is its kind: "forecast", "polar", "boat", "sections", "regions", "job", "seas", "track", "tally", "result",
    "result-table", "responses" or "atlas"; the other keys are that kind's, units in their names.

    Raises RoughwaterError with the words of the command.
    """
    told: dict[str, Any] = json.loads(_native.inspect(path(file)))
    return told
