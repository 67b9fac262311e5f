"""Feeding with a spindle that does not turn, told without a job."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

BEGIN = "G21 G17 G90 G94 G40 G49 G54 F100\n"


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("S500 M3\nG0 X0 Y0 Z5\nG1 Z-1\nG0 Z5\nM5", []),
        ("G0 X0 Y0 Z5\nG1 Z-1", [("error", 3)]),  # never started
        ("M3\nG0 X0 Y0 Z5\nG1 Z-1\nM5", [("error", 4)]),  # without a speed
        ("S500 M3\nG0 X0 Y0 Z5\nG1 Z-1\nM5\nX9", [("error", 6)]),  # stopped too early
        ("G0 X0 Y0 Z5\nG1 X9", [("warning", 3)]),  # in the air, perhaps
        ("G0 X0 Y0 Z5\nG1 X9\nZ-1\nX0", [("warning", 3), ("error", 4)]),
        ("G0 X0 Y0 Z5\nG0 Z-1", []),  # no feed; what it meets is judged with a job
        ("G1 X5", [("error", 2)]),  # at what height, nobody knows
    ],
)
def test_feeding_while_the_spindle_does_not_turn(
    shop: Shop, body: str, expected: list[tuple[str, int]]
) -> None:
    findings = shop.run(f"{BEGIN}{body}\nM30\n", None).findings
    told = [(each.severity, each.line) for each in findings if each.code == "spindle-stopped"]
    assert told == expected
    assert all(
        each.fix == "give S and M3 before this line" for each in findings if each.code == "spindle-stopped"
    )


def test_with_a_job_only_what_cuts_counts(shop: Shop) -> None:
    """Line 7 feeds at Z-6 beside the block before it cuts: with a job the material is known."""
    text = shop.lines(l3="S3000")
    found = [each for each in shop.run(text, shop.job()).findings if each.code == "spindle-stopped"]
    assert [each.message.split(" (")[0] for each in found] == ["cuts while the spindle stands still"]
