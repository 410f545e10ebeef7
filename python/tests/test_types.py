"""What is said of types is so: programs that use them pass the type checker, wrong ones do not."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import ROOT

WRONG = [
    'rw.derate("job.toml", tacks="both")',
    'rw.derate("job.toml", forecast=1.0)',
    'rw.response("boat.toml", speed_kn="fast", hs_m=2.0, tp_s=6.0)',
    'rw.response("boat.toml", speed_kn=9.0, hs_m=2.0, tp_s=6.0)["no_such_number"]',
    'rw.Polar.read("polar.csv").speed(10.0, 60.0) + 1.0',
]
DATASET = """import xarray
import roughwater as rw


def run(data: xarray.Dataset) -> rw.Derated:
    return rw.derate("job.toml", forecast=[data, "more.nc"])
"""


@pytest.fixture(scope="module")
def cache_dir(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("mypy")


def checked(paths: list[Path], cache_dir: Path) -> subprocess.CompletedProcess[str]:
    pytest.importorskip("mypy")
    words = [sys.executable, "-m", "mypy", "--strict", "--cache-dir", str(cache_dir), *map(str, paths)]
    return subprocess.run(words, capture_output=True, text=True, cwd=cache_dir)


def test_programs_that_use_the_package_pass_and_so_does_itself(tmp_path: Path, cache_dir: Path) -> None:
    paths = [Path(__file__).parent / "typed.py", ROOT / "examples/python/passage.py"]
    if importlib.util.find_spec("xarray"):
        paths.append(tmp_path / "dataset.py")
        paths[-1].write_text(DATASET)
    ran = checked(paths, cache_dir)
    assert ran.returncode == 0, ran.stdout
    ran = checked([ROOT / "python/roughwater"], cache_dir)
    assert ran.returncode == 0, ran.stdout


def test_what_is_wrong_does_not_pass(tmp_path: Path, cache_dir: Path) -> None:
    path = tmp_path / "wrong.py"
    path.write_text("import roughwater as rw\n" + "\n".join(WRONG))
    ran = checked([path], cache_dir)
    assert ran.returncode == 1
    for line in range(len(WRONG)):
        assert f"wrong.py:{line + 2}: error" in ran.stdout, ran.stdout


def test_the_stub_is_that_of_the_compiled_part(cache_dir: Path) -> None:
    """Names, arguments and defaults of `_native.pyi` against the module itself."""
    pytest.importorskip("mypy")
    words = [sys.executable, "-m", "mypy.stubtest", "roughwater._native", "--concise"]
    ran = subprocess.run(words, capture_output=True, text=True, cwd=cache_dir)
    assert ran.returncode == 0, ran.stdout + ran.stderr
