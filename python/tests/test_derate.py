"""`derate` against the command: the same numbers, the same files, the same words."""

from __future__ import annotations

import csv
import inspect
import json
import pickle
import re
import signal
import subprocess
import sys
import threading
import time
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from conftest import BOAT, BOX, FORECAST, ROOT, SMALL_POLAR, command

import roughwater as rw


# how the command prints, and what it draws
PRINTS = {"format", "quiet", "help", "version"}
OF_THE_COMMAND_ALONE = {
    # what is kept from run to run is the environment's, ROUGHWATER_CACHE
    "derate": PRINTS | {"no-cache"},
    "response": PRINTS,
    "simulate": PRINTS | {"trace", "plot", "frames"},
    # with `in-time` it is another function
    "compare": PRINTS | {"in-time", "plot", "frames"},
    "passage": PRINTS | {"gpx"},
    "atlas": PRINTS,
    "lookup": PRINTS | {"atlas", "path", "polar-csv"},
    "inspect": PRINTS | {"polar", "all", "drawing"},
}
CALLS = {
    "derate": [rw.derate],
    "response": [rw.response],
    "simulate": [rw.simulate],
    "compare": [rw.compare, rw.compare_in_time],
    "passage": [rw.passage],
    "atlas": [rw.atlas],
    "lookup": [rw.lookup, rw.Atlas.speed, rw.Atlas.polar],
    "inspect": [rw.inspect],
}


def files(folder: Path) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file()}


def test_the_folder_is_that_of_the_command(job: Path) -> None:
    command("derate", job, "--quiet")
    of_command = files(job.parent / "out")
    result = rw.derate(job)
    assert result.output == job.parent / "out"
    assert files(job.parent / "out") == of_command
    assert result.manifest == json.loads(of_command["manifest.json"])
    assert result.index == json.loads(of_command["index.geojson"])
    assert result.warnings == result.manifest["warnings"] and result.gaps == []


def test_tables_hold_the_numbers_of_the_files(job: Path) -> None:
    command("derate", job, "--quiet", "--tacks", "signed")
    out = job.parent / "out"
    result = rw.derate(job, tacks="signed", output=None)
    assert result.output is None
    with open(out / "audit.csv", newline="") as file:
        rows = list(csv.DictReader(file))
    audit = result.audit.to_pydict()
    assert list(audit) == list(rows[0]) and len(result.audit) == len(rows) > 0
    for name, values in audit.items():
        for value, row in zip(values, rows, strict=True):
            told = row[name]
            if isinstance(value, datetime):
                assert value == datetime.fromisoformat(told.replace("Z", "+00:00"))
            elif isinstance(value, (int, float)):
                assert value == float(told), name
            else:
                assert (value or "") == told, name
    polars = result.polars.to_pydict()
    seen = 0
    for feature in result.index["features"]:
        for entry in feature["properties"]["polars"]:
            with open(out / entry["file"], newline="") as file:
                (_, *winds), *lines = csv.reader(file)
            start = datetime.fromisoformat(entry["start"].replace("Z", "+00:00"))
            for line in lines:
                for wind, speed in zip(winds, line[1:], strict=True):
                    assert (polars["region"][seen], polars["window_start"][seen]) == (feature["properties"]["name"], start)
                    assert (polars["twa_deg"][seen], polars["tws_kn"][seen]) == (float(line[0]), float(wind))
                    assert f"{polars['speed_kn'][seen]:.2f}" == speed
                    seen += 1
    assert seen == len(result.polars) > 0 and set(polars["tacks"]) == {"signed"}


def test_a_job_in_arguments_is_one_in_a_file(job: Path, tmp_path: Path) -> None:
    (tmp_path / "small.csv").write_text(SMALL_POLAR)
    result = rw.derate(
        boat=BOAT,
        polar=tmp_path / "small.csv",
        forecast=[FORECAST],
        box=BOX,
        window=timedelta(days=1),
        surge="off",
        layout="long",
        output=tmp_path / "own",
    )
    options = ["--boat", BOAT, "--polar", tmp_path / "small.csv", "--forecast", FORECAST, "--box=-52,178,-49,-178"]
    command("derate", *options, "--window", "1d", "--surge", "off", "--layout", "long", "-o", tmp_path / "theirs", "--quiet")
    assert files(tmp_path / "own") == files(tmp_path / "theirs")
    assert result.manifest["options"]["polar_csv"]["layout"] == "long"


