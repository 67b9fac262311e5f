"""The numbers of passes and the times that screens tell."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from polypocket.plan.tally import Tally
from polypocket.screen.passes import numbers_text, passes_lines
from tests.test_cli import MILL, ROOT, SMALL, Run, run

__all__ = ["run"]


def tally(*runs: tuple[int, int]) -> Tally:
    passes = sum(last - first + 1 for first, last in runs)
    return Tally("section 1", "rough", runs[0][0], runs[-1][1], passes, (5.0,), 10.0, runs)


@pytest.mark.parametrize(
    ("runs", "text"),
    [
        (((1, 12),), "1 to 12"),
        (((7, 7),), "7"),
        (((1, 3), (5, 5), (8, 9)), "1 to 3, 5, 8 to 9"),
        (((1, 1), (3, 3), (5, 5), (7, 7)), "among 1 to 7"),
    ],
)
def test_numbers_of_others_in_between_are_not_claimed(runs: tuple[tuple[int, int], ...], text: str) -> None:
    assert numbers_text(tally(*runs)) == text


def test_what_takes_turns_is_not_said_to_be_in_order() -> None:
    assert next(passes_lines([tally((1, 3)), tally((4, 6))], "mm")).startswith("  in this order")
    assert next(passes_lines([tally((1, 2), (5, 6)), tally((3, 4))], "mm")).startswith("  taking turns")


def test_the_time_of_a_sheet_is_not_told_as_a_machine_s(run: Run, tmp_path: Path) -> None:
    job, mill = ROOT / "shared" / "jobs" / "stem_gauge_block.toml", "knee-mill-by-hand"
    answers = [
        run("check", job, "--machine", mill),
        run("write", job, "--machine", mill, "-o", "sheet.txt"),
        run("dryrun", "sheet.txt", "--machine", mill, "--job", job),
    ]
    for answer in answers:
        assert answer.code == 0
        assert not re.search(r"[0-9] (min|s) at the mill", answer.out)
        assert re.search(r"[0-9] s of turning handwheels alone, as fast as the mill file has it", answer.out)
    rough, finish = (line for line in answers[0].out.splitlines() if line.startswith("  section 1   "))
    assert ("among 1 to 47" in rough, "among 3 to 48" in finish) == (True, True)
    assert " s at the mill: " in run("check", SMALL, "--machine", MILL).out
