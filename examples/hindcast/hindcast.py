#!/usr/bin/env python3
"""Tallies a long hindcast file by file on a Dask cluster or on this machine's workers, merges the tallies and derates a boat.

    python3 hindcast.py job.toml --forecast 'era/*.nc' --folder work --output result --workers 4
    python3 hindcast.py job.toml --forecast 's3://bucket/era/*.nc' --folder s3://bucket/work --output result \\
        --scheduler tcp://head:8786

Paths may be anything fsspec opens. A file that is tallied is not tallied again: run the same line again after whatever
stopped it. Needs Python 3.11, dask with distributed, fsspec, and the command `roughwater` on every worker.
"""

from __future__ import annotations

import argparse
import dataclasses
import glob
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import Any

import fsspec
from fsspec.implementations.local import LocalFileSystem

# what a tally is grouped by; every other column is a sum
KEYS = ["region", "window_start", "window_end", "kind", "bin"]
# tallies that one `tally merge` is given, so that a command line stays short
BATCH = 500
TOPIC = "hindcast"


class Failed(Exception):
    """What a command said as it failed."""

    # words alone, so that it travels from worker to driver
    def __init__(self, words: str) -> None:
        super().__init__(words)


@dataclasses.dataclass(frozen=True)
class Task:
    """One forecast file to tally. All that a worker needs, so that it shares no disk with the driver."""

    command: str
    forecast: str
    tally: str
    options: list[str]
    """Regions and windows."""
    files: dict[str, bytes]
    """Small files that the options name."""


@dataclasses.dataclass(frozen=True)
class Done:
    """How a task ended."""

    tally: str
    what: str
    seconds: float


def place(path: str) -> tuple[Any, str]:
    """The file system of a path, and the path there."""
    return fsspec.core.url_to_fs(path)


