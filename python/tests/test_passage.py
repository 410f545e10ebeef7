"""`passage`, `lookup` and `inspect` against the command."""

from __future__ import annotations

import json
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from compared import hold_to_csv
from conftest import BOAT, FORECAST, POLAR, ROOT, command

import roughwater as rw

START = datetime(2024, 1, 15, 9)
TRACK = "51S 179E; 50S 179.5W"


@pytest.fixture
def result(job: Path) -> Path:
    # a polar of all winds that blow there
    (job.parent / "polar.csv").write_text("twa_deg,1,40\n50,2.0,12.0\n110,3.0,20.0\n150,2.5,15.0\n")
    command("derate", job, "--quiet", "--tacks", "signed")
    return job.parent / "out"


def test_passage_is_that_of_the_command(job: Path, result: Path) -> None:
    departures = ["--start", "2024-01-15T09:00", "--start-every", "6h", "--starts", 2]
    for legs, by_tack in [("geodesic", False), ("rhumb", True)]:
        words = [job, "--track", TRACK, *departures, "--legs", legs, *["--by-tack"] * by_tack]
        passage = rw.passage(
            job,
            track=TRACK,
            start=START,
            start_every=timedelta(hours=6),
            starts=2,
            legs=legs,  # type: ignore[arg-type]
            by_tack=by_tack,
        )
        hold_to_csv(passage.legs, command("passage", *words, "--format", "csv"))
        told = json.loads(command("passage", *words, "--format", "json"))["departures"]
        own = passage.departures.to_pydict()
        assert own["start"] == [START.replace(tzinfo=timezone.utc) + timedelta(hours=6 * n) for n in range(2)]
        for number, departure in enumerate(told):
            for name in ["cost_h", "same_wind_cost_h"]:
                assert own[name][number] == departure[name] is not None
            for side in ["flat", "corrected"]:
                assert own[f"{side}_nm"][number] == departure[side]["sailed_nm"]
                assert own[f"{side}_h"][number] == departure[side]["sailed_h"]
                assert own[f"{side}_arrival"][number].isoformat() == departure[side]["arrival"].replace("Z", "+00:00")
        assert passage.gaps == []


def test_gaps_of_a_passage_are_told(result: Path) -> None:
    # its west end lies outside the box
    arguments = ["passage", result, "--track", "50.5S 177E; 50.5S 179E", "--start", "2024-01-15T09:00", "--format", "csv"]
    told = command(*arguments, "--polar", result.parent / "polar.csv", "--forecast", FORECAST, ends=3)
    passage = rw.passage(
        result,
        track="50.5S 177E; 50.5S 179E",
        start=START.replace(tzinfo=timezone.utc),
        polar=result.parent / "polar.csv",
        forecast=FORECAST,
    )
    assert told == "" and "outside every region" in passage.gaps[0]
    assert "; ".join(gap.split(": ", 1)[1] for gap in passage.gaps) == passage.legs.column("gaps")[0]


def test_questions_of_a_passage_that_cannot_be_answered(result: Path, tmp_path: Path) -> None:
    for wrong, words in [
        ({"track": "nowhere.gpx"}, "nowhere.gpx"),
        ({"track": "51S 179E; 51S 179E"}, "too short"),
        ({"legs": "rumb"}, 'did you mean "rhumb"'),
        ({"start_every": timedelta(0)}, "no length of time"),
    ]:
        with pytest.raises(rw.RoughwaterError, match=words):
            rw.passage(result, **{"track": TRACK, "start": START, **wrong})  # type: ignore[arg-type]
    with pytest.raises(rw.RoughwaterError):
        rw.passage(tmp_path / "nowhere", track=TRACK, start=START)


def test_lookup_is_that_of_the_command(result: Path) -> None:
    words = ["lookup", result, "-50.5", "180", "2024-01-15T09:00", "--format", "json"]
    assert rw.lookup(result, -50.5, 180.0, START) == json.loads(command(*words))
    found = rw.lookup(result, -50.5, 180.0, START, tws_kn=15.0, twa_deg=-100.0)
    assert found == json.loads(command(*words, "--tws-kn", 15, "--twa-deg=-100"))
    (served,) = found["polars"]
    assert served["flat_kn"] is not None and 0.0 < served["speed_kn"] <= served["flat_kn"]
    corrected = rw.Polar.read(served["file"]).speed(15.0, -100.0)
    assert corrected == served["speed_kn"]
    nothing = rw.lookup(result, 10.0, 0.0, START)
    assert nothing["polars"] == [] and "none of the 1 regions" in nothing["why_none"]
    with pytest.raises(rw.RoughwaterError, match="outside the polar"):
        rw.lookup(result, -50.5, 180.0, START, tws_kn=99.0, twa_deg=90.0)


def test_inspect_is_that_of_the_command(job: Path, result: Path) -> None:
    told = {
        "forecast": FORECAST,
        "polar": POLAR,
        "boat": BOAT,
        "job": job,
        "result": result,
        "result-table": result / "audit.csv",
        "track": ROOT / "examples/south-pacific/track.gpx",
    }
    for kind, file in told.items():
        answer = rw.inspect(file)
        assert answer["is"] == kind and answer == json.loads(command("inspect", file, "--format", "json"))
    with pytest.raises(rw.RoughwaterError, match="cannot"):
        rw.inspect(job.parent / "nowhere.csv")
