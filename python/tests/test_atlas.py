"""`atlas` and what is asked of one, against the command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from compared import hold_to_csv
from conftest import BOAT, SMALL_POLAR, command
from typing import get_type_hints

import roughwater as rw

# soon made: the coarsest, without surge
SOON = ["--finest", "coarse", "--surge", "off", "--table", "csv"]


@pytest.fixture(scope="module")
def polar(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("atlas") / "polar.csv"
    path.write_text(SMALL_POLAR)
    return path


@pytest.fixture(scope="module")
def made(polar: Path) -> rw.MadeAtlas:
    return rw.atlas(BOAT, polar=polar, output=polar.parent / "own", finest="coarse", surge="off", table="csv")


def test_the_folder_is_that_of_the_command(made: rw.MadeAtlas, polar: Path) -> None:
    theirs = polar.parent / "theirs"
    told = json.loads(command("atlas", BOAT, "--polar", polar, "-o", theirs, *SOON, "--format", "json", ends=0 if made.is_good else 3) or "{}")
    names = sorted(path.relative_to(theirs) for path in theirs.rglob("*") if path.is_file())
    assert made.output == polar.parent / "own" and len(names) > 50
    for name in names:
        assert (made.output / name).read_bytes() == (theirs / name).read_bytes(), name
    index = json.loads((theirs / "index.json").read_text())
    own = made.errors.to_pydict()
    for number, row in enumerate(index["errors"]):
        assert {name: values[number] for name, values in own.items()} == row
    if told:
        assert told["digest"] == made.atlas.digest
    hold_to_csv(made.atlas.table(), (theirs / "atlas.csv").read_text())


def test_an_atlas_answers_as_the_command(made: rw.MadeAtlas, polar: Path) -> None:
    folder = polar.parent / "own"
    atlas = rw.Atlas.read(folder)
    assert (atlas.boat, atlas.digest, atlas.fineness) == (made.atlas.boat, made.atlas.digest, "coarse")
    assert atlas.flat == rw.Polar.read(polar)
    for words, sea in [
        (["--swell", "2,9,60"], {"swell": [(2.0, 9.0, 60.0)]}),
        (["--swell", "2,9,-60", "--wind-sea", "1.5,6"], {"swell": [(2.0, 9.0, -60.0)], "wind_sea": [(1.5, 6.0)]}),
        (["--fetch-nm", "200", "--swell", "1,12,90"], {"fetch_nm": 200.0, "swell": [(1.0, 12.0, 90.0)]}),
        (["--duration-h", "12"], {"duration_h": 12.0}),
    ]:
        given = command("lookup", "--atlas", folder, *words, "--tws-kn", 15, "--twa-deg=-100", "--format", "json")
        speed = atlas.speed(15.0, -100.0, **sea)  # type: ignore[arg-type]
        assert speed == json.loads(given) and set(speed) == set(get_type_hints(rw.AtlasSpeed))
        csv = polar.parent / "sea.csv"
        command("lookup", "--atlas", folder, *words, "--polar-csv", csv)
        of_file, own = rw.Polar.read(csv), atlas.polar(**sea)  # type: ignore[arg-type]
        assert (own.tws_kn, own.twa_deg) == (of_file.tws_kn, of_file.twa_deg)
        for one, other in zip(own.table().column("speed_kn"), of_file.table().column("speed_kn"), strict=True):
            assert f"{one:.2f}" == f"{other:.2f}"
    assert atlas.errors().to_pydict()["seas"][-1] == made.errors.to_pydict()["seas"][-1]
    told = rw.inspect(folder / "atlas.bin")
    assert told == rw.inspect(folder) == json.loads(command("inspect", folder, "--format", "json"))
    assert (told["is"], told["boat"], told["digest"]) == ("atlas", atlas.boat, atlas.digest)


def test_an_atlas_need_not_be_written(made: rw.MadeAtlas, polar: Path) -> None:
    again = rw.atlas(BOAT, polar=polar, finest="coarse", surge="off")
    assert again.output is None and again.atlas.digest == made.atlas.digest
    sea = [(2.0, 9.0, 60.0)]
    assert again.atlas.polar(swell=sea) == made.atlas.polar(swell=sea)


def test_a_job_may_ask_it(made: rw.MadeAtlas, job: Path) -> None:
    result = rw.derate(job, polar=made.output and made.output.parent / "polar.csv", atlas=made.output, output=None)
    assert result.manifest["options"]["atlas"] == made.atlas.digest


def test_what_an_atlas_has_no_answer_to(made: rw.MadeAtlas, polar: Path) -> None:
    atlas, swell = made.atlas, [(2.0, 9.0, 60.0)]
    for arguments, words in [
        ({"swell": [(9.0, 6.0, 0.0)]}, "height"),
        ({"swell": [(1.0, 30.0, 0.0)]}, "peak period"),
        ({"swell": [(1.0, -9.0, 0.0)]}, "these are no waves"),
        ({"swell": [(1.0, 9.0)]}, "not told by its numbers"),
        ({"fetch_nm": 0.0}, "raises no sea"),
        ({"fetch_nm": 9.0, "duration_h": 3.0}, "more than one way"),
        ({}, "no sea is given"),
    ]:
        with pytest.raises(rw.RoughwaterError, match=words):
            atlas.polar(**arguments)  # type: ignore[arg-type]
        with pytest.raises(rw.RoughwaterError, match=words):
            atlas.speed(15.0, 90.0, **arguments)  # type: ignore[arg-type]
    with pytest.raises(rw.RoughwaterError, match="outside the polar"):
        atlas.speed(70.0, 90.0, swell=swell)
    with pytest.raises(rw.RoughwaterError):
        rw.Atlas.read(polar.parent / "nowhere")
    for wrong, words in [({"error_kn": 0.0}, "error_kn"), ({"finest": "medum"}, 'did you mean "medium"')]:
        with pytest.raises(rw.RoughwaterError, match=words):
            rw.atlas(BOAT, polar=polar, **wrong)  # type: ignore[arg-type]