def test_polars_of_the_result_serve_their_time(job: Path) -> None:
    result = rw.derate(job, output=None)
    start = result.polars.column("window_start")[0]
    region = result.polars.column("region")[0]
    polar = result.polar(region, start + timedelta(hours=1))
    first = {name: values[0] for name, values in result.polars.to_pydict().items()}
    assert polar.speed(first["tws_kn"], first["twa_deg"]) == first["speed_kn"]
    assert result.polar(region, start.replace(tzinfo=None)) == polar
    with pytest.raises(rw.RoughwaterError, match="no corrected polar serves") as caught:
        result.polar(region, start - timedelta(days=9))
    assert caught.value.found and region in caught.value.found


def test_other_libraries_take_the_tables(job: Path) -> None:
    duckdb, pandas, polars, pyarrow = map(pytest.importorskip, ("duckdb", "pandas", "polars", "pyarrow"))
    result = rw.derate(job, output=None)
    audit = result.audit
    expected = audit.to_pydict()["factor"]
    taken = pyarrow.table(audit)
    assert taken.schema.field("window_start").type == pyarrow.timestamp("us", "UTC")
    assert taken.column("factor").to_pylist() == expected
    assert polars.DataFrame(audit)["factor"].to_list() == expected
    frame = pandas.DataFrame.from_arrow(audit) if hasattr(pandas.DataFrame, "from_arrow") else taken.to_pandas()
    assert frame["factor"].tolist() == expected
    assert duckdb.sql("select count(*) from audit").fetchall() == [(len(audit),)]
    # the same memory, not a copy of it; DuckDB, which does not tell addresses, reads the same stream
    addresses = {pyarrow.table(audit).column("factor").chunk(0).buffers()[1].address for _ in range(2)}
    addresses.add(polars.DataFrame(audit)["factor"].to_arrow().buffers()[1].address)
    assert len(addresses) == 1
    # pandas keeps a column without nulls as NumPy does: over the same memory
    speeds = pyarrow.table(result.polars).column("speed_kn").chunk(0)
    of_pandas = pyarrow.table(result.polars).select(["speed_kn"]).to_pandas(zero_copy_only=True, split_blocks=True)
    assert of_pandas["speed_kn"].to_numpy().ctypes.data == speeds.buffers()[1].address


def test_a_dataset_is_a_forecast(tmp_path: Path, job: Path) -> None:
    xarray = pytest.importorskip("xarray")
    pytest.importorskip("netCDF4")
    path = ROOT / "tests/data/cf-classic.nc"
    with xarray.open_dataset(path) as dataset:
        assert any(one.attrs.get("standard_name", "").startswith("sea_surface") for one in dataset.values())
        of_dataset = rw.derate(job, forecast=dataset, box=None, tiles=(10.0, 10.0), output=None)
    of_file = rw.derate(job, forecast=path, tiles=(10.0, 10.0), output=None)
    # written again a coordinate may be rounded to another last bit
    for own, other in zip(of_dataset.polars.column("speed_kn"), of_file.polars.column("speed_kn"), strict=True):
        assert own == pytest.approx(other, abs=1e-3)


def test_a_dataset_in_memory_goes_by_its_cf_names(job: Path) -> None:
    """A dataset that was never a file, by its standard names whatever its variables are called."""
    xarray, numpy = map(pytest.importorskip, ("xarray", "numpy"))
    pytest.importorskip("netCDF4")
    axes = {
        "time": ("time", numpy.array(["2024-01-15T00", "2024-01-15T03"], "datetime64[ns]"), {"standard_name": "time"}),
        "y": ("y", [-52.0, -51.0, -50.0, -49.0], {"standard_name": "latitude", "units": "degrees_north"}),
        "x": ("x", [178.0, 179.0, 180.0, 181.0, 182.0], {"standard_name": "longitude", "units": "degrees_east"}),
    }
    fields = {
        "a": (2.0, "sea_surface_wind_wave_significant_height", "m"),
        "b": (6.5, "sea_surface_wind_wave_period_at_variance_spectral_density_maximum", "s"),
        "c": (270.0, "sea_surface_wind_wave_from_direction", "degree"),
        "d": (1.0, "sea_surface_swell_wave_significant_height", "m"),
        "e": (11.0, "sea_surface_swell_wave_period_at_variance_spectral_density_maximum", "s"),
        "f": (200.0, "sea_surface_swell_wave_from_direction", "degree"),
        "u": (9.0, "eastward_wind", "m s-1"),
        "v": (0.0, "northward_wind", "m s-1"),
    }
    shape = (2, 4, 5)
    variables = {
        name: (("time", "y", "x"), numpy.full(shape, value), {"standard_name": cf, "units": unit})
        for name, (value, cf, unit) in fields.items()
    }
    dataset = xarray.Dataset(variables, coords=axes)
    result = rw.derate(job, forecast=dataset, output=None)
    assert result.gaps == [] and len(result.polars.column("region")) == 6
    blown = {tws for tws, share in zip(result.audit.column("tws_kn"), result.audit.column("wind_share")) if share}
    # 9 m/s are 17.5 kn, between both
    assert blown == {10.0, 20.0}
    # the sea takes something
    factors = [factor for factor in result.audit.column("factor") if factor is not None]
    assert 0.0 < min(factors) < 1.0