def run(arguments: list[str], folder: str | None = None, threads: int | None = None) -> None:
    """Runs the command; a result with declared gaps is a result."""
    environment = {**os.environ, **({"RAYON_NUM_THREADS": str(threads)} if threads else {})}
    ran = subprocess.run(arguments, cwd=folder, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if ran.returncode not in (0, 3):
        raise Failed(f"{' '.join(arguments[:3])} ended with {ran.returncode}\n{ran.stderr}")


def here() -> tuple[Any, int | None]:
    """The worker that this runs on, and the threads of a command there: a worker runs as many files at once as it has threads,
    each on one. Nothing in one process, where a command takes all."""
    try:
        from distributed import get_worker

        return get_worker(), 1
    except (ImportError, ValueError):
        return None, None


def tally(task: Task) -> Done:
    """Tallies one file. The tally comes up whole under its name or not at all, so whoever is killed leaves nothing."""
    files, target = place(task.tally)
    if files.exists(target):
        return Done(task.tally, "kept", 0.0)
    worker, threads = here()
    name = PurePosixPath(task.forecast).name
    told = {"file": name, "worker": worker.address if worker else "this process", "pid": os.getpid()}
    begin = time.monotonic()
    say(worker, {**told, "event": "begins"})
    with tempfile.TemporaryDirectory(prefix="hindcast-") as folder:
        for small, contents in task.files.items():
            Path(folder, small).write_bytes(contents)
        source, path = place(task.forecast)
        if isinstance(source, LocalFileSystem):
            forecast = path
        else:
            # by its own name, which the tally records
            forecast = name
            source.get_file(path, os.path.join(folder, name))
        local = isinstance(files, LocalFileSystem)
        out = target if local else os.path.join(folder, "tally.parquet")
        run([task.command, "tally", "write", "--forecast", forecast, *task.options, "--output", out], folder, threads)
        if not local:
            files.put_file(out, target)
    seconds = time.monotonic() - begin
    say(worker, {**told, "event": f"done in {seconds:.2f} s"})
    return Done(task.tally, "tallied", seconds)


def say(worker: Any, event: dict[str, Any]) -> None:
    """Tells whoever listens."""
    if worker:
        worker.log_event(TOPIC, event)
    else:
        show(event)


def show(event: dict[str, Any]) -> None:
    print(f"{time.strftime('%H:%M:%S')} {event['file']} {event['event']} ({event['worker']}, process {event['pid']})", flush=True)


def seas(job: Path) -> tuple[list[str], dict[str, bytes]]:
    """The options of regions and windows that a job file stands for, and the files they name."""
    keys = tomllib.loads(job.read_text(encoding="utf-8"))
    window, alignment = keys.get("window", "6h"), keys.get("window_alignment", "midnight")
    length = re.fullmatch(r"(\d+) ?(m|h|d)", window)
    minutes = int(length[1]) * {"m": 1, "h": 60, "d": 1440}[length[2]] if length else 0
    anchored = alignment == "epoch" or (alignment == "midnight" and minutes and 1440 % minutes == 0)
    if not (window == "month" and alignment != "first-step") and not (minutes and anchored):
        raise SystemExit(
            f"{job}: windows of different files must agree, and {window!r} from {alignment} need not: give window a length such as"
            ' "6h" or "1d" that divides a day, "month", or any length such as "7d" with window_alignment = "epoch"'
        )
    options, files = ["--window", window, "--window-alignment", alignment], {}
    if "regions" in keys:
        files["regions.geojson"] = (job.parent / keys["regions"]).read_bytes()
        options += ["--regions", "regions.geojson"]
    boxes = keys.get("box", [])
    for box in boxes if boxes and isinstance(boxes[0], list) else [boxes] if boxes else []:
        options += ["--box", ",".join(str(side) for side in box)]
    if "tiles" in keys:
        options += ["--tiles", f"{keys['tiles']['lat_deg']}x{keys['tiles']['lon_deg']}"]
    if "corridor" in keys:
        corridor = keys["corridor"]
        track = job.parent / corridor["track"]
        if track.is_file():
            files["track" + track.suffix] = track.read_bytes()
        options += ["--corridor", "track" + track.suffix if track.is_file() else corridor["track"]]
        options += ["--half-width-nmi", str(corridor["half_width_nmi"]), "--leg-nmi", str(corridor["leg_nmi"])]
    return options, files


def listed(patterns: Iterable[str]) -> dict[str, str]:
    """Every forecast file that paths and patterns name, by name, with what changes when its contents do."""
    found: dict[str, str] = {}
    for pattern in patterns:
        files, path = place(pattern)
        paths = sorted(files.glob(path)) if glob.has_magic(path) else [path]
        if not paths:
            raise SystemExit(f"{pattern} matches nothing")
        for path in paths:
            about = files.info(path)
            marks = ("ETag", "etag", "md5Hash", "mtime", "LastModified", "last_modified", "created")
            mark = next((str(about[name]) for name in marks if about.get(name)), "")
            # local paths stay as they are, others keep their protocol
            name = path if isinstance(files, LocalFileSystem) else files.unstrip_protocol(path)
            found[name] = f"{about['size']} {mark}"
    return found


def tasks(arguments: argparse.Namespace) -> list[Task]:
    """A task a file. The tally's name holds the digest of all that it is made from: another forecast, regions, windows or
    version of the program give another name."""
    options, files = seas(arguments.job)
    version = subprocess.run([arguments.command, "--version"], check=True, stdout=subprocess.PIPE, text=True).stdout
    small = {name: hashlib.sha256(contents).hexdigest() for name, contents in files.items()}
    made = []
    for forecast, state in listed(arguments.forecast).items():
        inputs = json.dumps([version, forecast, state, options, small])
        digest = hashlib.sha256(inputs.encode()).hexdigest()[:16]
        name = f"{PurePosixPath(forecast).stem}-{digest}.parquet"
        made.append(Task(arguments.command, forecast, f"{arguments.folder.rstrip('/')}/tallies/{name}", options, files))
    return made


def tallied(arguments: argparse.Namespace, todo: list[Task]) -> list[Done]:
    """Runs all tasks; fails with the words of those that failed once the others are done."""
    if arguments.workers == 0:
        return collected(todo, map(in_this_process, todo))
    from distributed import Client, LocalCluster

    with tempfile.TemporaryDirectory(prefix="hindcast-workers-") as folder:
        own = None
        if not arguments.scheduler:
            # whoever is killed loses the files it has at hand: one
            own = LocalCluster(
                n_workers=arguments.workers, threads_per_worker=1, dashboard_address=None, local_directory=folder
            )
        with Client(own or arguments.scheduler) as client:
            client.subscribe_topic(TOPIC, lambda event: show(event[1]))
            # a task whose worker dies is given to another one
            futures = [client.submit(tally, task, key=task.tally, retries=0) for task in todo]
            done = collected(todo, futures)
            # events come by another way than answers
            time.sleep(0.2)
        if own:
            own.close()
    return done


def in_this_process(task: Task) -> Future[Done]:
    future: Future[Done] = Future()
    try:
        future.set_result(tally(task))
    except Failed as failed:
        future.set_exception(failed)
    return future


def collected(todo: list[Task], futures: Iterable[Any]) -> list[Done]:
    done, failed = [], []
    for task, future in zip(todo, futures, strict=True):
        try:
            done.append(future.result())
        except Exception as error:
            failed.append(f"{task.forecast}: {error}")
    if failed:
        raise SystemExit(f"{len(failed)} of {len(todo)} files failed; run the same line again once they are mended\n" + "\n".join(failed))
    return done


@contextmanager
def nearby(tallies: list[str]) -> Iterator[list[str]]:
    """Tallies as local paths."""
    with tempfile.TemporaryDirectory(prefix="hindcast-") as folder:
        paths = []
        for path in tallies:
            files, at = place(path)
            if not isinstance(files, LocalFileSystem):
                local = os.path.join(folder, PurePosixPath(at).name)
                files.get_file(at, local)
                at = local
            paths.append(at)
        yield paths


def merge_by_command(command: str, tallies: list[str], out: str) -> None:
    """In the order of the files, some hundred at a time."""
    with tempfile.TemporaryDirectory(prefix="hindcast-") as folder:
        rounds = 0
        while len(tallies) > 1:
            rounds += 1
            merged = []
            for first in range(0, len(tallies), BATCH):
                some = tallies[first : first + BATCH]
                if len(some) > 1:
                    some = [os.path.join(folder, f"{rounds}-{first}.parquet"), *some]
                    run([command, "tally", "merge", *some[1:], "--output", some[0]])
                merged.append(some[0])
            tallies = merged
        shutil.copyfile(tallies[0], out)


def merge_by_polars(tallies: list[str], out: str) -> None:
    import polars

    rows = polars.scan_parquet(tallies)
    sums = [name for name in rows.collect_schema().names() if name not in KEYS]
    rows.group_by(KEYS, maintain_order=True).agg(polars.col(sums).sum()).collect().write_parquet(out, compression="snappy")


def merge_by_duckdb(tallies: list[str], out: str) -> None:
    import duckdb

    keys, files = ", ".join(KEYS), ", ".join("'" + path.replace("'", "''") + "'" for path in tallies)
    query = f"select {keys}, sum(columns(* exclude ({keys}))) from read_parquet([{files}]) group by all"
    duckdb.sql(query).write_parquet(out)


def options() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("job", type=Path, help="job file: boat, polar, regions, a window that has a length")
    parser.add_argument("--forecast", nargs="+", required=True, help="forecast files or patterns, paths or URLs")
    parser.add_argument("--folder", required=True, help="folder of the tallies, path or URL")
    parser.add_argument("--output", required=True, help="folder of the result")
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--scheduler", help="address of a Dask scheduler")
    where.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="workers of this machine; 0: this process alone")
    parser.add_argument("--merge", choices=["command", "polars", "duckdb"], default="command", help="what adds the tallies up")
    parser.add_argument("--command", default="roughwater", help="the program, as workers find it")
    return parser


