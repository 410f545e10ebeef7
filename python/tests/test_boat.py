"""Polars, `response`, `simulate`, `compare` and the command of the wheel."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from pathlib import Path
from typing import get_type_hints

import pytest
from compared import hold_to_csv
from conftest import BOAT, FULL_BOW, POLAR, SMALL_POLAR, command

import roughwater as rw

SEA = {"speed_kn": 14.0, "hs_m": 2.0, "tp_s": 6.5, "wave_angle_deg": 150.0}


def keys(answer: type) -> set[str]:
    """What `roughwater/_boat.py` says of an answer; the command's keys and these are the same."""
    return set(get_type_hints(answer))


def options(arguments: dict[str, object]) -> list[object]:
    return [word for name, value in arguments.items() for word in (f"--{name.replace('_', '-')}", value)]


def test_a_polar_is_read_and_asked(tmp_path: Path) -> None:
    (tmp_path / "polar.csv").write_text(SMALL_POLAR)
    polar = rw.Polar.read(tmp_path / "polar.csv")
    assert (polar.tws_kn, polar.twa_deg, polar.notes) == ([10.0, 20.0], [60.0, 110.0, 150.0], [])
    # by hand: midway between 10 and 14, then between that and the mean of 13 and 25
    assert polar.speed(15.0, 60.0) == 12.0 and polar.speed(15.0, 85.0) == polar.speed(15.0, -85.0) == 15.5
    assert polar.speed(9.9, 60.0) is None and polar.speed(10.0, 151.0) is None
    table = polar.table().to_pydict()
    assert table == {
        "tws_kn": [10.0, 20.0] * 3,
        "twa_deg": [60.0, 60.0, 110.0, 110.0, 150.0, 150.0],
        "speed_kn": [10.0, 14.0, 13.0, 25.0, 8.5, 17.0],
    }
    (tmp_path / "broken.csv").write_text(SMALL_POLAR.replace("25.0", "fast"))
    with pytest.raises(rw.RoughwaterError) as caught:
        rw.Polar.read(tmp_path / "broken.csv")
    assert caught.value.file == str(tmp_path / "broken.csv") and "line 3" in str(caught.value.place)


def test_response_is_that_of_the_command() -> None:
    told = json.loads(command("response", BOAT, *options(SEA), "--without-foil", "port", "--format", "json"))
    assert rw.response(BOAT, **SEA, without_foil="port") == told  # type: ignore[call-overload]
    assert set(told) == keys(rw.Irregular)
    assert set(told["advisory_limits"]) == keys(rw._boat.AdvisoryLimits)
    told = json.loads(command("response", BOAT, "--froude", 0.3, "--regular", "--period-s", 4, "--format", "json"))
    regular = rw.response(BOAT, froude=0.3, regular=True, period_s=4.0)
    assert regular == told and set(told) == keys(rw.Regular)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({**SEA, "hs_m": 0.0}, "hs_m is out of range"),
        ({**SEA, "wave_angle_deg": 181.0}, "0 to 180"),
        ({**SEA, "froude": 0.3}, "two speeds"),
        ({**SEA, "kind": "sweel"}, 'did you mean "swell"'),
        ({**SEA, "without_foil": "prot"}, 'did you mean "port"'),
        ({"speed_kn": 14.0}, "no sea is given"),
        ({**SEA, "regular": True, "period_s": 4.0}, "not told in one way"),
    ],
)
def test_questions_that_cannot_be_answered(arguments: dict[str, object], words: str) -> None:
    with pytest.raises(rw.RoughwaterError, match=words):
        rw.response(BOAT, **arguments)  # type: ignore[call-overload]


def test_simulate_is_that_of_the_command(tmp_path: Path) -> None:
    setting: dict[str, object] = {"tws_kn": 20.0, "twa_deg": 130.0, "hs_m": 2.4, "tp_s": 7.7, "duration_s": 60.0, "seeds": 2}
    trace = tmp_path / "trace.csv"
    words = [BOAT, "--polar", POLAR, *options({**setting, "seeds": 2}), "--trace", trace, "--format", "json"]
    told = json.loads(command("simulate", *words))
    simulation = rw.simulate(BOAT, polar=POLAR, **setting)  # type: ignore[arg-type]
    assert simulation.figures == told
    assert rw.Simulated.__required_keys__ == set(told)
    with open(trace, newline="") as file:
        rows = list(csv.DictReader(file))
    columns = simulation.trace.to_pydict()
    assert list(columns) == list(rows[0]) and len(rows) == len(simulation.trace) == 600
    for name, values in columns.items():
        assert values == [float(row[name]) if row[name] else None for row in rows], name
    assert rw.simulate(BOAT, polar=POLAR, **setting).figures == told  # type: ignore[arg-type]