def test_every_option_of_the_command_is_an_argument() -> None:
    for name, calls in CALLS.items():
        options = set(re.findall(r"^ +(?:-\w, )?--([a-z-]+)", command(name, "--help").split("Examples:")[0], re.MULTILINE))
        arguments = {argument.replace("_", "-") for call in calls for argument in inspect.signature(call).parameters}
        assert options - arguments - OF_THE_COMMAND_ALONE[name] == set(), name


def test_errors_have_the_words_of_the_command(job: Path) -> None:
    text = job.read_text()
    for broken in [
        text.replace("window", "windw"),
        text.replace('"1d"', '"1 fortnihgt"'),
        text.replace(FORECAST.as_posix(), "nowhere.grib2"),
        text.replace("polar.csv", "job.toml"),
        text.replace("-52.0", "52.0"),
    ]:
        assert broken != text
        job.write_text(broken)
        told = command("derate", job, "--quiet", ends=1)
        with pytest.raises(rw.RoughwaterError) as caught:
            rw.derate(job)
        assert f"error: {caught.value}\n" == told
        assert caught.value.problem and caught.value.problem in told and not (job.parent / "out").exists()


def test_errors_have_parts_and_travel(job: Path) -> None:
    with pytest.raises(rw.RoughwaterError) as caught:
        rw.derate(job, tacks="both")  # type: ignore[arg-type]
    error = caught.value
    assert error.found == '"both"' and "signed" in str(error.expected) and error.file == "arguments of derate"
    again = pickle.loads(pickle.dumps(error))
    assert str(again) == str(error) and again.__dict__ == error.__dict__


def test_gaps_are_told_and_strict_refuses_them(job: Path) -> None:
    # half of the box lies beyond the forecast
    arguments = {"box": (-52.0, 150.0, -49.0, 170.0)}
    result = rw.derate(job, **arguments, output=None)  # type: ignore[arg-type]
    assert result.gaps == result.manifest["gaps"] != []
    with pytest.raises(rw.RoughwaterError, match="would have gaps"):
        rw.derate(job, **arguments, strict=True)  # type: ignore[arg-type]
    assert not (job.parent / "out").exists()


def test_other_threads_run_meanwhile(job: Path) -> None:
    over = threading.Event()
    ticks = 0

    def tick() -> None:
        nonlocal ticks
        while not over.wait(0.005):
            ticks += 1

    thread = threading.Thread(target=tick)
    thread.start()
    rw.derate(job, output=None)
    over.set()
    thread.join()
    assert ticks > 3


STOPPED = """
import roughwater as rw, sys
print("begun", flush=True)
try:
    rw.derate(sys.argv[1], polar=sys.argv[2], tiles=(1.0, 1.0), window="1h", surge="on")
except KeyboardInterrupt:
    print("stopped", flush=True)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="signals of another kind")
def test_ctrl_c_stops_it_and_leaves_nothing(job: Path) -> None:
    # hundreds of polars: minutes of work
    child = subprocess.Popen(
        [sys.executable, "-c", STOPPED, job, ROOT / "polars/sleet-heron-15.csv"], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout and child.stdout.readline() == "begun\n"
    time.sleep(1.0)
    child.send_signal(signal.SIGINT)
    told, _ = child.communicate(timeout=60)
    assert told == "stopped\n" and child.returncode == 0
    assert sorted(path.name for path in job.parent.iterdir()) == ["job.toml", "polar.csv"]


def test_times_are_utc(job: Path) -> None:
    result = rw.derate(job, output=None)
    assert result.polars.column("window_start")[0] == datetime(2024, 1, 15, tzinfo=timezone.utc)