def main(words: list[str] | None = None) -> int:
    arguments = options().parse_args(words)
    # workers run it in folders of their own
    found = shutil.which(arguments.command)
    arguments.command = os.path.abspath(found) if found else arguments.command
    files, folder = place(arguments.folder)
    if isinstance(files, LocalFileSystem):
        arguments.folder = folder
    files.makedirs(f"{folder.rstrip('/')}/tallies", exist_ok=True)
    todo = tasks(arguments)
    begin = time.monotonic()
    done = tallied(arguments, todo)
    tallied_s = time.monotonic() - begin
    new = [one for one in done if one.what == "tallied"]
    print(f"{len(done)} tallies, {len(done) - len(new)} of them there before, in {tallied_s:.1f} s")
    with nearby([one.tally for one in done]) as tallies, tempfile.TemporaryDirectory(prefix="hindcast-") as aside:
        merged = os.path.join(folder if isinstance(files, LocalFileSystem) else aside, "merged.parquet")
        begin = time.monotonic()
        if arguments.merge == "polars":
            merge_by_polars(tallies, merged)
        elif arguments.merge == "duckdb":
            merge_by_duckdb(tallies, merged)
        else:
            merge_by_command(arguments.command, tallies, merged)
        print(f"merged by {arguments.merge} in {time.monotonic() - begin:.1f} s")
        begin = time.monotonic()
        run([arguments.command, "derate", str(arguments.job), "--tally", merged, "--output", arguments.output, "--quiet"])
        print(f"derated in {time.monotonic() - begin:.1f} s: {arguments.output}")
    return 0


if __name__ == "__main__":
    try:
        sys.exit(main())
    except Failed as failed:
        sys.exit(str(failed))