def test_all_of_her_hull_says_what_the_bow_does() -> None:
    exact = rw.simulate(
        BOAT, polar=POLAR, tws_kn=20.0, twa_deg=60.0, hs_m=1.0, tp_s=6.0, body="exact", duration_s=5.0, seeds=1
    )
    assert set(exact.figures) == keys(rw.Simulated)


def test_a_simulation_that_cannot_be_kept_is_refused() -> None:
    setting = {"polar": POLAR, "tws_kn": 20.0, "twa_deg": 130.0, "hs_m": 2.4, "tp_s": 7.7}
    for wrong, words in [
        ({"duration_s": 1e9}, "too long"),
        ({"dt_s": 0.6}, "dt_s is out of range"),
        ({"seeds": 0}, "no drawing"),
        ({"twa_deg": 181.0}, "the true wind angle is out of range"),
        ({"tws_kn": 99.0}, "outside the flat polar"),
    ]:
        with pytest.raises(rw.RoughwaterError, match=words):
            rw.simulate(BOAT, **{**setting, **wrong})  # type: ignore[arg-type]


def test_compare_is_that_of_the_command(tmp_path: Path) -> None:
    (tmp_path / "polar.csv").write_text(SMALL_POLAR)
    polar = tmp_path / "polar.csv"
    told = command(
        "compare", BOAT, FULL_BOW, "--polar", polar, "--hs-m", 2.5, "--tp-s", 7, "--off-wind-deg", -40, "--tws-kn", 20, "--format", "csv"
    )
    table = rw.compare(BOAT, FULL_BOW, polar=polar, hs_m=2.5, tp_s=7.0, off_wind_deg=-40.0, tws_kn=20.0)
    assert len(table) == 6
    hold_to_csv(table, told)
    with pytest.raises(rw.RoughwaterError, match="no such column"):
        rw.compare(BOAT, FULL_BOW, polar=polar, hs_m=2.5, tp_s=7.0, tws_kn=11.0)
    with pytest.raises(rw.RoughwaterError, match="no flat polar"):
        rw.compare(BOAT, FULL_BOW, hs_m=2.5, tp_s=7.0)


def test_compare_in_time_is_that_of_the_command() -> None:
    setting: dict[str, object] = {
        "tws_kn": 20.0,
        "twa_deg": -60.0,
        "hs_m": 2.5,
        "tp_s": 7.0,
        "off_wind_deg": -40.0,
        "kind": "swell",
        "duration_s": 5.0,
        "seeds": 2,
    }
    words = [BOAT, FULL_BOW, "--polar", POLAR, "--in-time", *options(setting), "--format", "csv"]
    table = rw.compare_in_time(BOAT, FULL_BOW, polar=POLAR, **setting)  # type: ignore[arg-type]
    hold_to_csv(table, command("compare", *words))
    assert set(map(type, table.column("stands_out"))) == {bool}
    for wrong, words in [
        ({"dt_s": 0.6}, "dt_s is out of range"),
        ({"seeds": 0}, "no drawing"),
        ({"twa_deg": 181.0}, "the true wind angle is out of range"),
        ({"hs_m": 0.0}, "hs_m is out of range"),
        ({"without_foil_b": "prot"}, 'did you mean "port"'),
    ]:
        with pytest.raises(rw.RoughwaterError, match=words):
            rw.compare_in_time(BOAT, FULL_BOW, polar=POLAR, **{**setting, **wrong})  # type: ignore[arg-type]


def test_the_wheel_carries_the_command() -> None:
    own = [sys.executable, "-m", "roughwater._command"]
    ran = subprocess.run([*own, "--version"], capture_output=True, text=True, check=True)
    assert ran.stdout == f"roughwater {rw.__version__}\n" == command("--version")
    sea = [str(word) for word in options(SEA)]
    ran = subprocess.run([*own, "response", BOAT, *sea, "--format", "json"], capture_output=True, text=True, check=True)
    assert ran.stdout == command("response", BOAT, *sea, "--format", "json")
    ran = subprocess.run([*own, "response", "nowhere.toml", *sea], capture_output=True, text=True)
    assert ran.returncode == 1 and ran.stderr.startswith("error: ")
    ran = subprocess.run([*own, "derat"], capture_output=True, text=True)
    assert ran.returncode == 2 and "Usage: roughwater" in ran.stderr
