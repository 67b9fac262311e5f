"""Lengths of cutters on mills whose control keeps them, and on mills where Z is touched off."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from polypocket.dryrun import DryRun

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

BEGIN = "G21 G17 G90 G94 G40 G49 G54\n"


def found(result: DryRun) -> list[tuple[str, int]]:
    return [(finding.code, finding.line) for finding in result.findings]


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("G43 H0\nG0 Z10.", []),
        ("G49\nG0 Z10.", []),
        ("T1 M6\nG43 H1\nG0 Z10.", [("tool", 4)]),
        ("G43 H1\nG0 X5.\nG43 H2\nG0 Z10.", [("tool", 3)]),
    ],
)
def test_where_z_is_touched_off_no_length_may_be_added(
    shop: Shop, body: str, expected: list[tuple[str, int]]
) -> None:
    result = shop.run(f"{BEGIN}{body}\nM30\n", None, shop.mill(tool_change__automatic=True))
    assert found(result) == expected
    assert result.ok == (not expected)


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("T1 M6\nG43 H1 G0 Z10.\nG0 X5.\nG1 Z5. F100.", []),
        ("(CUTTER 1 DIAMETER 10.000)\nM0\nG0 X5.\nG43 H1 Z10.", []),
        ("T1 M6\nG0 X5. Y5.\nG43 H1 Z10.\nT2 M6\nG0 X9.\nG43 H2 Z10.\nG1 X0. F100.", []),
        ("T1 M6\nG53 G0 Z0.\nG0 X5.\nG43 H1 Z10.\nG49\nG53 G0 Z0.\nX5.", []),
        ("T1 M6\nG0 Z10.", [("tool", 3)]),
        ("T1 M6\nG43 H1\nG0 Z10.\nG49\nG0 Z20.", [("tool", 6)]),
        ("T1 M6\nG0 X5. Y5.\nG1 X6. F100.", [("tool", 4)]),
        ("T1 M6\nG43 H2 G0 Z10.", [("tool", 3)]),
        ("G43 H1 G0 Z10.", [("tool", 2)]),
        ("T1 M6\nG43 H1 G0 Z10.\nT2 M6\nG0 Z5.", [("tool", 5)]),
        ("T1 M6\nG43 H1 G0 Z10.\nT2 M6\nG1 X5. F100.", [("tool", 5)]),
        ("T1 M6\nG43 H0\nG0 Z10.", [("tool", 4)]),
        ("T1 M6\nG0 X0. Y0.\nG17 G43 H1 Z10.\nG49 G81 G98 X5. Z-1. R2. F100.", [("unread", 5)]),
    ],
)
def test_where_the_control_keeps_lengths_every_height_wants_the_cutters(
    shop: Shop, body: str, expected: list[tuple[str, int]]
) -> None:
    result = shop.run(
        f"{BEGIN}{body.replace(' F100.', ' F100. S500 M3')}\nM5\nM30\n",
        None,
        shop.mill(length_offset=True, tool_change__automatic=True),
    )
    assert found(result) == expected
    assert result.ok == (not expected)


def test_a_job_with_its_cutters_length_is_clean(shop: Shop) -> None:
    text = shop.lines(l4="G43 H1 G0 Z10.")
    assert (
        shop.run(text, shop.job(), shop.mill(length_offset=True, tool_change__automatic=True)).findings == ()
    )
    assert found(shop.run(text, shop.job())) == [("tool", 4)]
    assert found(
        shop.run(shop.program, shop.job(), shop.mill(length_offset=True, tool_change__automatic=True))
    ) == [("tool", 4)]
