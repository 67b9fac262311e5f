"""`place` on the screen."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.test_cli import MILL, ROOT, SMALL, Run, run

__all__ = ["run"]


@pytest.mark.parametrize(
    ("job", "machine", "here", "elsewhere"),
    [
        ("shared/jobs/valve_stem_block.toml", MILL, "mm", "in"),
        ("shared/jobs/hydrant_key_block.toml", "knee-mill-ballscrews", "in", "mm"),
    ],
)
def test_one_answer_of_place_is_in_one_unit(
    run: Run, tmp_path: Path, job: str, machine: str, here: str, elsewhere: str
) -> None:
    text = re.sub(r"(?m)^swivel_settings.*$", "", (ROOT / job).read_text())
    text = text.replace("[clamping]", "[clamping]\nswivel_settings = [30.0]")
    (tmp_path / "job.toml").write_text(text)
    answer = run("place", "job.toml", "--machine", machine)
    assert answer.code == 0
    assert f"work zero, machine coordinates, {here}\n" in answer.out
    assert "of the machine, " in answer.out and "an indicator on the fixed jaw changes by " in answer.out
    assert re.search(rf"[0-9] {here}\b", answer.out)
    assert not re.search(rf"[0-9] {elsewhere}\b", answer.out)
    # What is to be written into the mill's file carries its unit, since that is in the other.
    (line,) = (line for line in answer.out.splitlines() if line.startswith("  in the mill file: "))
    assert re.fullmatch(rf'  in the mill file: G54 = \[("-?[0-9.]+ {here}"(, )?){{3}}\]', line)


def test_room_of_a_mill_without_home_switches_is_not_told_as_travel(run: Run, tmp_path: Path) -> None:
    mill = (ROOT / "shared" / "machines" / f"{MILL}.toml").read_text()
    mill = mill.replace("homed = true", "homed = false").replace("G54 = [", "G55 = [")
    (tmp_path / "mill.toml").write_text(mill)
    answer = run("check", SMALL, "--machine", "mill.toml")
    assert answer.code == 0
    assert "travel from" not in answer.out
    lines = answer.out.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("  from work zero, mm"))
    assert lines[at].split()[4:] == ["room", "from", "to"]
    assert [line.split() for line in lines[at + 1 : at + 4]] == [
        ["X", "-27.3", "26.9"], ["Y", "-25.1", "25.1"], ["Z", "-5.0", "25.0"],
    ]  # fmt: skip
    run("sheet", SMALL, "--machine", "mill.toml", "-o", "part.html")
    page = (tmp_path / "part.html").read_text()
    assert "<h3>Room needed from the work zero, in</h3>" in page
    assert "machine coordinates, in</h3>" not in page
