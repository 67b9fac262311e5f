"""Every strange file by every command that reads it: an answer in plain words, an exit code, within a second."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from polypocket.model.files import load_job
from tests.hostile.conftest import Answer, Run
from tests.hostile.inputs import FOUND, JOBS, MILLS, PROGRAMS, ROOT
from tests.hostile.targets import SECONDS

MILL = "knee-mill-3-axis"
JOB = ROOT / "fixtures" / "jobs" / "gate_key.toml"

SHORT = ROOT / "fixtures" / "reader" / "square_end.nc"

#: Characters that a person may be shown; a screen holds some two thousand.
MOST_SHOWN = 20_000


def judge(answer: Answer, source: str) -> None:
    """Check what must hold for any answer as JSON; what is wrong is told on stderr besides, as without --json."""
    assert answer.code in (0, 1, 2)
    assert answer.seconds < SECONDS
    document = json.loads(answer.out)
    assert isinstance(document, dict)
    assert (answer.code == 2) == bool(answer.err) == ("error" in document)
    if answer.code == 2:
        assert document["ok"] is False
        assert len(answer.err) < MOST_SHOWN
        for line in answer.err.splitlines():
            assert line.isprintable()
            assert line.removeprefix("polypocket: ").startswith(f"{source}: ")


@pytest.fixture
def file(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Path]:
    path = tmp_path / "strange"
    path.write_bytes(request.param)
    before = set(tmp_path.iterdir())
    yield path
    assert set(tmp_path.iterdir()) == before


def every(inputs: object) -> pytest.MarkDecorator:
    assert isinstance(inputs, dict)
    return pytest.mark.parametrize("file", list(inputs.values()), ids=list(inputs), indirect=True)


@every(dict(JOBS))
def test_job(run: Run, file: Path) -> None:
    judge(run("check", file, "--json"), str(file))


@every(dict(MILLS))
def test_mill(run: Run, file: Path) -> None:
    judge(run("dryrun", SHORT, "--machine", file, "--json"), str(file))


@every(dict(PROGRAMS))
def test_program(run: Run, file: Path) -> None:
    judge(run("dryrun", file, "--machine", MILL, "--json"), str(file))


@every(dict(FOUND))
def test_program_against_a_job(run: Run, file: Path) -> None:
    judge(run("dryrun", file, "--machine", MILL, "--job", JOB, "--json"), str(file))


def test_a_job_is_written_or_refused(run: Run, tmp_path: Path) -> None:
    """What is accepted is carried on, too; most of it is not."""
    path, accepted = tmp_path / "strange", 0
    for content in JOBS.values():
        if len(content) < 1500:
            path.write_bytes(content)
            answer = run("write", path, "--machine", MILL, "-o", tmp_path / "part.nc")
            assert answer.code in (0, 2)
            assert all(line.isprintable() for line in (answer.out + answer.err).splitlines())
            assert (tmp_path / "part.nc").exists() == (answer.code == 0)
            (tmp_path / "part.nc").unlink(missing_ok=True)
            accepted += answer.code == 0
    assert accepted >= 2


@pytest.mark.parametrize("name", ["lines of faults", "lines of speeds", "cr cr lf"])
def test_what_is_shown_of_many_findings(run: Run, tmp_path: Path, name: str) -> None:
    path = tmp_path / "part.nc"
    path.write_bytes(PROGRAMS[name])
    answer = run("dryrun", path, "--machine", MILL)
    assert answer.code == 1
    assert len(answer.out) < MOST_SHOWN
    found = len(json.loads(run("dryrun", path, "--machine", MILL, "--json").out)["findings"])
    shown = len(re.findall(r"(?m)^  \S*part\.nc:[0-9]+:[0-9]+: (?:error|warning) ", answer.out))
    left_out = re.findall(r"(?m)^  and ([0-9]+) (?:more|lines that .*); --json tells them all$", answer.out)
    assert 0 < shown <= 50
    assert shown + sum(map(int, left_out)) == found
    assert found < 1100


@pytest.mark.parametrize("name", ["byte order mark", "cr lf"])
def test_a_job_as_other_editors_save_it(name: str, tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(JOBS[name])
    assert load_job(path) == load_job(JOB)


@pytest.mark.parametrize(
    ("name", "line", "column"),
    [("lone surrogate", 107, 1), ("utf-16 with mark", 1, 1), ("utf-16 little", 1, 2), ("nul between", 2, 7)],
)
def test_the_place_of_what_is_no_text(run: Run, tmp_path: Path, name: str, line: int, column: int) -> None:
    path = tmp_path / "part.nc"
    path.write_bytes(PROGRAMS[name])
    answer = run("dryrun", path, "--machine", MILL)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.startswith(f"polypocket: {path}: line {line}, column {column}: ")


def test_a_program_with_line_ends_of_another_kind_tells_what_to_do(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "part.nc"
    path.write_bytes(PROGRAMS["cr cr lf"])
    answer = run("dryrun", path, "--machine", MILL)
    assert answer.code == 1
    assert "a carriage return (U+000D) inside a line; save the file with line ends LF or CR LF" in answer.out
