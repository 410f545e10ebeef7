"""The hindcast on two workers, one of them killed midway, against one process."""

from __future__ import annotations

import importlib.util
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

pytest.importorskip("fsspec")
pytest.importorskip("tomllib")

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
SCRIPT = HERE / "hindcast.py"
LOST = "step-018"


def program() -> str:
    found = os.environ.get("ROUGHWATER_COMMAND") or shutil.which("roughwater")
    assert found, "the command is not on the path"
    return found


def steps() -> dict[int, bytes]:
    """The messages of the invented forecast by the hour of their step (GRIB2: length in octets 9 to 16, hour in octets 19 to 22
    of section 4)."""
    data = (ROOT / "grids/south-pacific.grib2").read_bytes()
    found: dict[int, bytes] = {}
    while data:
        length = int.from_bytes(data[8:16], "big")
        message, data = data[:length], data[length:]
        section = 16
        while message[section + 4] != 4:
            section += int.from_bytes(message[section : section + 4], "big")
        hour = int.from_bytes(message[section + 18 : section + 22], "big")
        found[hour] = found.get(hour, b"") + message
    return found


@pytest.fixture
def folder(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A job of a box of sea across the date line, with a file a step."""
    if "ROUGHWATER_CACHE" not in os.environ:
        monkeypatch.setenv("ROUGHWATER_CACHE", str(tmp_path_factory.getbasetemp() / "cache"))
    (tmp_path / "grids").mkdir()
    for hour, messages in steps().items():
        (tmp_path / f"grids/step-{hour:03}.grib2").write_bytes(messages)
    (tmp_path / "polar.csv").write_text("twa_deg,10,20\n60,10.0,14.0\n110,13.0,25.0\n150,8.5,17.0\n")
    boat = (ROOT / "examples/boats/sleet-heron-15.toml").as_posix()
    (tmp_path / "job.toml").write_text(
        f'boat = "{boat}"\npolar = "polar.csv"\nforecast = "grids/*.grib2"\nbox = [-52.0, 178.0, -49.0, -178.0]\n'
        'window = "12h"\noutput = "direct"\ncell_audit = "none"\n[model]\nsurge = "off"\n'
    )
    return tmp_path


def words(folder: Path, output: str, /, **more: object) -> list[str]:
    given = {"forecast": folder / "grids/*.grib2", "folder": folder / "work", "command": program(), **more}
    options = [str(word) for name, value in given.items() for word in (f"--{name}", value)]
    return [str(folder / "job.toml"), "--output", str(folder / output), *options]


def run(folder: Path, output: str, /, ends: int = 0, **more: object) -> str:
    """What the script prints and says."""
    ran = subprocess.run([sys.executable, SCRIPT, *words(folder, output, **more)], capture_output=True, text=True)
    assert ran.returncode == ends, ran.stdout + ran.stderr
    return ran.stdout + ran.stderr


def begun(log: str) -> Counter[str]:
    return Counter(re.findall(r"(step-\d+)\.grib2 begins", log))


def tables(folder: Path) -> dict[str, bytes]:
    """Polars, audit and index; manifest and report name the inputs."""
    paths = [path for path in sorted(folder.rglob("*")) if path.is_file()]
    found = {str(path.relative_to(folder)): path.read_bytes() for path in paths}
    return {name: data for name, data in found.items() if name not in ("manifest.json", "report.html")}


def direct(folder: Path) -> dict[str, bytes]:
    """What one process makes of all files at once."""
    subprocess.run([program(), "derate", folder / "job.toml", "--quiet"], check=True)
    return tables(folder / "direct")


def kill(mark: Path) -> tuple[int, int]:
    """Kills the worker that has the marked file in hand, with its command."""
    until = time.monotonic() + 120
    while not (mark / "worker").exists():
        assert time.monotonic() < until, "no worker has come to the file"
        time.sleep(0.05)
    worker, own = (int((mark / name).read_text()) for name in ("worker", "own"))
    for process in (worker, own):
        os.kill(process, signal.SIGKILL)
    return worker, own


@pytest.mark.skipif(sys.platform == "win32", reason="the command in its place is a shell script")
def test_a_killed_worker_loses_one_file_and_the_result_is_that_of_one_process(folder: Path) -> None:
    pytest.importorskip("distributed")
    # in the command's place; the first time that it is given one of the files, it waits to be killed
    mark, slow = folder / "mark", folder / "slow"
    slow.write_text(
        f'#!/bin/sh\ncase "$*" in *{LOST}*)\n'
        f"  if mkdir '{mark}' 2>/dev/null; then\n"
        f"    echo $$ > '{mark}/own'; echo $PPID > '{mark}/at'; mv '{mark}/at' '{mark}/worker'; exec sleep 600\n  fi;;\nesac\n"
        f"exec '{program()}' \"$@\"\n"
    )
    slow.chmod(0o755)
    line = [sys.executable, str(SCRIPT), *words(folder, "out", command=slow, workers=2)]
    running = subprocess.Popen(line, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        worker, _ = kill(mark)
        log, _ = running.communicate(timeout=300)
    finally:
        running.kill()
    print(log)
    assert running.returncode == 0, log
    # the killed worker's file was begun again, no other was
    files = [f"step-{hour:03}" for hour in steps()]
    assert begun(log) == Counter([*files, LOST]), log
    processes = set(re.findall(r"process (\d+)", log))
    assert str(worker) in processes and len(processes) >= 2, log
    assert tables(folder / "out") == direct(folder)
    tallies = sorted((folder / "work/tallies").iterdir())
    assert len(tallies) == len(files) and all(path.suffix == ".parquet" for path in tallies)
    # the tallies of one process, and their sum, are the same to the byte; their names hold the version of the program alone
    run(folder, "alone", workers=0, folder=folder / "work-alone")
    for path in [*tallies, folder / "work/merged.parquet"]:
        alone = folder / "work-alone" / path.relative_to(folder / "work")
        assert path.read_bytes() == alone.read_bytes(), path.name
    # nothing is left to tally
    assert begun(run(folder, "out", workers=2, command=slow)) == Counter()


@pytest.mark.parametrize("engine", ["polars", "duckdb"])
def test_other_engines_merge_alike(folder: Path, engine: str) -> None:
    pytest.importorskip(engine)
    log = run(folder, "out", workers=0, merge=engine)
    assert f"merged by {engine}" in log
    assert tables(folder / "out") == direct(folder)


def test_a_file_that_fails_is_named_and_the_others_are_kept(folder: Path) -> None:
    path = folder / f"grids/{LOST}.grib2"
    whole = path.read_bytes()
    path.write_bytes(b"GRIB" + bytes(100))
    told = run(folder, "out", ends=1, workers=0)
    assert "1 of 8 files failed" in told and LOST in told and not (folder / "out").exists()
    path.write_bytes(whole)
    assert begun(run(folder, "out", workers=0)) == Counter([LOST])
    # other windows are other tallies
    job = folder / "job.toml"
    job.write_text(job.read_text().replace('"12h"', '"1d"'))
    assert len(begun(run(folder, "out", workers=0))) == 8
    for before, after in [("1d", "all"), ("all", "2d"), ("2d", "7h"), ("7h", "1y")]:
        job.write_text(job.read_text().replace(f'"{before}"', f'"{after}"'))
        assert "give window a length" in run(folder, "out", ends=1, workers=0)


@pytest.mark.parametrize(("window", "alignment", "windows"), [("7h", "epoch", 7), ("2d", "epoch", 2), ("month", "midnight", 1)])
def test_windows_of_days_and_months_merge_file_by_file(folder: Path, window: str, alignment: str, windows: int) -> None:
    job = folder / "job.toml"
    job.write_text(job.read_text().replace('"12h"', f'"{window}"\nwindow_alignment = "{alignment}"'))
    run(folder, "out", workers=0)
    # one region: the demo's two days, by hand, in windows since 1970 and in months
    assert len(list((folder / "out/polars").rglob("*.csv"))) == windows
    assert tables(folder / "out") == direct(folder)


def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("hindcast", SCRIPT)
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules["hindcast"] = module
    spec.loader.exec_module(module)
    return module


def test_object_storage_is_a_path_like_any_other(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import fsspec

    store = fsspec.filesystem("memory")
    for path in (folder / "grids").iterdir():
        store.pipe(f"/bucket/era/{path.name}", path.read_bytes())
    remote = {"forecast": "memory://bucket/era/*.grib2", "folder": "memory://bucket/work", "workers": 0}
    module = script()
    assert module.main(words(folder, "out", **remote)) == 0
    assert len(begun(capsys.readouterr().out)) == 8 and len(store.ls("/bucket/work/tallies")) == 8
    assert tables(folder / "out") == direct(folder)
    assert module.main(words(folder, "out", **remote)) == 0
    assert begun(capsys.readouterr().out) == Counter()
    # another state of a file is another tally
    store.pipe(f"/bucket/era/{LOST}.grib2", (folder / f"grids/{LOST}.grib2").read_bytes())
    assert module.main(words(folder, "out", **remote)) == 0
    assert begun(capsys.readouterr().out) == Counter([LOST])


@pytest.fixture
def bucket(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    """An object store of its own on this machine, spoken to in S3's protocol over a socket, by this process and its workers."""
    server = pytest.importorskip("moto.server", reason="moto, an object store for tests, is not installed")
    s3fs = pytest.importorskip("s3fs")
    store = server.ThreadedMotoServer(ip_address="127.0.0.1", port=0)
    store.start()
    host, port = store.get_host_and_port()
    for name, value in {
        "AWS_ENDPOINT_URL": f"http://{host}:{port}",
        "AWS_ACCESS_KEY_ID": "testing",
        "AWS_SECRET_ACCESS_KEY": "testing",
        "AWS_DEFAULT_REGION": "us-east-1",
    }.items():
        monkeypatch.setenv(name, value)
    files = s3fs.S3FileSystem(skip_instance_cache=True, use_listings_cache=False)
    files.mkdir("bucket")
    yield files
    store.stop()


def test_forecasts_and_tallies_live_in_a_bucket(folder: Path, bucket: Any) -> None:
    pytest.importorskip("distributed")
    for path in (folder / "grids").iterdir():
        bucket.put_file(str(path), f"bucket/era/{path.name}")
    remote = {"forecast": "s3://bucket/era/*.grib2", "folder": "s3://bucket/work", "workers": 2}
    log = run(folder, "out", **remote)
    assert begun(log) == Counter(f"step-{hour:03}" for hour in steps()), log
    tallies = [path for path in bucket.ls("bucket/work/tallies") if path.endswith(".parquet")]
    assert len(tallies) == 8 and tables(folder / "out") == direct(folder)
    assert begun(run(folder, "out", **remote)) == Counter()
    # another object under the name, told by its ETag, is tallied anew; the others are there
    bucket.pipe_file(f"bucket/era/{LOST}.grib2", steps()[18] + b"7777")
    assert begun(run(folder, "out", **remote)) == Counter([LOST])
