"""The commands on a mill without a control: a sheet instead of a program."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from polypocket.cli import app
from polypocket.errors import InputError

JOB = str(Path(__file__).parents[1] / "shared" / "jobs" / "stem_gauge_block.toml")
MILL = "knee-mill-by-hand"


def run(*command: str) -> str:
    result = CliRunner().invoke(app, list(command), catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


def test_a_sheet_has_its_own_suffix(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    told = run("write", JOB, "--machine", MILL)
    assert [path.name for path in tmp_path.iterdir()] == ["stem_gauge_block.txt"]
    assert "stem_gauge_block.txt: written" in told
    assert "Dry run: nothing found" in told
    text = (tmp_path / "stem_gauge_block.txt").read_text(encoding="utf-8")
    assert text.startswith("SHEET FOR A MILL WORKED BY HAND\n")


def test_a_sheet_is_dry_run_again(tmp_path: Path) -> None:
    path = tmp_path / "sheet.txt"
    run("write", JOB, "--machine", MILL, "-o", str(path))
    document = json.loads(run("dryrun", str(path), "--machine", MILL, "--job", JOB, "--json"))
    assert document["ok"] is True and document["findings"] == []
    assert document["as_cut"][0]["sides"] == 12
    assert json.loads(run("dryrun", str(path), "--machine", MILL, "--json"))["ok"] is True


def test_the_numbers_as_json(tmp_path: Path) -> None:
    document = json.loads(run("write", JOB, "--machine", MILL, "-o", str(tmp_path / "s.txt"), "--json"))
    (sheet,) = document["sheets"]
    passes = [line for line in sheet["lines"] if line["kind"] == "pass"]
    assert len(passes) == 48
    assert all(sum(motion["cuts"] for motion in line["motions"]) == 1 for line in passes)
    assert "place" not in document


def test_check_tells_the_passes() -> None:
    told = run("check", JOB, "--machine", MILL)
    assert "section 1" in told and "finish" in told
    assert json.loads(run("check", JOB, "--machine", MILL, "--json"))["place"] is None


@pytest.mark.parametrize(
    ("command", "message"),
    [
        (("place", JOB, "--machine", MILL), "has no work zero"),
        (("write", JOB, "--machine", MILL, "--post", "lean"), "no control that could read lean"),
        (("write", JOB, "--machine", MILL, "--from-pass", "3"), "--from-pass is for programs"),
    ],
)
def test_what_there_is_not_without_a_control(command: tuple[str, ...], message: str) -> None:
    with pytest.raises(InputError, match=message):
        CliRunner().invoke(app, list(command), catch_exceptions=False)
